"""A ledger that goes on where it stopped: most records tell of now, so that what was seen before need not be replayed for them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from typing import NamedTuple, Protocol

from nurserytui.records.events import Event
from nurserytui.records.lazily import Lazily
from nurserytui.records.ledger import Ledger
from nurserytui.records.order import _with_corrections, seen, withdrawn_ids
from nurserytui.records.progress import Progress


class Ids(Protocol):
    """The ids on record: a set, or what asks the file for them."""

    def __contains__(self, id: object) -> bool: ...

    def update(self, ids: Iterable[str]) -> None: ...


class Known(NamedTuple):
    """The events on record, and their ledger as seen without a limit of time."""

    events: Sequence[Event]
    ledger: Ledger
    ids: Ids
    anew: Callable[[Sequence[Event], Progress | None], Ledger]
    """The ledger of events that begin with those, built without the one that there is; told to the progress of whoever asks."""
    gone: Callable[[], set[str]]
    """The ids of those that were taken back."""

    def with_new(self, events: Sequence[Event], ledger: Ledger) -> Known:
        """The same with events that were written since."""
        self.ids.update(event.id for event in events)
        return self._replace(events=self.events + [*events], ledger=ledger)


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


def unlabelled(event: Event) -> bool:
    """Whether the event begins a cohort and does not say its label; the store writes it out."""
    return event.what in ("laid", "found") and not event.cohort


def _latest(chronicle, day: str) -> str:
    """The latest clock time that stands on a day; "" where none does."""
    return max((event.when[11:] for event in chronicle.on(day)), default="")


def go_on_from(kept, events: Sequence[Event], until: datetime | None, progress: Progress | None = None) -> Ledger | None:
    """The ledger of the recorded `events` as seen at `until`, going on from a kept state (`records.kept_ledger.Kept`) of the first of
    them; None where they have to be replayed. What came since may be taken back, if nothing older is touched by it.
    """
    try:
        return _gone_on(kept, events, until, progress)
    except (LookupError, AssertionError):
        return None  # what is kept contradicts itself, which no answer should come to grief over


def _gone_on(kept, events: Sequence[Event], until: datetime | None, progress: Progress | None) -> Ledger | None:
    if len(events) < kept.count or events[kept.count - 1].id != kept.recorded[kept.count - 1].id:
        return None
    if until is not None and until.isoformat(timespec="seconds") < kept.latest:
        return None
    due, fresh = seen(kept.ahead, until), seen(events[kept.count :], until)
    if any(event.group in kept.correcting for event in fresh if event.group):
        return None  # a correction of something older takes its place
    if any(map(unlabelled, fresh)):
        return None  # what is written later may say the label that it would get
    withdrawals = [event for event in fresh if event.what == "withdrawn"]
    ledger, said = kept.ledger(), None
    ledger.until = until
    if withdrawals:
        ids = {event.id for event in fresh}
        if kept.ahead or any(event.withdraws not in ids for event in withdrawals):
            return None
        gone = withdrawn_ids(fresh)
        standing = [fresh[at] for at in _with_corrections(fresh) if fresh[at].id not in gone and fresh[at].what != "withdrawn"]
        # Labels that were taken back are free again: whoever asks for the next one looks through all that was said.
        said = Lazily(kept.recorded, fresh)
        fresh = standing
    elif due and kept.withdrawn:
        return None  # what comes due may have been taken back
    new = after_all(ledger, due, fresh, until)
    if new is None:
        return None
    ledger.go_on(new, until, progress)
    if said is not None:
        ledger._used, ledger._given = None, said
    return ledger
