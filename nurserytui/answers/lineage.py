"""Where animals had stood before, followed back through moves, splits and merges to how they came in."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from nurserytui.answers.stays import Group, group_of, of_cohort

MOST = 200
"""Groups that are followed back."""


class Segment(NamedTuple):
    """A group that animals were part of, in one stage, from `first` to `last`."""

    group: Group
    stage: str
    first: datetime
    last: datetime

    @property
    def place(self) -> str:
        return self.group.enclosure


class Came(NamedTuple):
    """Animals were found and brought in between `first` and `last`."""

    cohort: str
    stage: str
    first: datetime
    last: datetime
    place: str
    """The enclosure that they were put in."""


class Lineage(NamedTuple):
    segments: tuple[Segment, ...]
    """By their start."""
    came: tuple[Came, ...]
    """How they were found; empty where they were laid in the nursery."""

    @property
    def places(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one.place for one in self.segments))

    def path(self) -> tuple[tuple[datetime | None, str], ...]:
        """The enclosures in their order, each with the moment since when (None: from the first), as `warmth.warmth` takes them."""
        steps: list[tuple[datetime | None, str]] = []
        for one in self.segments:
            if not steps:
                steps.append((None, one.place))
            elif one.place != steps[-1][1] and (steps[-1][0] is None or one.first > steps[-1][0]):
                steps.append((one.first, one.place))
        return tuple(steps)


def lineage(ledger, cohort: str, mark: str, place: str, until: datetime) -> Lineage:
    """The stays of the animals of a cohort (of a mark, where given) that stood in `place`, up to `until`, and those they came out of."""
    starts = {
        stay.group
        for stay in of_cohort(ledger, cohort)
        if stay.group.enclosure == place and (not mark or stay.group.mark == mark) and stay.start <= until
    }
    known: dict[Group, datetime] = {}
    waiting = [(group, until) for group in sorted(starts)]
    segments: set[Segment] = set()
    came: set[Came] = set()
    while waiting and len(known) < MOST:
        group, last = waiting.pop()
        if known.get(group, datetime.min) >= last:
            continue
        known[group] = last
        for stay in of_cohort(ledger, group.cohort):
            if stay.group != group or stay.start > last:
                continue
            segments.add(Segment(group, stay.stage, stay.start, min(stay.end or last, last)))
            for arrival in stay.arrivals:
                if arrival.earliest > last:
                    continue
                if arrival.source is None:
                    if arrival.what == "found":
                        came.add(Came(group.cohort, stay.stage, arrival.earliest, arrival.latest, group.enclosure))
                elif group_of(arrival.source) != group:
                    waiting.append((group_of(arrival.source), arrival.latest))
    return Lineage(tuple(sorted(segments, key=lambda one: (one.first, one.last))), tuple(sorted(came, key=lambda one: one.first)))
