"""Who eats, and how far along each group is: from the line, or from the records by the instar seen and the age since."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta
from math import hypot
from typing import NamedTuple

from nurserytui.answers.development import basis
from nurserytui.answers.outlook import feeding_larva, outlook
from nurserytui.answers.warmth import Warmth, warmth
from nurserytui.answers.whereabouts import path_of
from nurserytui.answers.wording import counted, listed, percent
from nurserytui.biology import feeding
from nurserytui.biology.rate import RateCurve

LATEST = 0.95
"""A larva that still is one is taken to be no further than this through its feeding time."""
SLOWEST_AND_FASTEST = (0.6, 2.0)
"""Bounds on the pace that is believed of a cohort."""
NEARLY = 0.93
"""From this through it, a larva is said to be about to stop feeding."""
EDGE = 1.645
HORIZON = 120
"""Days ahead within which eating is laid out; in the cold it may take longer."""
SHORTEST_DAY = timedelta(hours=1)


class Eating(NamedTuple):
    """Animals of one species that are equally far: fractions of feeding time behind them (below 0 for eggs), with their bounds."""

    count: float
    species: str
    cohort: str
    enclosure: str
    middle: float
    early: float
    late: float
    words: str
    curve: RateCurve | None
    """Feeding time done per day; None where nothing is known of the species."""
    warm: Warmth | None
    pace: float = 1.0
    """How many times as long as published the cohort's larvae take, by what was seen of them; already in `curve`."""


class Eaters(NamedTuple):
    groups: tuple[Eating, ...]
    words: str
    own: bool
    """True where they come from the records."""

    @property
    def count(self) -> int:
        return round(sum(one.count for one in self.groups))

    def some(self, count: int | None) -> Eaters:
        """Only `count` of them, from every group alike."""
        if count is None or not 0 < count < self.count:
            return self
        part = count / self.count
        groups = tuple(group._replace(count=group.count * part) for group in self.groups)
        return self._replace(groups=groups, words=f"{count} of {self.words}")

    @property
    def species(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one.species for one in self.groups))


def instars_of(species: str, knowledge) -> int:
    known = knowledge.species(species) if species and species != "unknown" else None
    return known.instars if known else 5


def feeding_curve(species: str, knowledge):
    """(curve of feeding time, basis) of a larva: its published time to the pupa less the day that it hangs and eats nothing."""
    found = basis(knowledge, species, "larva") if species else None
    if found is None:
        return None, None
    return feeding_larva(found.stage).curve, found


def stated(count: int, species: str, instar: int | None, nursery) -> Eaters:
    """So many larvae of the line, from hatching or from the start of an instar, in the warmth of the room."""
    instars = instars_of(species, nursery.knowledge)
    progress, start = 0.0, "from hatching to pupation"
    if instar and instar <= instars:
        progress = feeding.larval_progress(instar, 0.0, feeding.time_shares(instars))
        start = f"from the start of instar {instar} to pupation"
    curve, _ = feeding_curve(species, nursery.knowledge)
    warm = warmth(nursery, "", nursery.now) if curve else None
    words = f"{counted(count, 'larva', 'larvae')} {start}"
    return Eaters((Eating(count, species, "", "", progress, progress, progress, words, curve, warm),), start, False)


def recorded(cohorts, enclosures, nursery) -> Eaters:
    """The eggs and larvae of those cohorts (of all, where none are named) in those enclosures."""
    groups: list[Eating] = []
    place = enclosures[0] if enclosures else None
    for label in cohorts or (None,):
        for key, heads in nursery.heads(cohort=label, enclosure=place):
            if key.stage == "egg":
                groups.append(_eggs(key, heads, nursery))
            elif key.stage == "larva":
                groups.extend(larvae(key, heads, nursery))
    return of_groups(tuple(groups))


def of_groups(groups: tuple[Eating, ...]) -> Eaters:
    """Those groups with how far they are in words, by cohort where there are several."""
    several = len({one.cohort for one in groups}) > 1
    by_words: dict[str, int] = {}
    for one in groups:
        words = f"{one.words} ({one.cohort})" if several else one.words
        by_words[words] = by_words.get(words, 0) + one.count
    words = listed(f"{heads} {_one(words) if heads == 1 else words}" for words, heads in by_words.items())
    return Eaters(groups, words or "no eggs or larvae are left", True)


def _eggs(key, heads: int, nursery) -> Eating:
    """Eggs eat from the day they are expected to hatch; counted as if all hatch."""
    species = nursery.ledger.cohorts[key.cohort].species
    curve, _ = feeding_curve(species, nursery.knowledge)
    due = outlook(nursery, key.cohort, "hatch", key.enclosure, "", None, ("egg",)) if curve else None
    if due is None:
        return Eating(
            heads, species, key.cohort, key.enclosure, 0.0, 0.0, 0.0, "eggs, counted as whole larvae", curve, None
        )._replace(warm=warmth(nursery, key.enclosure, nursery.now) if curve else None)
    line, now = due.warmth.timeline, nursery.now

    def before(moment: datetime | None) -> float:
        return -max(line.progress(curve, now, moment), 0.0) if moment and moment > now else 0.0

    words = f"eggs, counted as whole larvae that hatch about {due.median.at:%d %b}"
    return Eating(
        heads, species, key.cohort, key.enclosure, before(due.median.at), before(due.last.high), before(due.first.low),
        words, curve, due.warmth,
    )  # fmt: skip


def larvae(key, heads: int, nursery):
    """One group for each way in which larvae of the key came to where they are."""
    species = nursery.ledger.cohorts[key.cohort].species
    curve, found = feeding_curve(species, nursery.knowledge)
    due = outlook(nursery, key.cohort, "prepupate", None, "", None, ("larva",)) if curve else None
    pace = min(max(due.shift, SLOWEST_AND_FASTEST[0]), SLOWEST_AND_FASTEST[1]) if due else 1.0
    curve = curve.scaled(pace) if curve else None
    times = feeding.time_shares(instars_of(species, nursery.knowledge))
    entries = nursery.ledger.entries(key.cohort, "larva", key.instar) if key.instar else []
    entries = entries or nursery.ledger.entries(key.cohort, "larva")
    since = min((entry.earliest for entry in entries), default=nursery.now)
    path = path_of(nursery.ledger, key, nursery.now)
    warm = warmth(nursery, key.enclosure, max(since, nursery.now - timedelta(days=400)), path=path) if curve else None
    spread = min(EDGE * hypot(found.stage.within, found.stage.between), 0.6) if found else 0.3
    left = heads
    for entry in entries:
        count = min(left, sum(number for held, number in entry.now if held == key))
        if count:
            left -= count
            span = _progress(entry, key.instar, times, curve, warm, spread, nursery.now)
            if span[0] >= LATEST and due:
                span = _overdue(due, span, curve, warm, nursery.now)
            words = _words(key.instar, span[0], times, entry.how == "found" and not entry.instar)
            yield Eating(count, species, key.cohort, key.enclosure, *span, words, curve, warm, pace)
    if left:
        instar = min(key.instar or 0, len(times))
        ends = [feeding.larval_progress(instar, part, times) for part in (0.5, 0.0, 1.0)] if instar else [0.5, 0.05, LATEST]
        words = _words(key.instar, ends[0], times, not instar)
        yield Eating(left, species, key.cohort, key.enclosure, *(min(end, LATEST) for end in ends), words, curve, warm, pace)


def _progress(entry, instar: int | None, times, curve, warm, spread: float, now: datetime) -> tuple[float, float, float]:
    """(middle, early, late) fraction of feeding time behind them now: where they stood on entering, and what the warmth added since."""
    known = min(entry.instar or instar or 0, len(times))
    if entry.how == "found":
        start = [feeding.larval_progress(known, part, times) for part in (0.5, 0.0, 1.0)] if known else [0.5, 0.05, 0.95]
    else:
        start = [feeding.larval_progress(max(known, 1), 0.0, times)] * 3
    first, last = min(entry.earliest, now), min(entry.latest, now)
    gone = [warm.timeline.progress(curve, at, now) if curve else 0.0 for at in (first + (last - first) / 2, last, first)]
    ends = [start[0] + gone[0], start[1] + gone[1] * (1 - spread), start[2] + gone[2] * (1 + spread)]
    if instar and instar <= len(times) and start[0] < (reached := feeding.larval_progress(instar, 0.0, times)):
        # Seen in a later instar than the one they entered in: at least at its beginning.
        ends = [max(end, reached) for end in ends]
    middle, early, late = (min(end, LATEST) for end in ends)
    return middle, min(early, middle), max(late, middle)


def _overdue(due, span: tuple[float, float, float], curve, warm: Warmth, now: datetime) -> tuple[float, float, float]:
    """Larvae that ought to have stopped eating by now, and have not: as far along as the forecast of their hanging up says."""
    left = [warm.timeline.progress(curve, now, max(at, now)) if at else 1.0 for at in (due.median.at, due.last.high)]
    middle, early = (min(max(1.0 - each, 0.0), LATEST) for each in left)
    return middle, min(early, span[1], middle), LATEST


def _words(instar: int | None, progress: float, times, half_grown: bool) -> str:
    """How far they are and how that is known; `half_grown`: nothing told how old they were when they came."""
    if instar and instar <= len(times) and progress <= feeding.larval_progress(instar, 1.0, times) + 1e-9:
        how = "about to stop feeding" if progress >= NEARLY else f"about {percent(progress)} through their feeding"
        return f"larvae in instar {instar}, {how}"
    if half_grown and not instar:
        return f"larvae, instar not known and taken as half grown when they came, about {percent(progress)} through their feeding"
    if progress >= NEARLY:
        return "larvae, by their age about to stop feeding"
    return f"larvae, by their age about {percent(progress)} through their feeding"


def _one(words: str) -> str:
    """The same of a single animal."""
    words = re.sub(r"^larvae", "larva", words)
    return re.sub(r"^eggs, counted as whole larvae that hatch", "egg, counted as a whole larva that hatches", words)


def days_ahead(now: datetime, dated: bool) -> list[datetime]:
    """The midnights that end today and each day ahead (the rest of a day of less than an hour goes with the next); where the days are
    not dated, days from now."""
    first = datetime.combine(now.date(), time()) + timedelta(days=1) if dated else now + timedelta(days=1)
    if first - now < SHORTEST_DAY:
        first += timedelta(days=1)
    return [first + timedelta(days=at) for at in range(HORIZON)]
