"""Dates of a file that lie ahead of now, or before anything that a keeper of today wrote down: probably a slip in the year."""

from __future__ import annotations

from datetime import datetime

OLDEST = "1970"
"""Before this year a date is more likely a slip than a record."""


class Outlying:
    """Counts the rows whose date, as ISO 8601 text, lies outside of what is likely by `now`; without it nothing lies ahead."""

    def __init__(self, now: datetime | None) -> None:
        self.latest = now.isoformat(timespec="seconds") if now else "9999"
        self._ahead: tuple[int, str] = (0, "")
        self._old: tuple[int, str] = (0, "")
        self._numbers = [0, 0]

    def look(self, line: int, when: str) -> None:
        """A row's date. Of a day alone only the day counts."""
        if when > self.latest:
            self._ahead = self._ahead if self._numbers[0] else (line, when)
            self._numbers[0] += 1
        elif when < OLDEST:
            self._old = self._old if self._numbers[1] else (line, when)
            self._numbers[1] += 1

    def notes(self, unit: str = "line") -> list[str]:
        ahead, old = self._numbers
        found = []
        if ahead:
            found.append(
                f"{_rows(ahead, 'lies', 'lie')} ahead of today, the first in {unit} {self._ahead[0]} ({self._ahead[1][:10]}): "
                f"{'it is' if ahead == 1 else 'they are'} not seen until then; if the year is wrong, go back and import it put right"
            )
        if old:
            found.append(
                f"{_rows(old, 'is', 'are')} dated before {OLDEST}, the first in {unit} {self._old[0]} ({self._old[1][:10]}): is the year right?"
            )
        return found


def _rows(number: int, one: str, more: str) -> str:
    return f"1 row {one}" if number == 1 else f"{number:,} rows {more}"
