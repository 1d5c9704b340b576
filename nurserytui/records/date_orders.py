"""The dates of one file: each text read once, and those that no order was stated for told when the whole file is known."""

from __future__ import annotations

from datetime import datetime, tzinfo

from nurserytui.records import moments, written_dates
from nurserytui.records.file_text import RowFault
from nurserytui.records.written_dates import ORDERS, Undated

_KEPT = 100_000
"""So many different texts are remembered."""


class DateOrders:
    """Reads the dates of a file in one order (`day` or `month` first; "" where none was stated)."""

    def __init__(self, order: str, where: tzinfo | None, column: str = "when") -> None:
        self._order, self._where, self._column = order, where, column
        self._noun = "time" if column == "time" else "date"
        self._known: dict[str, tuple[str, str]] = {}
        self._waiting: list[tuple[int, str, tuple[str, ...]]] = []
        self._two_digits = ""

    def read(self, line: int, text: str) -> tuple[str, str]:
        """(the time as the records write it, the text in ISO 8601); ("", "") for a date that `faults` will tell; ValueError with the reason.

        An offset is turned into the nursery's own time. What looks like ISO 8601 and is no date comes back as it is.
        """
        found = self._known.get(text)
        if found is None:
            try:
                found = self._read(text)
            except Undated as undated:
                if undated.fits and not self._order:
                    self._waiting.append((line, text, undated.fits))
                    return "", ""
                other = f"; with the {undated.fits[0]} first it is one: --dates {undated.fits[0]}-first" if undated.fits else ""
                raise ValueError(f"{undated}{other}") from None
            if len(self._known) >= _KEPT:
                self._known.clear()
            self._known[text] = found
            if found[0][10:11] == "T" and text[10:11] != "T" and " " in text:
                self._keep_day(text.partition(" ")[0])
        return found

    def _read(self, text: str) -> tuple[str, str]:
        day, _, clock = text.partition(" ")
        known = self._known.get(day) if len(clock) == 5 and clock[2] == ":" else None
        if known is not None and len(known[0]) == 10:
            # A logger's file has very many times of few days.
            plain = f"{known[0]}T{clock}"
            try:
                datetime.fromisoformat(plain)
                return plain, plain
            except ValueError:
                pass
        plain = written_dates.iso(text, self._order)
        if plain != text and not self._two_digits and written_dates.two_digits(text):
            self._two_digits = f"years of two digits were read as 20..: {text} is {plain[:10]}"
        if len(plain) <= 10:
            return plain, plain
        try:
            moment = datetime.fromisoformat(plain)
        except ValueError:
            return plain, plain  # whoever asked tells it
        if moment.tzinfo:
            try:
                return moments.local_text(moment, self._where), plain
            except ValueError as outside:
                raise Undated(str(outside)) from None
        plain = plain.replace(" ", "T", 1)
        return plain, plain

    def _keep_day(self, text: str) -> None:
        """Know the day alone of a day and a time."""
        if text not in self._known:
            try:
                self._known[text] = self._read(text)
            except Undated:
                pass

    @property
    def notes(self) -> list[str]:
        return [self._two_digits] if self._two_digits else []

    def faults(self) -> list[RowFault]:
        """The dates that wait for an order, each with what would make it one."""
        single = {order: next((line for line, _, fits in self._waiting if fits == (order,)), 0) for order in ORDERS}
        deciding = [order for order in ORDERS if single[order]]
        return [
            RowFault(line, self._column, _reason(line, f"{text!r} is no {self._noun} as it stands", text, single, deciding))
            for line, text, _ in self._waiting
        ]


def _reason(line: int, begun: str, text: str, single: dict[str, int], deciding: list[str]) -> str:
    if len(deciding) == 1:
        order = deciding[0]
        where = "here" if single[order] == line else f"in line {single[order]}"
        return f"{begun}: {where} only {order} first fits; import again with --dates {order}-first"
    if len(deciding) == 2:
        return f"{begun}: line {single['day']} has the day first and line {single['month']} the month: write all as 2026-07-12"
    day, month = (written_dates.iso(text, order)[:10] for order in ORDERS)
    if day != month:
        could = f"{day} with the day first, {month} with the month first"
    elif written_dates.two_digits(text):
        could = f"{day}, if the year is its last number"
    else:
        could = "the order of day and month was not stated"
    return f"{begun} ({could}): import again with --dates day-first or --dates month-first"
