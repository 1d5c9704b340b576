"""The order in which events happened, and which of them stand: withdrawals take events out, corrections keep their place."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from operator import itemgetter

from nurserytui.records.events import Event


def seen(events: Sequence[Event], until: datetime | None) -> list[Event]:
    """The events that are not later than `until`; a date without a time counts as seen on its own day."""
    if until is None:
        return list(events)
    # A date is a prefix of every moment of that day, so comparing the text is comparing the time.
    limit = until.isoformat(timespec="seconds")
    return [event for event in events if event.when <= limit]


def withdrawn_ids(events: Sequence[Event]) -> set[str]:
    """Ids of the events that never happened. A withdrawal that is itself withdrawn withdraws nothing."""
    gone: set[str] = set()
    for event in reversed(events):
        if event.what == "withdrawn" and event.id not in gone:
            gone.add(event.withdraws)
    return gone - {""}


def labels_said(events: Sequence[Event]) -> set[str]:
    """The cohort labels, in lower case, of all events but those that were taken back. What a correction replaced counts: it comes back
    when the correction is taken back."""
    gone = withdrawn_ids(events)
    if gone:
        correcting = {event.group for event in events if event.what != "withdrawn" and event.group}
        gone -= {
            event.withdraws
            for event in events
            if event.what == "withdrawn" and event.id not in gone and event.group in correcting
        }
    return {name.casefold() for event in events if event.id not in gone for name in (event.cohort, event.to) if name}


def standing(events: Sequence[Event]) -> list[Event]:
    """The events as recorded, without those withdrawn and without the withdrawals."""
    gone = withdrawn_ids(events)
    return [event for event in events if event.what != "withdrawn" and event.id not in gone]


def in_order(events: Sequence[Event]) -> list[Event]:
    """All the events in ledger order, given them in the order in which they were recorded.

    A date without a time is some time that day: it comes after what was recorded before it for that day. An event that
    corrects another of the same day (recorded in one group with its withdrawal) takes the place of the one it corrects.
    """
    gone = withdrawn_ids(events)
    order = range(len(events)) if not gone else _with_corrections(events)
    latest: dict[str, str] = {}
    keyed = []
    for at in order:
        event = events[at]
        when = event.when
        day = when[:10]
        time = when[11:]
        before = latest.get(day, "")
        if not time:
            time = before
        elif time > before and event.what != "withdrawn" and not (gone and event.id in gone):
            latest[day] = time
        keyed.append((day + time, event))
    # Days are all as long as each other, so one text orders by day and time, and faster than a pair does.
    keyed.sort(key=itemgetter(0))
    return list(map(itemgetter(1), keyed))


def _with_corrections(events: Sequence[Event]) -> Sequence[int]:
    """Positions of the events, each correction beside the event that it corrects."""
    withdrawals = [event for event in events if event.what == "withdrawn" and event.group]
    if not withdrawals:
        return range(len(events))
    groups, withdrawn = {event.group for event in withdrawals}, {event.withdraws for event in withdrawals}
    positions = list(range(len(events)))
    stood: dict[str, tuple[int, str]] = {}
    """id -> where the event that is withdrawn stands, and its day"""
    corrected: dict[tuple[str, str], int] = {}
    """(group, day) -> where the first event that the group withdrew for that day stood"""
    for at, event in enumerate(events):
        if event.group in groups:
            if event.what != "withdrawn":
                positions[at] = corrected.get((event.group, event.day), at)
            elif event.withdraws in stood:
                place, day = stood[event.withdraws]
                corrected[event.group, day] = min(place, corrected.get((event.group, day), place))
        if event.id in withdrawn:
            stood[event.id] = positions[at], event.day
    return sorted(range(len(events)), key=positions.__getitem__)
