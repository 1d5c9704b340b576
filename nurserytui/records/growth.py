"""A ledger that goes on where it stopped: most records tell of now, so that what was seen before need not be replayed for them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from nurserytui.records.events import Event
from nurserytui.records.ledger import Ledger, replay
from nurserytui.records.progress import Progress


class Known(NamedTuple):
    """The events on record, and their ledger as seen without a limit of time."""

    events: Sequence[Event]
    ledger: Ledger
    ids: set[str]

    @classmethod
    def of(cls, events: Sequence[Event], progress: Progress | None = None) -> Known:
        return cls(events, replay(events, progress=progress), {event.id for event in events})

    def with_new(self, events: Sequence[Event], ledger: Ledger) -> Known:
        """The same with events that were written since."""
        self.ids.update(event.id for event in events)
        return Known((*self.events, *events), ledger, self.ids)


TURNS_BACK = ("withdrawn", "renamed")
"""Kinds of events that change what was before them."""


def after_all(ledger: Ledger, due: Sequence[Event], fresh: Sequence[Event], until: datetime | None) -> list[Event] | None:
    """The events that a ledger has yet to take in, in ledger order, or None where it has to be replayed for them.

    `due` are events recorded before that are seen only at `until`, `fresh` are events recorded since, those seen at `until`; both as they
    were recorded. With what is returned, `ledger.go_on` leads to the same ledger as a replay of everything.
    """
    if any(event.what in TURNS_BACK for event in (*due, *fresh)):
        return None
    if (ledger.until is None) != (until is None) or (until is not None and until < ledger.until):
        return None
    chronicle = ledger.chronicle
    if due and any(not event.timed for day in {event.day for event in due} for event in chronicle.on(day)):
        # A date alone is as late as what was recorded before it, so those of that day may have to change places.
        return None
    last = ledger.events[-1].day if ledger.events else ""
    end = (last, _latest(chronicle, last))
    latest: dict[str, str] = {}
    keyed = []
    for position, event in enumerate((*due, *fresh)):
        known = latest[event.day] if event.day in latest else _latest(chronicle, event.day)
        time = event.when[11:] or known
        latest[event.day] = max(known, time)
        if (event.day, time) < end:
            return None
        keyed.append((event.day, time, position, event))
    return [event for *_, event in sorted(keyed, key=lambda item: item[:3])]


def _latest(chronicle, day: str) -> str:
    """The latest clock time that stands on a day; "" where none does."""
    return max((event.when[11:] for event in chronicle.on(day)), default="")
