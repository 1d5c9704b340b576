"""The readings of each place, from logger files and from the keeper's own notes, kept for as long as they stay the same."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import datetime

from nurserytui.records.readings import Reading, Rejected, screened, typed_readings


class Measured:
    """What was measured in one place up to a moment. It never changes: what is derived from it may be kept under it."""

    def __init__(self, place: str, logged: Sequence[Reading], typed: Sequence[Reading], unread: Sequence[Rejected]) -> None:
        self.place = place
        self.readings, rejected = screened(logged, typed)
        """Oldest first."""
        self.rejected: tuple[Rejected, ...] = tuple(sorted([*unread, *rejected]))
        """What cannot be, and is left out of everything."""


class Measurements:
    """The readings of all places of a nursery. Logger readings are only ever added, so they are read once for each change of the file."""

    def __init__(self, store) -> None:
        self._store = store
        self._stamp = None
        self._logged: dict[str, list[Reading]] = {}
        self._chronicle: object = None
        self._typed: dict[str, tuple[list[Reading], list[Rejected]]] = {}
        self._read = 0
        self._kept: dict[str, tuple[tuple, Measured]] = {}

    def of(self, place: str, chronicle, now: datetime) -> Measured:
        """What was measured in the place up to `now`; the chronicle is of the events that are seen by then."""
        stamp = self._store.readings_stamp()
        if stamp != self._stamp:
            self._stamp = stamp
            self._logged.clear()
        if place not in self._logged:
            self._logged[place] = self._store.readings(place=place)
        logged = self._logged[place]
        seen = bisect_right(logged, now, key=lambda reading: reading.when)
        typed, unread = self._of_events(chronicle).get(place, ([], []))
        kept = self._kept.get(place)
        if kept is None or kept[0] != (seen, typed, unread):
            shown = logged if seen == len(logged) else logged[:seen]
            state = seen, [*typed], [*unread]  # the lists grow
            kept = self._kept[place] = (state, Measured(place, shown, typed, unread))
        return kept[1]

    def _of_events(self, chronicle) -> dict[str, tuple[list[Reading], list[Rejected]]]:
        """The readings that the keeper wrote down, by place; read on as the records grow."""
        if chronicle is not self._chronicle:
            self._chronicle, self._typed, self._read = chronicle, {}, 0
        events = chronicle.events_of("temperature", after=self._read)
        if events:
            readings, rejected = typed_readings(events)
            for at, found in enumerate((readings, rejected)):
                for one in found:
                    self._typed.setdefault(one.place, ([], []))[at].append(one)
            self._read += len(events)
        return self._typed

    def places(self, chronicle) -> set[str]:
        """The places of which there are readings, whether they can be used or not."""
        return {*self._of_events(chronicle), *self._store.reading_places()}
