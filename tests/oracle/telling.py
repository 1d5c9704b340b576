"""What is told, in the order in which it happened: a day book into which each entry is put at its place.

Written apart from the program: nothing is sorted here, every entry is inserted into the page of its day as it comes.
"""

from __future__ import annotations

from datetime import datetime

from nurserytui.records.events import Event


def heard(events: list[Event], until: datetime | None = None) -> list[Event]:
    """What had been told by `until`; a date without a time is told for the whole of its day."""
    if until is None:
        return list(events)
    return [event for event in events if datetime.fromisoformat(event.when) <= until]


def taken_back(events: list[Event]) -> set[str]:
    """Ids of what never happened; taking back a withdrawal brings the event itself back."""
    withdrawals = [event for event in events if event.what == "withdrawn"]
    standing: dict[str, bool] = {}
    for event in reversed(withdrawals):
        # Only a later withdrawal can have taken this one back.
        standing[event.id] = not any(later.withdraws == event.id and standing[later.id] for later in _after(withdrawals, event))
    return {event.withdraws for event in withdrawals if standing[event.id]}


def _after(events: list[Event], event: Event) -> list[Event]:
    return events[next(at for at, one in enumerate(events) if one is event) + 1 :]


def names_said(events: list[Event]) -> set[str]:
    """Cohorts named by anything that was told and was not taken back; what was only put right still names its own."""
    gone = taken_back(events)
    names: set[str] = set()
    for event in events:
        if event.id in gone:
            by = [one.group for one in events if one.what == "withdrawn" and one.withdraws == event.id and one.id not in gone]
            if not any(one.group and one.group in by and one.what != "withdrawn" for one in events):
                continue
        names |= {name.casefold() for name in (event.cohort, event.to) if name}
    return names


def story(events: list[Event], until: datetime | None = None) -> list[Event]:
    """The standing events in the order in which they happened."""
    told = _corrections_in_place(heard(events, until))
    gone = taken_back(heard(events, until))
    pages: dict[str, list[Event]] = {}
    for event in told:
        if event.what == "withdrawn" or event.id in gone:
            continue
        page = pages.setdefault(event.day, [])
        at = len(page)
        if event.timed:
            # Before the first entry that has a later time; entries without a time stay behind what they were written after.
            at = next((place for place, one in enumerate(page) if one.timed and _clock(one) > _clock(event)), len(page))
        page.insert(at, event)
    return [event for day in sorted(pages) for event in pages[day]]


def _clock(event: Event) -> str:
    return event.when[11:]


def _corrections_in_place(told: list[Event]) -> list[Event]:
    """An event written together with a withdrawal stands where the event withdrawn stood, if it is of the same day."""
    placed: list[Event] = []
    for event in told:
        seats = [
            next((at for at, one in enumerate(placed) if one.id == withdrawal.withdraws), None)
            for withdrawal in placed
            if event.group and event.what != "withdrawn" and withdrawal.what == "withdrawn" and withdrawal.group == event.group
        ]
        seats = [seat for seat in seats if seat is not None and placed[seat].day == event.day]
        if not seats:
            placed.append(event)
            continue
        # Behind the first of those withdrawn, and behind what was put there for it before.
        seat = min(seats) + 1
        while seat < len(placed) and placed[seat].group == event.group and placed[seat].what != "withdrawn":
            seat += 1
        placed.insert(seat, event)
    return placed
