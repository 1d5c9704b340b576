"""Between which moments animals came into a stage, and when they were looked at: what a forecast starts from.

A change is known to lie between the look before it and the moment it was recorded for. A look without a time of day may have
been as early as that day's first moment, a change without one as late as its midnight, so the windows never exclude the truth.
Animals of one group that cannot be told apart leave it first in, first out.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from nurserytui.records.events import Event
from nurserytui.records.postings import Entry, Key


def earliest(event: Event) -> datetime:
    return datetime.fromisoformat(event.when)


def latest(event: Event, until: datetime | None) -> datetime:
    """The last moment that the event's time allows: its own, or the midnight that ends its day, but not after `until`."""
    if event.timed:
        return datetime.fromisoformat(event.when)
    end = datetime.fromisoformat(event.when) + timedelta(days=1)
    return min(end, until) if until is not None else end


class _Way:
    """One entry into a stage (`whole`) or only into a later instar of it."""

    __slots__ = ("low", "high", "how", "key", "whole", "event", "before", "owners", "now")

    def __init__(self, low: datetime, high: datetime, how: str, key: Key, whole: bool, event: Event, before: str = "") -> None:
        self.low, self.high, self.how, self.key, self.whole, self.event = min(low, high), high, how, key, whole, event
        self.before = before
        """The stage that they were in before, "" if they came from outside."""
        self.owners: dict[tuple[str, str], int] = {}
        """(cohort, mark) -> how many of them it has"""
        self.now: dict[Key, int] = {}


class _Lot:
    """Animals of one group that cannot be told apart by how they came into it."""

    __slots__ = ("count", "stage", "instar", "look")

    def __init__(self, count: int, stage: _Way, instar: _Way, look: datetime) -> None:
        self.count, self.stage, self.instar, self.look = count, stage, instar, look

    def ways(self) -> tuple[_Way, ...]:
        return (self.stage,) if self.stage is self.instar else (self.stage, self.instar)


def looks(ledger, cohort: str, enclosure: str | None = None) -> list[datetime]:
    """When the animals were looked at: the earliest moment that each look may have been, oldest first."""
    return sorted(
        {
            earliest(event)
            for _, event, _, place, _ in ledger.chronicle.looks_at(cohort)
            if enclosure is None or not place or place == enclosure
        }
    )


def entries(ledger, cohort: str, stage: str, instar: int | None = None, mark: str | None = None) -> list[Entry]:
    """The entries of the cohort's animals into the stage; with `instar`, into that instar; with `mark`, of that animal only.

    Oldest first. Animals that came with a merge or a split bring their entries along.
    """
    return _told(
        (
            way
            for way in _known_ways(ledger, cohort)
            if way.key.stage == stage and (way.whole if instar is None else way.key.instar == instar)
        ),
        cohort,
        mark,
    )


def changes(ledger, cohort: str, stage: str, mark: str | None = None) -> list[Entry]:
    """The entries of the cohort's animals into a later stage straight from `stage`: how its animals were seen to go on."""
    return _told((way for way in _known_ways(ledger, cohort) if way.whole and way.before == stage), cohort, mark)


def _told(ways, cohort: str, mark: str | None) -> list[Entry]:
    found = []
    for way in ways:
        count = sum(number for (one, its), number in way.owners.items() if one == cohort and mark in (None, its))
        if not count:
            continue
        now = tuple((key, number) for key, number in way.now.items() if key.cohort == cohort and mark in (None, key.mark))
        left = sum(number for _, number in now)
        key = way.key
        found.append(
            Entry(count, left, way.low, way.high, way.how, key.stage, key.instar, key.enclosure, key.mark, way.event, now)
        )
    return sorted(found, key=lambda entry: (entry.earliest, entry.latest))


def _known_ways(ledger, cohort: str) -> list[_Way]:
    if ledger._entries is None:
        ledger._entries = {}
    family = ledger.chronicle.family(cohort)
    if family not in ledger._entries:
        ledger._entries[family] = _ways(ledger, family)
    return ledger._entries[family]


def _ways(ledger, family: frozenset[str]) -> list[_Way]:
    """Follow every animal of the family through the postings."""
    ways: list[_Way] = []
    lots: dict[Key, list[_Lot]] = {}
    pending = [look for one in family for look in ledger.chronicle.looks_at(one)]
    if len(family) > 1:
        pending.sort(key=lambda look: look[0])
    at = 0
    for position in ledger.chronicle.positions(family):
        event, source, target, count = ledger.postings[position]
        while at < len(pending) and pending[at][0] <= position:
            _look(lots, *pending[at][1:])
            at += 1
        if source is None:
            _enter(ways, lots, event, target, count, ledger.until)
            continue
        for lot in _take(lots, source, count):
            if target is not None:
                lots.setdefault(target, []).append(_onward(ways, lot, event, source, target, ledger.until))
    for key, held in lots.items():
        for lot in held:
            for way in lot.ways():
                way.now[key] = way.now.get(key, 0) + lot.count
    return ways


def _look(lots: dict[Key, list[_Lot]], event: Event, cohort: str, place: str, mark: str) -> None:
    when = earliest(event)
    for key, held in lots.items():
        if key.cohort == cohort and (not place or key.enclosure == place) and (not mark or key.mark == mark):
            for lot in held:
                lot.look = max(lot.look, when)


def _enter(ways: list[_Way], lots: dict[Key, list[_Lot]], event: Event, target: Key, count: int, until: datetime | None) -> None:
    held = lots.setdefault(target, [])
    owner = (target.cohort, target.mark)
    if event.what == "counted" and held and not event.detail.startswith("returned"):
        # A corrected estimate: the animals were there all along.
        held[0].count += count
        for way in held[0].ways():
            way.owners[owner] = way.owners.get(owner, 0) + count
        return
    way = _Way(earliest(event), latest(event, until), "laid" if event.what == "laid" else "found", target, True, event)
    way.owners[owner] = count
    ways.append(way)
    held.append(_Lot(count, way, way, way.low))


def _take(lots: dict[Key, list[_Lot]], source: Key, count: int) -> list[_Lot]:
    """The first `count` animals of the group, cut out of its lots."""
    held, taken = lots.get(source, []), []
    while count and held:
        lot = held[0]
        if lot.count <= count:
            taken.append(held.pop(0))
            count -= lot.count
        else:
            lot.count -= count
            taken.append(_Lot(count, lot.stage, lot.instar, lot.look))
            count = 0
    if not held:
        lots.pop(source, None)
    return taken


def _onward(ways: list[_Way], lot: _Lot, event: Event, source: Key, target: Key, until: datetime | None) -> _Lot:
    """The lot after a posting: with a new entry if its stage or instar changed, else with the ones it had."""
    owner, before = (target.cohort, target.mark), (source.cohort, source.mark)
    if owner != before:
        for way in lot.ways():
            way.owners[before] = way.owners.get(before, 0) - lot.count
            way.owners[owner] = way.owners.get(owner, 0) + lot.count
    if (target.stage, target.instar) == (source.stage, source.instar):
        return lot
    whole = target.stage != source.stage
    last = ways[-1] if ways else None
    low, high = lot.look, latest(event, until)
    if (
        last is not None
        and last.event is event
        and (last.key, last.low, last.whole, last.before) == (target, min(low, high), whole, source.stage)
    ):
        way = last
    else:
        way = _Way(low, high, "changed", target, whole, event, source.stage)
        ways.append(way)
    way.owners[owner] = way.owners.get(owner, 0) + lot.count
    return _Lot(lot.count, way if whole else lot.stage, way, lot.look)
