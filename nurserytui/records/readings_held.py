"""Does a moment of a place have a reading already, on record or earlier in the file? Loggers' files go on in time, so it is seldom asked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, time, tzinfo

from nurserytui.records import moments
from nurserytui.records.readings import Reading

TOLD = 10
"""So many readings that disagree are named."""
_DAYS = 400
"""So many days of a place are held at a time."""


class _Latest(dict[str, datetime]):
    """The newest moment of each place of which there is a reading."""

    def __init__(self, store) -> None:
        self._store = store

    def __missing__(self, place: str) -> datetime:
        text = self._store.last_reading(place)
        found = self[place] = datetime.fromisoformat(text) if text else datetime.min
        return found


class Held:
    """Tells readings that disagree with the one that their moment has."""

    def __init__(self, store, where: tzinfo | None) -> None:
        self._store, self._where = store, where
        self.latest = _Latest(store)
        self._days: dict[tuple[str, str], dict[datetime, float]] = {}
        self._apart: list[str] = []
        self._more = 0

    def looked_at(self, readings: Iterable[tuple[int, Reading]]) -> Iterator[Reading]:
        """The readings of (line, reading), each looked at on its way into the nursery."""
        for line, reading in readings:
            if reading.when > self.latest[reading.place]:
                self.latest[reading.place] = reading.when
            elif not reading.when.fold:
                self.check(line, reading.place, reading.when, reading.low)
            yield reading

    def check(self, line: int, place: str, when: datetime, value: float) -> None:
        """A reading that is not later than all others of its place."""
        spot = (place, when.date().isoformat())
        day = self._days.get(spot)
        if day is None:
            if len(self._days) >= _DAYS:
                self._days.clear()
            begin = datetime.combine(when, time())
            day = self._days[spot] = self._there(place, begin, begin.replace(hour=23, minute=59, second=59))
        held = day.get(when)
        if held is None:
            # It may have come in this file since the day was read.
            held = day[when] = self._there(place, when, when).get(when, value)
        if held != value and not moments.comes_twice(when, self._where):
            if len(self._apart) < TOLD:
                told = (
                    f"another value of {place} at {when.isoformat(' ', 'minutes')}; if it is the same moment, the first is kept"
                )
                self._apart.append(f"line {line}: {told}" if line else told)
            else:
                self._more += 1

    def _there(self, place: str, since: datetime, until: datetime) -> dict[datetime, float]:
        return {reading.when: reading.low for reading in self._store.readings(place, since, until)}

    @property
    def notes(self) -> list[str]:
        return self._apart + ([f"{self._more} more such lines"] if self._more else [])
