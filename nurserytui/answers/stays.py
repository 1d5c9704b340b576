"""Where animals stood from when to when, replayed from the postings: the ground on which contacts are traced."""

from __future__ import annotations

from bisect import bisect_left
from datetime import date, datetime, time
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


def group_of(key) -> Group:
    return Group(key.cohort, key.mark, key.enclosure)


class Trace:
    """The stays and moves of a ledger, followed along its postings. It goes on where it stopped when the ledger has grown."""

    def __init__(self) -> None:
        self._ended: list[Stay] = []
        """In ledger order, so that the days of their ends are in order too."""
        self._open: dict[tuple[Group, str], list] = {}
        """(group, stage) -> [animals, arrivals, most at a time]"""
        self._moves: list[Move] = []
        self._posted = 0
        self._since: dict[date, tuple[list[Stay], list[Move]]] = {}
        self._at: dict[date, dict[str, list[Stay]]] = {}

    def take_in(self, ledger) -> Trace:
        if self._posted < len(ledger.postings):
            self._since.clear()
            self._at.clear()
            for posting in ledger.postings[self._posted :]:
                self._follow(*posting)
            self._posted = len(ledger.postings)
        return self

    def _follow(self, event, source, target, count: int) -> None:
        first, last = span_of(event)
        if source is not None and target is not None and source._replace(instar=None) == target._replace(instar=None):
            return  # a moult: same animals, same place, same stage
        if source is not None:
            place = (group_of(source), source.stage)
            state = self._open.get(place)
            if state is not None:
                state[0] -= count
                if state[0] <= 0:
                    del self._open[place]
                    self._ended.append(Stay(*place, tuple(state[1]), last, state[2]))
        if target is not None:
            place = (group_of(target), target.stage)
            state = self._open.setdefault(place, [0, [], 0])
            state[0] += count
            state[1].append(Arrival(first, last, count, source, event.what))
            state[2] = max(state[2], state[0])
        if source is not None and target is not None and group_of(source) != group_of(target):
            self._moves.append(Move(group_of(source), group_of(target), first, last, count, source.stage))

    def standing(self) -> list[Stay]:
        """The stays that go on."""
        return [Stay(*place, tuple(state[1]), None, state[2]) for place, state in self._open.items()]

    def since(self, moment: datetime) -> tuple[list[Stay], list[Move]]:
        """The stays that had not ended by the start of that day, by their start, and the moves from it on, in ledger order."""
        day = moment.date()
        if day not in self._since:
            ended = self._ended[bisect_left(self._ended, day, key=lambda stay: stay.end.date()) :]
            moves = self._moves[bisect_left(self._moves, day, key=lambda move: move.latest.date()) :]
            self._since[day] = sorted([*ended, *self.standing()], key=lambda stay: stay.start), moves
        return self._since[day]

    def at(self, place: str, moment: datetime) -> list[Stay]:
        """The stays in an enclosure that had not ended by the start of that day, by their start."""
        day = moment.date()
        if day not in self._at:
            found = self._at[day] = {}
            for stay in self.since(moment)[0]:
                found.setdefault(stay.group.enclosure, []).append(stay)
        return self._at[day].get(place, [])


def followed(ledger) -> Trace:
    """The trace of a ledger, kept beside it: one answer asks many times for the same."""
    return ledger.growing.setdefault("trace", Trace()).take_in(ledger)


def of_cohort(ledger, cohort: str) -> list[Stay]:
    """The stays of one cohort, by their start; followed along its own postings, so that a long history stays unread for it."""
    kept = ledger.kept.setdefault("stays", {})
    if cohort not in kept:
        own = Trace()
        for posting in ledger.chronicle.of_cohort(cohort):
            own._follow(*posting)
        kept[cohort] = [stay for stay in own.since(datetime.min)[0] if stay.group.cohort == cohort]
    return kept[cohort]


def trace(ledger, since: datetime = datetime.min) -> tuple[list[Stay], list[Move]]:
    """The stays, by their start, and the moves, in ledger order; only those of that day and later ones, if a moment is given.

    An event with a day only is somewhere in that day.
    """
    return followed(ledger).since(since)


def cleared(nursery, place: str, since: datetime) -> datetime | None:
    """When an enclosure was first clean again after `since`: cleaned while it stood empty (or emptied and then cleaned). None: not yet.

    Of one day without clock times, animals came before it was cleaned if that was written down first.
    """
    there, chronicle = None, nursery.ledger.chronicle
    for number in chronicle.care_numbers("cleaned", place, since.date().isoformat()):
        (event,) = chronicle.events((number,))
        _, last = span_of(event)
        if last < since:
            continue
        if there is None:
            there = followed(nursery.ledger).at(place, since)
        stood = {(group_of(key), key.stage) for key in chronicle.inside(place, number)}
        if not any((stay.group, stay.stage) in stood and stay.start <= last and _still_in(stay.end, last) for stay in there):
            return last
    return None


def _still_in(end: datetime | None, cleaned: datetime) -> bool:
    """Whether animals that left by `end` were still there at the cleaning. Of one day without clock times, leaving came first."""
    if end is None or end.date() > cleaned.date():
        return True
    return end > cleaned and end.time() != time(23, 59, 59)
