"""Food day by day against the plant on hand: what is eaten by when, until when it lasts, and how sure that is."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers import appetite, naming
from nurserytui.answers.eaters import Eaters, days_ahead, instars_of
from nurserytui.answers.portions import PIECE_OF
from nurserytui.answers.warmth import moment_of
from nurserytui.biology import feeding
from nurserytui.biology.ranges import Range, exactly, product, quotient

UNTIL = r"\b(?:until|till?|to|by|through|thru|before|up to|up until)\s+(?:the\s+)?"
NOTHING_LEFT = 1e-9


class Plan(NamedTuple):
    """What the animals eat from now on, in grams of fresh leaf."""

    ends: tuple[datetime, ...]
    """The midnights that end the days; () where how fast they grow is not known."""
    daily: tuple[float, ...]
    total: float
    spread: Range
    """Factor between the middle and the bounds: of the food of one larva, and of how far along they are."""
    stage: Range
    """The part of it that is due to how far along they are."""

    @property
    def whole(self) -> Range:
        return self.spread.times(self.total)

    def eaten_by(self, when: datetime, now: datetime) -> float:
        """Grams by a moment, evenly within each day."""
        gone, before = 0.0, now
        for end, grams in zip(self.ends, self.daily):
            if when >= end:
                gone += grams
            elif when > before:
                gone += grams * ((when - before) / (end - before))
            before = end
        return gone

    def when_gone(self, grams: float, now: datetime) -> datetime | None:
        """When so many grams are eaten; None if they last until the last has pupated, or as far as the plan goes."""
        before = now
        for end, day in zip(self.ends, self.daily):
            if grams < day - NOTHING_LEFT:
                return before + (end - before) * max(grams / day, 0.0)
            grams, before = grams - day, end
        return None


class Window(NamedTuple):
    start: datetime
    end: datetime
    words: str


class Stock(NamedTuple):
    """Plant on hand: so much of a unit, since when, and by whose word."""

    amount: float
    unit: str
    said: str
    """The unit as told: `pots`, `branches`."""
    since: datetime
    told: bool
    """True where the line tells it, False where it is the last record of it."""


def lay_out(who: Eaters, rations: dict[str, appetite.Ration], nursery) -> Plan:
    """Eating of all groups along the days ahead, each in the warmth of its own enclosure."""
    now = nursery.now
    ends = days_ahead(now, who.own)
    daily = [0.0] * len(ends)
    total = low = high = early = late = 0.0
    dated = all(group.curve for group in who.groups)
    for group in who.groups:
        instars = instars_of(group.species, nursery.knowledge)
        times, shares = feeding.time_shares(instars), feeding.food_shares(instars)
        grams = rations[group.species].grams
        left, most, least = (
            feeding.food_left([feeding.Feeder(group.count, at)], grams.value, times, shares)
            for at in (group.middle, group.early, group.late)
        )
        total, early, late = total + left, early + most, late + least
        low, high = low + left * grams.low / grams.value, high + left * grams.high / grams.value
        if dated:
            line, best, ahead = group.warm.timeline, 0.0, []
            for end in ends:
                if group.middle + best < 1.0:  # once they have pupated nothing more is eaten
                    best = max(best, line.progress(group.curve, now, end))
                ahead.append(best)
            eaten = feeding.by_day([feeding.Feeder(group.count, group.middle)], ahead, grams.value, times, shares)
            daily = [before + more for before, more in zip(daily, eaten)]
    if total <= 0.0:
        return Plan((), (), 0.0, exactly(1.0), exactly(1.0))
    last = max((at for at, grams in enumerate(daily) if grams > NOTHING_LEFT), default=-1) + 1 if dated else 0
    stage = Range(1.0, max(late / total, 0.01), early / total)
    return Plan(tuple(ends[:last]), tuple(daily[:last]), total, product(stage, Range(1.0, low / total, high / total)), stage)


def window_of(request, text: str, lasting: bool, now: datetime) -> Window | None:
    """The days that the line asks about, from now on; None where it asks about all that is left."""
    days = next((one for one in request.amounts if one.kind == "time"), None)
    period = request.period
    if period is not None and (end := _ahead(period, now)) > now:
        said = period.said.casefold()
        until = lasting or re.match(UNTIL, f"{said} ") or re.search(UNTIL + re.escape(said), text)
        return Window(now if until else max(now, period.start), end + timedelta(seconds=1), said)
    if days is not None:
        from nurserytui.amounts.factors import convert

        return Window(now, now + timedelta(days=min(convert(days.value, days.unit, "day"), 400)), days.said.casefold())
    return None


def _ahead(period, now: datetime) -> datetime:
    """The end of the period; of a weekday just past, its next coming, for food is asked about the days ahead."""
    end = period.end
    if end <= now < end + timedelta(days=7) and re.search(UNTIL + r"\w+day\b", period.said.casefold()):
        end += timedelta(days=7)
    return end


def used_since(who: Eaters, rations: dict[str, appetite.Ration], since: datetime, nursery) -> float:
    """Grams that the animals now living have eaten from `since` to now."""
    grams = 0.0
    for group in who.groups:
        if group.curve is None:
            continue
        instars = instars_of(group.species, nursery.knowledge)
        times, shares = feeding.time_shares(instars), feeding.food_shares(instars)
        gone = max(group.warm.timeline.progress(group.curve, since, nursery.now), 0.0)
        part = feeding.eaten(group.middle, times, shares) - feeding.eaten(group.middle - gone, times, shares)
        grams += group.count * part * rations[group.species].grams.value
    return grams


def hosts_meant(request, who: Eaters, nursery) -> tuple[str, ...]:
    """The plants meant: those named in the line, else those the cohorts feed on."""
    named = [name for host in request.hosts for name in naming.plants_among(host, nursery.knowledge)]
    if named:
        return tuple(dict.fromkeys(named))
    labels = dict.fromkeys(group.cohort for group in who.groups if group.cohort)
    return tuple(dict.fromkeys(host for label in labels if (host := nursery.ledger.cohorts[label].host)))


def on_hand(supply, hosts: tuple[str, ...], nursery) -> Stock | None:
    """What the line tells, else the last `stocked` event of one of the plants."""
    if supply is not None:
        return Stock(supply[0], supply[1], supply[1], nursery.now, True)
    for event in reversed(nursery.ledger.chronicle.events_of("stocked")):
        if event.count is not None:
            if any(naming.same_plant(event.host, host) for host in hosts if event.host):
                said = event.detail or "plants"
                unit = said if said in ("g", "cm2") else PIECE_OF.get(said, said)
                return Stock(float(event.count), unit, said, min(moment_of(event.when), nursery.now), False)
    return None


def margin(stock: Range, need: float, spread: Range) -> Range:
    """How many times the stock covers the need."""
    return quotient(stock, spread.times(need))
