"""Through which enclosures animals came to where they are: whose air they had at each time."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.stays import Stay, group_of, of_cohort

MOST = 60
"""Changes of stage or place that are followed back."""


class Step(NamedTuple):
    """From `since` on (None: from the first) the animals stood in `enclosure`."""

    since: datetime | None
    enclosure: str


def path_of(ledger, key, now: datetime) -> tuple[Step, ...]:
    """The enclosures in which the animals of a ledger key stood, up to now; where groups came together, the way that most of them took.

    A move on a day without a clock time counts from the middle of that day.
    """
    stay = next((one for one in _stays(ledger, key) if one.end is None), None)
    place, until, steps = key.enclosure, now, []
    for _ in range(MOST):
        arrival = max(stay.arrivals, key=lambda one: (one.count, one.earliest)) if stay else None
        if arrival is None or arrival.source is None:
            break
        source = arrival.source
        if source.enclosure != place:
            middle = arrival.earliest + (arrival.latest - arrival.earliest + timedelta(seconds=1)) / 2
            moment = min(middle.replace(second=0, microsecond=0), until - timedelta(minutes=1))
            steps.append(Step(moment, place))
            place, until = source.enclosure, moment
        stay = _before(_stays(ledger, source), arrival)
    return (Step(None, place), *reversed(steps))


def _stays(ledger, key) -> list[Stay]:
    """The stays of the key's group in its stage, by their start."""
    group = group_of(key)
    return [stay for stay in of_cohort(ledger, key.cohort) if stay.group == group and stay.stage == key.stage]


def _before(stays: list[Stay], arrival) -> Stay | None:
    """The stay out of which an arrival came."""
    held = [one for one in stays if one.start <= arrival.latest and (one.end is None or one.end >= arrival.earliest)]
    return held[-1] if held else None
