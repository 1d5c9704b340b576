"""Through which enclosures animals came to where they are: whose air they had at each time."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.stays import Group, Stay, group_of, trace

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
    stays = _stays(ledger)
    stay = next((one for one in stays.get((group_of(key), key.stage), ()) if one.end is None), None)
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
        stay = _before(stays.get((group_of(source), source.stage), ()), arrival)
    return (Step(None, place), *reversed(steps))


def _before(stays: tuple[Stay, ...] | list[Stay], arrival) -> Stay | None:
    """The stay out of which an arrival came."""
    held = [one for one in stays if one.start <= arrival.latest and (one.end is None or one.end >= arrival.earliest)]
    return held[-1] if held else None


def _stays(ledger) -> dict[tuple[Group, str], list[Stay]]:
    """The stays of each group and stage by their start, kept beside the ledger."""
    kept = ledger.__dict__.get("_stays_of_groups")
    if kept is None:
        kept = ledger.__dict__["_stays_of_groups"] = {}
        for stay in trace(ledger)[0]:
            kept.setdefault((stay.group, stay.stage), []).append(stay)
    return kept
