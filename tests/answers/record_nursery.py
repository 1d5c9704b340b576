"""A little nursery for tests of typed records: its events, and a store that lives in memory and checks like the real one."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from nurserytui.records.events import Event
from nurserytui.records.ledger import replay
from nurserytui.records.order import withdrawn_ids

NOW = datetime(2025, 8, 20, 9, 0)


def _n(mark: int) -> Event:
    return Event(
        "2025-08-10", "found", "N", str(mark), "Vanessa atalanta", "larva", 3, 1, enclosure="shelf jar", host="Urtica dioica"
    )


EVENTS = (
    Event("2025-08-01", "laid", "P", species="Pieris rapae", stage="egg", count=40, estimate=True, enclosure="crate 1", host="Brassica oleracea"),
    Event("2025-08-02", "found", "S", species="Actias luna", stage="pupa", count=4, enclosure="pop tent"),
    Event("2025-08-03", "found", "swamp-1", species="Vanessa cardui", stage="adult", count=7, enclosure="big tent"),
    Event("2025-08-05", "missing", "swamp-1", stage="adult", count=1, enclosure="big tent"),
    Event("2025-08-06", "found", "fennel-2", species="Papilio polyxenes", stage="larva", instar=4, count=9, enclosure="blue cage", host="Foeniculum vulgare"),
    Event("2025-08-07", "moved", "fennel-2", stage="larva", count=3, enclosure="blue cage", to="tank 2"),
    Event("2025-08-08", "prepupated", "fennel-2", count=1, enclosure="blue cage"),
    _n(1),
    _n(2),
    _n(3),
    Event("2025-08-11", "found", "X", species="unknown", stage="egg", count=2, enclosure="cup 3"),
    Event("2025-08-14T10:00", "laid", "A", species="Danaus plexippus", stage="egg", count=30, enclosure="jar 1", host="Asclepias syriaca"),
    Event("2025-08-15", "hatched", "A", count=12, enclosure="jar 1"),
)  # fmt: skip


class Written(NamedTuple):
    events: tuple
    faults: tuple


class MemoryStore:
    """The store's interface over a list."""

    def __init__(self, events=EVENTS) -> None:
        self._events = [event._replace(id=event.id or f"e{number}") for number, event in enumerate(events)]

    def events(self) -> list[Event]:
        return list(self._events)

    def withdrawn(self) -> set[str]:
        return withdrawn_ids(self._events)

    def told_as(self, which: str) -> list[Event]:
        return [event for event in self._events if which and which in (event.group, event.id)]

    def readings_stamp(self) -> int:
        return 0

    def reading_places(self) -> list[str]:
        return []

    def cautions(self) -> tuple[str, ...]:
        return ()

    def first_reading(self) -> str:
        return ""

    def stamp(self) -> int:
        return len(self._events)

    def readings(self, **_) -> list:
        return []

    def append(self, events, after=None) -> Written:
        new = [event._replace(id=event.id or f"e{len(self._events) + number}") for number, event in enumerate(events)]
        known = {fault.event.id for fault in replay(self._events).faults}
        faults = tuple(fault for fault in replay([*self._events, *new]).faults if fault.event.id not in known)
        if faults:
            return Written((), faults)
        self._events += new
        return Written(tuple(new), ())
