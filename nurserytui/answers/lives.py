"""Every animal's way through the nursery, told from the postings: how it came in, its stages and places, and how it ended.

Animals of one group that cannot be told apart leave it first in, first out. What was traced of cohorts that share animals is kept until
one of their postings or looks changes, so that past seasons are traced once.
"""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from nurserytui.records.stocktake import keepers_word

DAY = 86400.0
LOST = ("missing", "counted")
"""How animals leave that may be found again."""


class Step(NamedTuple):
    """A stay of animals in one stage, cohort and enclosure. Moments are days since the year 1, with fractions."""

    stage: str
    cohort: str
    mark: str
    enclosure: str
    low: float
    """The change into it came after this moment: the look before it …"""
    high: float
    """… and by this one: the moment it was recorded for."""


class Life(NamedTuple):
    """`count` animals that went the same way."""

    count: int
    how: str
    """`laid` or `found`."""
    steps: tuple[Step, ...]
    end: str
    """`died`, `released`, `given`, `escaped`, `missing`, `counted` (missing at a count); "" for those that are here."""
    cause: str
    low: float
    """The end came after this moment; for those that are here, when they were looked at last …"""
    high: float
    """… and by this one; for those that are here there is no such moment, and it is the same."""

    @property
    def start(self) -> Step:
        return self.steps[0]

    @property
    def source(self) -> tuple[str, str]:
        """(`laid` or `found`, the stage they came in as)."""
        return self.how, self.steps[0].stage


class _Lot:
    __slots__ = ("count", "how", "steps", "look")

    def __init__(self, count: int, how: str, steps: tuple[Step, ...], look: float) -> None:
        self.count, self.how, self.steps, self.look = count, how, steps, look

    def part(self, count: int) -> _Lot:
        self.count -= count
        return _Lot(count, self.how, self.steps, self.look)

    def ended(self, end: str, cause: str, high: float) -> Life:
        return Life(self.count, self.how, self.steps, end, cause, min(self.look, high), high)


def moment(when: datetime) -> float:
    """A moment as a number of days."""
    return when.toordinal() + (when.hour * 3600 + when.minute * 60 + when.second) / DAY


def day(moment: float) -> datetime:
    """The calendar day of a moment."""
    return datetime.fromordinal(int(moment))


def _begins(event) -> float:
    return moment(datetime.fromisoformat(event.when))


def _ends(event) -> float:
    """The moment recorded; of a day without a clock time, its noon."""
    return _begins(event) + (0.0 if event.timed else 0.5)


def until_changed(nursery, name, compute, moment):
    """`compute()`, kept under that name until the records change; of what rests on a `moment` too only the last is kept."""
    box = nursery.until_written(name, dict)
    if moment not in box:
        box.clear()
        box[moment] = compute()
    return box[moment]


def families(nursery) -> list[tuple[str, ...]]:
    """The cohorts, those that share animals together."""
    return nursery.until_written("families", lambda: _families(nursery.ledger))


def _families(ledger) -> list[tuple[str, ...]]:
    seen, found = set(), []
    for label in ledger.cohorts:
        if label not in seen:
            family = ledger.chronicle.family(label)
            seen.update(family)
            found.append((label,) if len(family) == 1 else tuple(sorted(family)))
    return found


def shelf(nursery, family: tuple[str, ...]) -> dict:
    """Where something about a family is kept: empty again as soon as anything of its cohorts has changed."""
    return nursery.until_written(("shelf", family), lambda: _shelf(nursery, family))


def _shelf(nursery, family: tuple[str, ...]) -> dict:
    chronicle = nursery.ledger.chronicle
    stamps = [(nursery.kept_of_cohort(one, "stamp", object), len(chronicle.looks_at(one))) for one in family]
    box = nursery.kept_of_cohort(family[0], "lives", dict)
    if box.get("stamps") != stamps:
        box.clear()
        box["stamps"] = stamps
    return box


def lives_of(nursery, family: tuple[str, ...]) -> list[Life]:
    """The lives of the animals of a family, in the order of their ends; those that are here last."""
    box = shelf(nursery, family)
    if "lives" not in box:
        box["lives"] = _traced(nursery.ledger, family)
    return box["lives"]


def _traced(ledger, family: tuple[str, ...]) -> list[Life]:
    lots: dict = {}
    lost: list[tuple] = []
    lives: list[Life] = []
    estimated: set[str] = set()
    looks = [look for one in family for look in ledger.chronicle.looks_at(one)]
    looks.sort(key=lambda look: look[0])
    at = 0
    for position in ledger.chronicle.positions(family):
        event, source, target, count = ledger.postings[position]
        while at < len(looks) and looks[at][0] <= position:
            _look(lots, estimated, *looks[at][1:])
            at += 1
        if source is None:
            _enter(lots, lost, event, target, count)
        else:
            for lot in _take(lots, source, count):
                if target is not None:
                    lots.setdefault(target, []).append(_onward(lot, event, source, target))
                elif event.what == "counted" and _never_was(event, source, estimated):
                    continue
                elif event.what in LOST:
                    lost.append((source, lot, event))
                else:
                    lives.append(lot.ended(event.what, event.detail.strip(), _ends(event)))
        if event.estimate:
            estimated.add((target or source).cohort)
    for look in looks[at:]:
        _look(lots, estimated, *look[1:])
    lives += [lot.ended(event.what, "", _ends(event)) for _, lot, event in lost]
    lives += [Life(lot.count, lot.how, lot.steps, "", "", lot.look, lot.look) for held in lots.values() for lot in held]
    return lives


def _look(lots: dict, estimated: set[str], event, cohort: str, place: str, mark: str) -> None:
    when = _begins(event)
    for key, held in lots.items():
        if key.cohort == cohort and (not place or key.enclosure == place) and (not mark or key.mark == mark):
            for lot in held:
                lot.look = max(lot.look, when)
    if event.what == "counted" and not event.estimate and not event.stage:
        estimated.discard(cohort)


def _enter(lots: dict, lost: list[tuple], event, target, count: int) -> None:
    held = lots.setdefault(target, [])
    if event.what in ("returned", "counted"):
        for place in [place for place, (key, _, _) in enumerate(lost) if key.cohort == target.cohort and key.mark == target.mark]:
            key, lot, _ = lost[place]
            if not count or not lot.count:
                continue
            back = lot.part(min(count, lot.count))
            count -= back.count
            held.append(_onward(back, event, key, target))
        lost[:] = [item for item in lost if item[1].count]
        if count and held:
            # A corrected estimate: the animals were there all along.
            held[0].count += count
            return
    if count:
        low, high = _begins(event), _ends(event)
        how = "laid" if event.what == "laid" else "found"
        held.append(_Lot(count, how, (Step(target.stage, target.cohort, target.mark, target.enclosure, low, high),), low))


def _take(lots: dict, source, count: int) -> list[_Lot]:
    held, taken = lots.get(source, []), []
    while count and held:
        taken.append(held.pop(0) if held[0].count <= count else held[0].part(count))
        count -= taken[-1].count
    if not held:
        lots.pop(source, None)
    return taken


def _onward(lot: _Lot, event, source, target) -> _Lot:
    """The lot after a change: a new stay, unless only the instar is another."""
    if source._replace(instar=None) != target._replace(instar=None):
        high = _ends(event)
        low = min(lot.look, high) if source.stage != target.stage else min(_begins(event), high)
        lot.steps += (Step(target.stage, target.cohort, target.mark, target.enclosure, low, high),)
    return lot


def _never_was(event, source, estimated: set[str]) -> bool:
    """Whether the count only corrects an estimate: those animals never were."""
    said = keepers_word(event.detail)
    return said == "estimate" or (not said and source.cohort in estimated)
