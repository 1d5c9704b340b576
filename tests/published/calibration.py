"""Simulation-based calibration: do truths fall where the forecast says, as often as it says?

The shared effect is drawn from its prior, animals are laid or found, their durations are drawn and laid along the temperature by plain
steps, a keeper looks now and then; what such a keeper would know goes into `forecast()`, and the moments at which the remaining animals
really change are ranked in its 50 % and 90 % intervals (Talts, Betancourt, Simpson, Vehtari & Gelman 2018, Validating Bayesian inference
algorithms with simulation-based calibration, arXiv:1804.06788). Nothing here uses the formulas under test: only `Stage` numbers are
shared. Seeds are fixed.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from datetime import date, datetime, timedelta
from itertools import pairwise
from math import exp, log1p, sqrt
from random import Random
from typing import NamedTuple

from uniform import SIGNIFICANCE, Tally
from weather import half_hourly, months

from nurserytui.biology.forecast import Changed, Group, Known, Look, Stage, Unknown, Window, forecast, instars
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

BASE, CEILING = 10.0, 30.0
NEEDS = {"egg": 50.0, "larva": 180.0, "pupa": 120.0}
"""Degree-days."""
WITHIN = BETWEEN = 0.10
EGG, LARVA, PUPA = (Stage(RateCurve.from_degree_days(BASE, need, CEILING), WITHIN, BETWEEN) for need in NEEDS.values())
INSTARS = instars(LARVA)
INSTAR_NEEDS = tuple(1.0 / stage.curve.rate(20.0) * 10.0 for stage in INSTARS)

START = date(2020, 4, 1)
NOON = 31.5
"""Days from the start of the air to the middle of a day with a month of weather before it."""


class Air:
    """Half-hourly temperatures from `START` on, and the degree-days they give, summed half-hour by half-hour."""

    def __init__(self, days: list[tuple[float, float]]):
        self.changes = len({*days}) > 1
        points = half_hourly(days, START)
        self.timeline = Timeline(points)
        self.heat = [0.0]
        for (_, before), (_, after) in pairwise(points):
            # Four pieces of each half hour: the base and the ceiling are crossed now and then.
            pieces = (before + (after - before) * (at + 0.5) / 4 for at in range(4))
            self.heat.append(self.heat[-1] + sum(min(max(celsius, BASE), CEILING) - BASE for celsius in pieces) / 4 / 48)

    def day(self, chance: Random) -> float:
        """The moment of a cohort's forecast: any of forty days in weather, so that no one day's weather decides."""
        return NOON + (chance.randrange(40) if self.changes else 0)

    def sum_at(self, day: float) -> float:
        at = int(day * 48)
        return self.heat[at] + (self.heat[at + 1] - self.heat[at]) * (day * 48 - at)

    def day_at(self, heat: float) -> float:
        at = min(bisect_right(self.heat, heat), len(self.heat) - 1)
        before, after = self.heat[at - 1], self.heat[at]
        return (at - 1 + (heat - before) / (after - before)) / 48

    def after(self, day: float, degree_days: float) -> float:
        return self.day_at(self.sum_at(day) + degree_days)


STEADY = Air([(20.0, 20.0)] * 200)
SPRING = Air([*months(4, 5)] * 4)
"""April and May of 2020 at Raleigh-Durham, over and over."""


def moment(day: float) -> datetime:
    return datetime(START.year, START.month, START.day) + timedelta(days=day)


class Told(NamedTuple):
    """One cohort: what its keeper knows, and the truth (days from the start of the air)."""

    stages: tuple[Stage, ...]
    groups: tuple[Group, ...]
    air: Air
    now: float
    effect: float
    done: list[float]


def draw(chance: Random, need: float, effect: float, within: float = WITHIN) -> float:
    """Degree-days of one animal."""
    spread = sqrt(log1p(within**2))
    return need * exp(effect + chance.gauss(0.0, spread) - spread**2 / 2)


def draw_standing(chance: Random, need: float, effect: float, within: float = WITHIN) -> tuple[float, float]:
    """(age, whole duration) in degree-days of an animal met in the stage: any moment of any animal's stage is as likely."""
    while True:
        whole, age = draw(chance, need, effect, within), chance.uniform(0.0, 3.5 * need)
        if age < whole:
            return age, whole


def effect_of(chance: Random) -> float:
    return chance.gauss(0.0, BETWEEN)


def looked(looks: list[float], changes: list[float], entered: float) -> tuple[tuple[Look, ...], tuple[Changed, ...]]:
    """What looks at `looks` tell of animals that changed at `changes`; those still unchanged at the last look are looked at then."""
    windows = []
    for after, by in pairwise([entered, *looks]):
        count = sum(after < each <= by for each in changes)
        if count:
            windows.append(Changed(moment(after), moment(by), count))
    return (Look(moment(looks[-1])),) if looks else (), tuple(windows)


def daily(chance: Random, start: float, now: float) -> list[float]:
    return every(1.0, start, now)


def third_day(chance: Random, start: float, now: float) -> list[float]:
    return every(3.0, start, now)


def every(step: float, start: float, now: float) -> list[float]:
    """Looks at a step, the last of them now."""
    count = int((now - start) / step - 1e-9)
    return [now - step * at for at in range(count, -1, -1)]


def irregular(chance: Random, start: float, now: float) -> list[float]:
    """Gaps from a quarter of a day to three days; the last look is now."""
    looks, at = [], start + chance.uniform(0.25, 3.0)
    while at < now - 0.25:
        looks.append(at)
        at += chance.uniform(0.25, 3.0)
    return [*looks, now]


def eggs(entry: str, count: int, air: Air, age: float, looks) -> Callable[[Random], Told | None]:
    """Eggs of which `age` days ago (from now) they were laid, or found, or that came in a two-day window ending then."""

    def cohort(chance: Random) -> Told | None:
        effect, now = effect_of(chance), air.day(chance)
        start, need = now - age, NEEDS["egg"]
        if entry == "laid":
            known, mark = Known(moment(start)), start
            ends = [air.after(start, draw(chance, need, effect)) for _ in range(count)]
        elif entry == "window":
            known, mark = Window(moment(start - 2.0), moment(start)), start - 2.0
            low, high = air.sum_at(start - 2.0), air.sum_at(start)
            ends = [air.day_at(chance.uniform(low, high) + draw(chance, need, effect)) for _ in range(count)]
        elif entry == "found":
            known, mark = Unknown(moment(start)), start
            standing = (draw_standing(chance, need, effect) for _ in range(count))
            ends = [air.after(start, whole - spent) for spent, whole in standing]
        elif entry == "batch":
            known, mark = Unknown(moment(start), together=True), start
            ends = [air.after(start, left) for left in _batch(chance, need, effect, count)]
        else:
            known, mark = Unknown(moment(start)), start
            ends = [_laid_by_day(chance, need, effect, air, start) for _ in range(count)]
        seen, changed = looked(looks(chance, mark if entry == "window" else start, now), ends, mark) if looks else ((), ())
        left = [each for each in ends if each > now]
        if not left:
            return None
        return Told((EGG,), (Group(len(left), known, seen, changed),), air, now, effect, left)

    return cohort


def _batch(chance: Random, need: float, effect: float, count: int) -> list[float]:
    """Degree-days left of the eggs of one batch met whole: one age for all, each egg still an egg."""
    age, first = draw_standing(chance, need, effect)
    left = [first - age]
    while len(left) < count:
        whole = draw(chance, need, effect)
        if whole > age:
            left.append(whole - age)
    return left


def _whole_batch(chance: Random, need: float, count: int) -> tuple[float, list[float]]:
    """As a keeper meets it: batches of all ages are as common, and those with an egg hatched are passed by."""
    while True:
        effect, age = effect_of(chance), chance.uniform(0.0, 2.5 * need)
        whole = [draw(chance, need, effect) for _ in range(count)]
        if min(whole) > age:
            return effect, [each - age for each in whole]


def whole_batch(count: int) -> Callable[[Random], Told | None]:
    def cohort(chance: Random) -> Told | None:
        effect, left = _whole_batch(chance, NEEDS["egg"], count)
        found = Unknown(moment(NOON), together=True)
        return Told((EGG,), (Group(count, found),), STEADY, NOON, effect, [STEADY.after(NOON, each) for each in left])

    return cohort


def _laid_by_day(chance: Random, need: float, effect: float, air: Air, found: float) -> float:
    """End of an egg met at `found`, laid at any hour between 9 and 18 of any day before it."""
    while True:
        day = found - chance.uniform(0.0, 25.0)
        if 0.375 <= day % 1.0 <= 0.75:
            end = air.after(day, draw(chance, need, effect))
            if end > found:
                return end


def unlooked(count: int) -> Callable[[Random], Told | None]:
    """Laid four and a half days ago, looked at a day ago, and (unknown to the keeper) all that were eggs then are eggs now."""

    def cohort(chance: Random) -> Told | None:
        effect, start = effect_of(chance), NOON - 4.5
        ends = [STEADY.after(start, draw(chance, NEEDS["egg"], effect)) for _ in range(count)]
        if any(NOON - 1.0 < each <= NOON for each in ends):
            return None
        seen, changed = looked([NOON - 1.0], ends, start)
        left = [each for each in ends if each > NOON]
        return (
            Told((EGG,), (Group(len(left), Known(moment(start)), seen, changed),), STEADY, NOON, effect, left) if left else None
        )

    return cohort


def larvae(first: int, count: int, air: Air, looks, age: float = 2.0, alike: bool = False) -> Callable[[Random], Told | None]:
    """Larvae found in one instar, its age unknown, followed for `age` days; those that moulted are kept apart. `alike`: an animal
    that is slow in one instar is as slow in all, which the instars of the forecast do not assume."""
    stages, needs = INSTARS[first - 1 :], INSTAR_NEEDS[first - 1 :]
    within = stages[0].within

    def cohort(chance: Random) -> Told | None:
        effect, now = effect_of(chance), air.day(chance)
        found, moults, ends = now - age, [], []
        for _ in range(count):
            if alike:
                own = chance.gauss(0.0, sqrt(log1p(WITHIN**2)))
                whole = needs[0] * exp(effect + own)
                at = air.after(found, chance.uniform(0.0, 1.0) * whole)
                rest = [need * exp(effect + own) for need in needs[1:]]
            else:
                spent, whole = draw_standing(chance, needs[0], effect, within)
                at = air.after(found, whole - spent)
                rest = [draw(chance, need, effect, within) for need in needs[1:]]
            moults.append(at)
            for need in rest:
                at = air.after(at, need)
            ends.append(at)
        times = looks(chance, found, now)
        seen, changed = looked(times, moults, found)
        groups = []
        left = sum(each > now for each in moults)
        groups.append(Group(left, Unknown(moment(found)), seen, changed))
        for after, by in pairwise([found, *times]):
            here = sum(after < each <= by for each in moults)
            if here:
                groups.append(Group(here, Window(moment(after), moment(by)), (), (), 1))
        # A second moult within the follow-up would have been seen as well: too short for it, but for a rare cohort.
        return Told(stages, tuple(groups), air, now, effect, ends)

    return cohort


def chain(entry: str, count: int, air: Air, age: float, looks) -> Callable[[Random], Told | None]:
    """Eggs to adults: `laid` or `found` eggs, some of which may have hatched by now."""
    stages = (EGG, LARVA, PUPA)

    def cohort(chance: Random) -> Told | None:
        effects = [effect_of(chance) for _ in stages]
        now = air.day(chance)
        start = now - age
        known = Known(moment(start)) if entry == "laid" else Unknown(moment(start))
        hatches, ends = [], []
        for _ in range(count):
            spent, whole = (
                (0.0, draw(chance, NEEDS["egg"], effects[0]))
                if entry == "laid"
                else draw_standing(chance, NEEDS["egg"], effects[0])
            )
            at = air.after(start, whole - spent)
            hatches.append(at)
            for need, effect in zip((NEEDS["larva"], NEEDS["pupa"]), effects[1:], strict=True):
                at = air.after(at, draw(chance, need, effect))
            ends.append(at)
        times = looks(chance, start, now) if looks else []
        seen, changed = looked(times, hatches, start)
        groups = [Group(sum(each > now for each in hatches), known, seen, changed)]
        for after, by in pairwise([start, *times]):
            here = sum(after < each <= by for each in hatches)
            if here:
                groups.append(Group(here, Window(moment(after), moment(by)), (), (), 1))
        return Told(stages, tuple(groups), air, now, effects[0] if groups[0].count else effects[1], ends)

    return cohort


OWN, CHAINED, OTHERWISE = "own", "chained", "otherwise"
CHAIN_SLACK, OTHERWISE_SLACK = 0.03, 0.10


class Case(NamedTuple):
    name: str
    cohort: Callable[[Random], Told | None]
    count: int
    kind: str = OWN
    """What must hold, beyond the bad luck of `uniform.SIGNIFICANCE`. `own`: drawn as the forecast assumes, so ranks are even. `chained`:
    likewise, but several stages in a row, which the forecast sums over a few dozen points: coverage within 3 percentage points.
    `otherwise`: drawn as the forecast does not assume: coverage is at most 10 percentage points too small."""


CASES = (
    Case("1 egg laid, daily looks, steady", eggs("laid", 1, STEADY, 4.5, daily), 1),
    Case("12 eggs laid, daily looks, some hatched, steady", eggs("laid", 12, STEADY, 5.0, daily), 12),
    Case("12 eggs laid, looks every 3 days, steady", eggs("laid", 12, STEADY, 4.6, third_day), 12),
    Case("12 eggs laid, irregular looks, weather", eggs("laid", 12, SPRING, 6.0, irregular), 12),
    Case("12 eggs of two days, irregular looks, weather", eggs("window", 12, SPRING, 5.5, irregular), 12),
    Case("1 egg laid, a day without a look, still an egg", unlooked(1), 1, OTHERWISE),
    Case("1 egg found today, steady", eggs("found", 1, STEADY, 0.0, None), 1),
    Case("1 egg found 2 days ago, daily looks, weather", eggs("found", 1, SPRING, 2.0, daily), 1),
    Case("12 eggs found, irregular looks, weather", eggs("found", 12, SPRING, 4.0, irregular), 12),
    Case("12 eggs laid by day at any time, found, daily looks, weather", eggs("by day", 12, SPRING, 3.0, daily), 12, OTHERWISE),
    Case("batch of 12 found today, steady", eggs("batch", 12, STEADY, 0.0, None), 12),
    Case("batch of 12 found, daily looks, weather", eggs("batch", 12, SPRING, 3.0, daily), 12),
    Case("batch of 12 taken because it is whole, steady", whole_batch(12), 12, OTHERWISE),
    Case("1 larva found in its third instar, steady", larvae(3, 1, STEADY, daily), 1, CHAINED),
    Case("10 larvae found in their third instar, daily looks, weather", larvae(3, 10, SPRING, daily), 10, CHAINED),
    Case("10 larvae, each as slow in all its instars", larvae(3, 10, SPRING, daily, alike=True), 10, OTHERWISE),
    Case("12 eggs laid to adults, daily looks, some hatched, steady", chain("laid", 12, STEADY, 5.0, daily), 12, CHAINED),
    Case("12 eggs laid to adults, irregular looks, weather", chain("laid", 12, SPRING, 4.0, irregular), 12, CHAINED),
    Case("12 eggs found to adults, every 3 days, weather", chain("found", 12, SPRING, 4.0, third_day), 12, CHAINED),
)

SHARES = (0.05, 0.20, 0.25, 0.25, 0.20, 0.05)
"""Bins between the ends of the 90 % interval, of the 50 % interval, and the median."""
SHIFT_SHARES = (0.05, 0.20, 0.50, 0.20, 0.05)


def ranked(case: Case, replicates: int, seed: int = 1) -> dict[str, Tally]:
    """Bins into which the first, middle and last of the remaining animals, and the shared effect, fell."""
    chance = Random(f"{seed} {case.name}")
    whats = ("first", "middle", "last") if case.count > 1 else ("middle",)
    tallies = {what: Tally(SHARES, [0] * len(SHARES)) for what in whats}
    tallies["effect"] = Tally(SHIFT_SHARES, [0] * len(SHIFT_SHARES))
    known: dict = {}
    done = 0
    while done < replicates:
        told = case.cohort(chance)
        if told is None:
            continue
        done += 1
        key = (told.groups, told.now)
        if key not in known:
            known[key] = _edges(told, whats)
        moments, shifts = known[key]
        ends = sorted(told.done)
        # Of an even number either of the two in the middle, at evens.
        middle = ends[chance.choice(((len(ends) - 1) // 2, len(ends) // 2))]
        for what, value in (("first", ends[0]), ("middle", middle), ("last", ends[-1])):
            if what in tallies:
                tallies[what].counts[sum(moment(value) > edge for edge in moments[what])] += 1
        tallies["effect"].counts[sum(exp(told.effect) > edge for edge in shifts)] += 1
    return tallies


def _edges(told: Told, whats: tuple[str, ...]) -> tuple[dict[str, tuple[datetime, ...]], tuple[float, ...]]:
    wide, narrow = (forecast(told.stages, told.groups, told.air.timeline, moment(told.now), level) for level in (0.9, 0.5))
    moments = {}
    for what in whats:
        one, other = (getattr(each, "median" if what == "middle" else what) for each in (wide, narrow))
        moments[what] = (one.low, other.low, one.at, other.high, one.high)
    return moments, (wide.shift_low, narrow.shift_low, narrow.shift_high, wide.shift_high)


class Row(NamedTuple):
    case: Case
    what: str
    tally: Tally

    @property
    def faults(self) -> list[str]:
        """What does not hold of what `Case.kind` promises."""
        slack = {OWN: 0.0, CHAINED: CHAIN_SLACK, OTHERWISE: OTHERWISE_SLACK}[self.case.kind]
        said = []
        for level, cut in ((50, 2), (90, 1)):
            short = self.tally.short(cut)
            if short > slack + self.tally.luck(cut):
                said.append(f"{level} % interval too narrow")
            if self.case.kind != OTHERWISE and -short > slack + self.tally.luck(cut):
                said.append(f"{level} % interval too wide")
        if self.case.kind == OWN and self.tally.tail < SIGNIFICANCE:
            said.append("ranks uneven")
        return said


def rows(case: Case, replicates: int) -> list[Row]:
    found = [Row(case, what, tally) for what, tally in ranked(case, replicates).items()]
    # What the cohort shares is drawn by another rule where a case is not the forecast's own.
    return [row for row in found if row.what != "effect" or case.kind != OTHERWISE]


Table = tuple[str, tuple[str, ...], list[tuple[str, ...]]]


def tables(replicates: int = 300, cases: tuple[Case, ...] = CASES) -> list[Table]:
    """(title, header, rows); the last column of a row is `holds` or what does not hold."""
    out = []
    for case in cases:
        for row in rows(case, replicates):
            tally = row.tally
            out.append(
                (
                    case.name,
                    row.what,
                    f"{tally.inside(2):.0%}",
                    f"{tally.inside(1):.0%}",
                    f"{tally.chi_square:.1f}",
                    f"{tally.tail:.3f}" if case.kind == OWN else "",
                    case.kind,
                    "; ".join(row.faults) or "holds",
                )
            )
    title = (
        f"Calibration of the forecast: {replicates} simulated cohorts a row; truths in its 50 % and 90 % intervals, chi-square of ranks in "
        f"{len(SHARES)} bins ({len(SHIFT_SHARES)} for the shared effect). Drawn as it assumes (own): ranks even at a significance of "
        f"{SIGNIFICANCE:g}; several stages (chained): coverage within {CHAIN_SLACK:.0%}; drawn otherwise: at most {OTHERWISE_SLACK:.0%} short"
    )
    return [(title, ("cohort", "of", "in 50 %", "in 90 %", "chi²", "p", "drawn", ""), out)]
