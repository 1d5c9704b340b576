"""Does a moment of a place have a reading already, on record or earlier in the file? Loggers' files go on in time, so it is seldom asked."""

from __future__ import annotations

from datetime import datetime, time, tzinfo

from nurserytui.records import moments

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

    def __init__(self, store) -> None:
        self._store = store
        self.latest = _Latest(store)
        self._days: dict[tuple[str, str], dict[datetime, float]] = {}
        self._apart: list[str] = []
        self._more = 0

    def check(self, line: int, place: str, when: datetime, value: float, where: tzinfo | None) -> None:
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
        if held != value and not moments.comes_twice(when, where):
            if len(self._apart) < TOLD:
                self._apart.append(
                    f"line {line}: another value of {place} at {when.isoformat(' ', 'minutes')}; if it is the same moment, the first is kept"
                )
            else:
                self._more += 1

    def _there(self, place: str, since: datetime, until: datetime) -> dict[datetime, float]:
        return {reading.when: reading.low for reading in self._store.readings(place, since, until)}

    @property
    def notes(self) -> list[str]:
        return self._apart + ([f"{self._more} more such lines"] if self._more else [])
