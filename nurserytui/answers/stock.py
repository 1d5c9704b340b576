"""Plant on hand by the records: lots with their size, the day from which they wilt, and what of them the larvae have eaten."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.portions import PIECE_OF
from nurserytui.answers.warmth import moment_of

GROWING = "plants"
"""The unit of what stands in pots or beds: it does not wilt."""
STALE = timedelta(days=7)
"""So long after it wilted, or after none was left, a stock is taken for one that is no longer kept track of."""


class Lot(NamedTuple):
    """So much of a plant that came at one time."""

    host: str
    amount: float
    unit: str
    """`leaves`, `stems`, `plants`, `bunches`, `g` or `cm2`; as recorded where it is none of these."""
    said: str
    """The unit as recorded: `pots`, `branches`."""
    since: datetime
    """When it was put on record: from then on it is eaten."""
    cut: datetime
    """From when it wilts."""
    whose: str = ""
    """The cohort that it was said to be for; "" where none was."""

    @property
    def growing(self) -> bool:
        return self.unit == GROWING


class Keeping(NamedTuple):
    """How many days a cut plant keeps, from where that is known."""

    low: float
    high: float
    plant: str
    """The plant of the card; "" for the general card."""
    sources: tuple[str, ...]


def keeping(hosts: tuple[str, ...], knowledge) -> Keeping | None:
    """The days that cut stems of the plant keep in water: by its card, else by the general one."""
    for host in hosts:
        found = knowledge.cutting(host)
        if found:
            return Keeping(found[1].days_low, found[1].days_high, found[0], found[1].sources)
    card = knowledge.general_cutting()
    return Keeping(card.days_low, card.days_high, "", card.sources) if card else None


def lots(nursery) -> list[Lot]:
    """All lots of all plants that the records still have on hand, oldest first.

    What is counted (`stocked`) stands in the place of all of that plant before it: pots in the place of pots, cut plant in the place of
    cut plant. What is cut afterwards comes on top.
    """
    found: dict[str, list[Lot]] = {}
    for event in nursery.ledger.chronicle.events_of("stocked", "cut"):
        if event.count is None or not event.host:
            continue
        held = found.setdefault(event.host, [])
        unit = _unit(event.detail, event.what)
        at = min(_moment(event), nursery.now)
        if event.what == "stocked":
            before = [lot for lot in held if lot.growing == (unit == GROWING)]
            found[event.host] = held = [lot for lot in held if lot.growing != (unit == GROWING)]
            cut = _cut_day(before, event, unit, at, nursery.knowledge)
        else:
            cut = at
        if event.count:
            held.append(Lot(event.host, float(event.count), unit, event.detail or unit, at, cut, event.cohort))
    left = [lot for held in found.values() for lot in held if not _forgotten(lot, nursery)]
    return sorted(left, key=lambda lot: lot.since)


def _forgotten(lot: Lot, nursery) -> bool:
    """Whether a cut lot wilted so long ago that what they eat since is not on record."""
    days = None if lot.growing else keeping((lot.host,), nursery.knowledge)
    return days is not None and lot.cut + timedelta(days=days.high) + STALE < nursery.now


def none_left(nursery) -> list[str]:
    """The plants of which the last word, not long ago, is that nothing is left."""
    last: dict[str, int] = {}
    for event in reversed(nursery.ledger.chronicle.events_of("stocked")):
        if _moment(event) <= nursery.now - STALE:
            break
        if event.count is not None and event.host:
            last.setdefault(event.host, event.count)
    return [host for host, count in last.items() if not count]


def _unit(detail: str, what: str) -> str:
    if not detail:
        return "stems" if what == "cut" else GROWING
    return detail if detail in ("g", "cm2") else PIECE_OF.get(detail, detail)


def _moment(event) -> datetime:
    """When an event without a clock time is taken to have been: at the start of its day, for plant is cut before it is eaten."""
    return moment_of(event.when) if event.timed else datetime.combine(datetime.fromisoformat(event.when).date(), time())


def _cut_day(before: list[Lot], event, unit: str, at: datetime, knowledge) -> datetime:
    """From when counted plant wilts: what is left of stems is as old as they are, as long as the card lets them be alive at all."""
    days = keeping((event.host,), knowledge)
    if unit == GROWING or not before or days is None:
        return at
    newest = max(before, key=lambda lot: lot.cut)
    same = newest.unit == unit and event.count <= sum(lot.amount for lot in before if lot.unit == unit)
    return newest.cut if same and at <= newest.cut + timedelta(days=days.high) else at
