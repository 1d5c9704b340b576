"""How many animals or things a record was about, as its answer says it."""

from __future__ import annotations

from nurserytui.language import numbers
from nurserytui.records.events import Event


def counted(events: list[Event], ledger, plain: str) -> int | None:
    """How many the first thing told was about: all of its kind, day and cause; the sum of both sexes where the line (`plain`) tells it too."""
    first = events[0]
    if both := _of_both_sexes(events, plain):
        return both
    same = [
        event
        for event in events
        if event.what == first.what and (event.cohort, event.detail, event.when) == (first.cohort, first.detail, first.when)
    ]
    counts = [event.count for event in same if event.count is not None]
    if first.what == "moved" and not first.cohort:
        return sum(held for key, held in ledger.heads.items() if key.enclosure == first.enclosure)
    return sum(counts) if counts else None


def _of_both_sexes(events: list[Event], plain: str) -> int:
    """The sum that the line tells beside how many were of each sex; 0 where it tells no sum, or other things."""
    first, total = events[0], sum(event.count or 0 for event in events)
    alike = all((one.what, one.cohort, one.when) == (first.what, first.cohort, first.when) for one in events)
    if len(events) < 2 or not alike or {event.detail for event in events} != {"male", "female"}:
        return 0
    return total if any(total in (numbers.figure(word), numbers.WORDS.get(word)) for word in plain.split()) else 0
