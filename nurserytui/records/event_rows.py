"""Events from a table: every row read and checked by itself. Of very many rows most cells are empty and most words come again."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import tzinfo
from operator import itemgetter
from typing import NamedTuple

from nurserytui.records import label_text, written_numbers
from nurserytui.records.columns import Columns
from nurserytui.records.date_orders import DateOrders
from nurserytui.records.events import Event
from nurserytui.records.file_text import RowFault
from nurserytui.records.identity import group_of
from nurserytui.records.row_identity import Identities, is_row_id, normal
from nurserytui.records.tables import Table
from nurserytui.records.validating import findings

COLUMNS = tuple(name for name in Event._fields if name not in ("estimate", "group"))
_KEPT = 100_000
"""So many different words of a column are remembered."""
LINES_NAMED = 5
RUNS = re.compile("""['"\\s]*[=+\\-@\\t\\r\uff1d\uff0b\uff0d\uff20]""")
"""What a spreadsheet may run as a formula: spaces and quotes before the sign change nothing, and some take the full-width signs too."""


class Row(NamedTuple):
    line: int
    event: Event


class EventRows:
    """Reads the rows of one table; `doubled` are labels on record with more than one space in a row. `faults` and `notes` are there when `read` has ended."""

    def __init__(
        self,
        table: Table,
        columns: Columns,
        where: tzinfo | None,
        order: str,
        identities: Identities,
        doubled: set[str] = frozenset(),
    ) -> None:
        self._table, self._identities = table, identities
        self._wide = len(table.header)
        self._take = itemgetter(*(columns.names.index(name) if name in columns.names else self._wide for name in COLUMNS))
        self._spare = [(columns.names[at], at) for at in columns.spare]
        self._kept: dict[str, list[int]] = {name: [] for name, _ in self._spare}
        self._hashed = sorted((name, at) for at, name in enumerate(columns.names) if name and name != "id")
        self._written = sorted((name, at) for at, name in enumerate(table.header) if name and columns.names[at] != "id")
        self._numbers: dict[tuple[str, str], tuple[float, bool, str]] = {}
        self._clean = {"", *doubled}
        self._dates = DateOrders(order, where)
        self._short: list[int] = []
        self.faults: list[RowFault] = []
        self.with_ids: set[str] = set()
        """The ids that stand in the file."""

    @property
    def notes(self) -> list[str]:
        told = [_spare(name, lines) for name, lines in self._kept.items()]
        if self._short:
            has = "have" if len(self._short) > 1 else "has"
            told.append(f"{lines_named(self._short)} {has} fewer cells than the header: what is missing was taken as empty")
        return told + self._dates.notes

    def read(self) -> list[Row]:
        """All the rows, also those with faults as far as they could be read."""
        wide, found, event = self._wide, [], self._event
        for line, cells in self._table.rows:
            if len(cells) != wide:
                if len(cells) > wide and any(cell.strip() for cell in cells[wide:]):
                    self.faults.append(RowFault(line, "", f"the row has {len(cells)} cells, the header {wide}"))
                    continue
                if len(cells) < wide:
                    self._short.append(line)
                cells = (cells + [""] * wide)[:wide]
            found.append(Row(line, event(line, cells)))
        self.faults += self._table.broken
        self.faults += self._dates.faults()
        return found

    def _event(self, line: int, cells: list[str]) -> Event:
        """The event of a row."""
        together = "\0".join(cells)
        cells = [*map(str.strip, cells)]
        if "'" in together:
            cells = [*map(unescaped, cells)]
        (
            when, what, cohort, mark, species, stage, instar, count, enclosure, to, host, detail, note, id, withdraws, by, place,
            latitude, longitude, parent,
        ) = self._take([*cells, ""])  # fmt: skip
        wrong: list[tuple[str, str]] = []
        other: dict[str, str] = {}
        """Column -> its text in the plain form, where it was written otherwise."""
        waits = False
        if when:
            try:
                read, iso = self._dates.read(line, when)
                waits = not read
                if iso != when and not waits:
                    other["when"] = iso
                when = read
            except ValueError as error:
                wrong.append(("when", str(error)))
        if what and not what.islower():
            what = other["what"] = what.lower()
        if stage and not stage.islower():
            stage = other["stage"] = stage.lower()
        if len(species) == 7 and species != "unknown" and species.lower() == "unknown":
            species = other["species"] = "unknown"
        estimate = False
        if instar:
            instar, _ = self._number("instar", instar, wrong, other)
        if count:
            count, estimate = self._number("count", count, wrong, other)
        if latitude:
            latitude, _ = self._number("latitude", latitude, wrong, other)
        if longitude:
            longitude, _ = self._number("longitude", longitude, wrong, other)
        group = group_of(id) if id[:1] == "g" else ""
        # An export has its labels as they stand in the nursery that it is of, and reads back to the same.
        exported = group or (id[:4] == "row-" and is_row_id(id))
        clean = self._clean
        if not exported and not clean.issuperset((cohort, mark, enclosure, to, parent)):
            labels = zip(label_text.COLUMNS, (cohort, mark, enclosure, to, parent), strict=True)
            cohort, mark, enclosure, to, parent = (self._label(name, text, wrong, other) for name, text in labels)
        if self._spare:
            note = self._with_spare(line, note, cells)
        if id:
            self.with_ids.add(id)
        else:
            id = self._identity(cells, other, together)
        event = _make(
            Event,
            (
                when, what, cohort, mark, species, stage, instar if instar != "" else None, count if count != "" else None,
                estimate, enclosure, to, host, detail, note, id, withdraws, by, place, latitude if latitude != "" else None,
                longitude if longitude != "" else None, parent, group,
            ),
        )  # fmt: skip
        found = findings(event, as_row=True)
        if found or wrong:
            told = {column for column, _ in wrong} | ({"when"} if waits else set())
            if "instar" in told:
                told.add("stage")  # which may be wanting only because the instar cannot be read
            wrong += [one for one in found if one[0] not in told]
            self.faults += [RowFault(line, column, reason) for column, reason in wrong]
        return event

    def _number(self, name: str, text: str, wrong: list, other: dict[str, str]) -> tuple:
        """(the number or None, whether it is an estimate)"""
        found = self._numbers.get((name, text))
        if found is None:
            try:
                found = _number(name, text)
            except ValueError as error:
                wrong.append((name, str(error)))
                return None, False
            if len(self._numbers) < _KEPT:
                self._numbers[name, text] = found
        value, rough, plain = found
        if plain != text:
            other[name] = plain
        return value, rough

    def _label(self, name: str, text: str, wrong: list, other: dict[str, str]) -> str:
        if text in self._clean:
            return text
        try:
            found = label_text.label(text)
        except ValueError as error:
            wrong.append((name, str(error)))
            return text
        if found != text:
            other[name] = found
        elif len(self._clean) < _KEPT:
            self._clean.add(text)
        return found

    def _with_spare(self, line: int, note: str, cells: list[str]) -> str:
        """The note with what the columns say that are none of ours."""
        extra = []
        for name, at in self._spare:
            if cells[at]:
                self._kept[name].append(line)
                extra.append(f"{name}: {cells[at]}")
        return "; ".join(filter(None, (note, *extra))) if extra else note

    def _identity(self, cells: list[str], other: dict[str, str], together: str) -> str:
        written = plain = repr([(name, cells[at]) for name, at in self._written if cells[at]])
        if other or self._hashed != self._written or not together.isascii() or "\r" in together:
            plain = repr([(name, normal(other.get(name, cells[at]))) for name, at in self._hashed if cells[at]])
        return self._identities.of(plain, written)


_make = tuple.__new__


def _number(name: str, text: str) -> tuple[float, bool, str]:
    """(the number, whether it is an estimate, its text in the plain form); ValueError with the reason."""
    if name in ("latitude", "longitude"):
        try:
            return written_numbers.decimal(text), False, text.replace(",", ".")
        except ValueError:
            raise ValueError(f"{text!r} is no {name}: write 51.5") from None
    value, rough = written_numbers.count(name, text)
    return value, rough, f"~{value}" if rough else str(value)


def _spare(name: str, lines: list[int]) -> str:
    """What became of a column that the table of events does not have, and in which lines of the file it says something."""
    if not lines:
        return f"column {name} is not known, and says nothing"
    return f"column {name} is not known: what it says was kept in the note ({lines_named(lines)})"


def lines_named(lines: Sequence[int]) -> str:
    """`lines 3, 5, 6, 7, 8 and 20 more`."""
    first, more = ", ".join(map(str, lines[:LINES_NAMED])), len(lines) - LINES_NAMED
    return f"line{'s' if len(lines) > 1 else ''} {first}" + (f" and {more} more" if more > 0 else "")


def unescaped(cell: str) -> str:
    """A cell as it was before export put an apostrophe before what a spreadsheet would run."""
    return cell[1:] if cell.startswith("'") and RUNS.match(cell, 1) else cell
