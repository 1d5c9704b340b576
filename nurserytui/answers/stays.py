"""Where animals stood from when to when, replayed from the postings: the ground on which contacts are traced."""

from datetime import datetime, time
from typing import NamedTuple

from nurserytui.answers.selection import span_of


class Group(NamedTuple):
    """Animals that contacts cannot tell apart: one cohort (and mark) in one enclosure."""

    cohort: str
    mark: str
    enclosure: str


class Arrival(NamedTuple):
    """`count` animals came into a stay between `earliest` and `latest`, from `source` (a ledger key, None from outside)."""

    earliest: datetime
    latest: datetime
    count: int
    source: object | None
    what: str


class Stay(NamedTuple):
    """A group in one stage, from its first arrival until none was left (None: still there). Bounds are taken wide."""

    group: Group
    stage: str
    arrivals: tuple[Arrival, ...]
    end: datetime | None
    peak: int

    @property
    def start(self) -> datetime:
        return self.arrivals[0].earliest

    def overlaps(self, first: datetime, last: datetime) -> bool:
        return self.start <= last and (self.end is None or self.end >= first)


class Move(NamedTuple):
    """Animals of a group went from one enclosure to another (or into another cohort)."""

    source: Group
    target: Group
    earliest: datetime
    latest: datetime
    count: int
    stage: str


def of_cohort(ledger, cohort: str) -> list[Stay]:
    """The stays of one cohort, by their start."""
    return _kept(ledger)[1].get(cohort, [])


def group_of(key) -> Group:
    return Group(key.cohort, key.mark, key.enclosure)


def trace(ledger) -> tuple[list[Stay], list[Move]]:
    """All stays and moves of a ledger, in order; kept until another ledger is asked about."""
    return _kept(ledger)[0]


def _kept(ledger) -> tuple[tuple[list[Stay], list[Move]], dict[str, list[Stay]]]:
    """The trace and its stays by cohort, kept beside the ledger, which never changes: one answer asks many times for the same."""
    kept = ledger.__dict__.get("_stays")
    if kept is None:
        traced = _trace(ledger)
        by_cohort: dict[str, list[Stay]] = {}
        for stay in traced[0]:
            by_cohort.setdefault(stay.group.cohort, []).append(stay)
        kept = ledger.__dict__["_stays"] = (traced, by_cohort)
    return kept


def _trace(ledger) -> tuple[list[Stay], list[Move]]:
    """Stays by their start, moves in ledger order. An event with a day only is somewhere in that day."""
    open_stays: dict[tuple, list] = {}
    stays, moves = [], []
    for event, source, target, count in ledger.postings:
        first, last = span_of(event)
        if source is not None and target is not None and source._replace(instar=None) == target._replace(instar=None):
            continue  # a moult: same animals, same place, same stage
        if source is not None:
            place = (group_of(source), source.stage)
            state = open_stays.get(place)
            if state is not None:
                state[0] -= count
                if state[0] <= 0:
                    del open_stays[place]
                    stays.append(Stay(*place, tuple(state[1]), last, state[2]))
        if target is not None:
            place = (group_of(target), target.stage)
            state = open_stays.setdefault(place, [0, [], 0])
            state[0] += count
            state[1].append(Arrival(first, last, count, source, event.what))
            state[2] = max(state[2], state[0])
        if source is not None and target is not None and group_of(source) != group_of(target):
            moves.append(Move(group_of(source), group_of(target), first, last, count, source.stage))
    stays.extend(Stay(*place, tuple(state[1]), None, state[2]) for place, state in open_stays.items())
    return sorted(stays, key=lambda stay: stay.start), moves


def cleared(nursery, place: str, since: datetime) -> datetime | None:
    """When an enclosure was first clean again after `since`: cleaned while it stood empty (or emptied and then cleaned). None: not yet."""
    stays, _ = trace(nursery.ledger)
    there = [stay for stay in stays if stay.group.enclosure == place]
    for event in nursery.events:
        if event.what != "cleaned" or event.enclosure != place:
            continue
        first, last = span_of(event)
        if last < since:
            continue
        if not any(stay.start < first and _still_in(stay.end, last) for stay in there):
            return last
    return None


def _still_in(end: datetime | None, cleaned: datetime) -> bool:
    """Whether animals that left by `end` were still there at the cleaning. Of one day without clock times, leaving came first."""
    if end is None or end.date() > cleaned.date():
        return True
    return end > cleaned and end.time() != time(23, 59, 59)
