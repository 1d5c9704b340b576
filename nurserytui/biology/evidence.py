"""What was seen of a group, and what it says about the effect that the cohort shares.

Everything here is in progress: fractions of the stage's published mean duration. Given the shared effect u, one animal's duration is
lognormal with mean exp(u). A group's remaining time then has one branch, or, for a batch of one unknown age, a branch per age.
"""

from collections.abc import Callable
from datetime import datetime
from math import erfc, exp, inf, log, log1p, sqrt
from typing import NamedTuple

from nurserytui.biology.groups import Group, Known, Stage, Unknown, Window
from nurserytui.biology.normal import ROOT_HALF, quantile
from nurserytui.biology.timeline import Timeline

Survivor = Callable[[float], float]
"""Chance that one animal is still in the stage at a progress, counted from the group's mark (see `Seen`)."""

NEVER = -700.0
"""Logarithm of a chance too small for a float."""

FARTHEST = 30.0
"""Standard deviations beyond which an overdue animal is treated as no further overdue, so that chances stay above zero."""

GRID = 31
"""Nodes for the shared effect. A smooth density needs fewer; the first and last of many animals need the steps this fine."""

AGES = TOGETHER_GRID = 15
"""Nodes for the one unknown age of a batch, and for the shared effect beside it."""

YOUNGEST, HALF = 1e-6, log(0.5)
"""Progress that stands for an age of 0, and the logarithm of its weight among the ages."""


class Branch(NamedTuple):
    weight: float
    survivor: Survivor


class Seen:
    """A group in terms of progress. Its mark is the entry (known), the end of the window, or the finding (age unknown)."""

    def __init__(self, group: Group, stage: Stage, timeline: Timeline, now: datetime):
        entry = group.entry
        mark = entry.at if isinstance(entry, Known) else entry.by if isinstance(entry, Window) else entry.found
        track = timeline.track(stage.curve)
        zero = track.sum_at(timeline.offset(mark))

        def progress(when: datetime) -> float:
            return track.sum_at(timeline.offset(min(when, now))) - zero

        self.group, self.spread = group, sqrt(log1p(stage.within * stage.within))
        self.width = -progress(entry.after) if isinstance(entry, Window) else 0.0
        self.unknown = isinstance(entry, Unknown)
        self.together = self.unknown and entry.together
        looks = [look.at for look in group.looks if look.count is None]
        self.now = progress(now)
        self.last = max((progress(at) for at in looks), default=None)
        self.lost = [(progress(look.at), look.count) for look in group.looks if look.count]
        self.changed = [(progress(each.after), progress(each.by), each.count) for each in group.changed if each.count]
        self._weighed: dict[tuple[float, bool], tuple[float, list[Branch]]] = {}

    def weigh(self, effect: float, remaining: bool = True) -> tuple[float, list[Branch]]:
        """Logarithm of the likelihood of what was seen given the shared effect, and the branches with their weights.

        `remaining` False leaves out that the remaining animals were unchanged at their last look.
        """
        known_already = self._weighed.get((effect, remaining))
        if known_already is None:
            known_already = self._weighed[effect, remaining] = self._weigh(effect, remaining)
        return known_already

    def _weigh(self, effect: float, remaining: bool) -> tuple[float, list[Branch]]:
        if not self.together:
            survivor = self.survivor(effect)
            return self._likelihood(survivor, remaining), [Branch(1.0, survivor)]
        mean, survivors = exp(effect), {}

        def density(age: float) -> float:
            fresh = known(effect, self.spread)
            survivor = survivors[age] = known(effect, self.spread, age)
            # At age 0 the density does not vanish as it does at its other ends: the trapezoid rule counts that end half.
            end = HALF if age <= YOUNGEST else 0.0
            return log(max(fresh(age), 1e-300)) + self._likelihood(survivor, remaining) + end

        ages = grid(density, YOUNGEST, mean * exp(5.0 * self.spread), AGES, AGES)
        step = ages.step / mean
        return ages.top + log(ages.total * step), [Branch(weight, survivors[age]) for age, weight in ages.nodes]

    def survivor(self, effect: float) -> Survivor:
        if self.unknown:
            return found(effect, self.spread)
        return within(effect, self.spread, self.width) if self.width > 0.0 else known(effect, self.spread)

    def _likelihood(self, survivor: Survivor, remaining: bool) -> float:
        total = 0.0
        if remaining and self.last is not None and self.group.count:
            total += self.group.count * log(survivor(self.last))
        for at, count in self.lost:
            total += count * log(survivor(at))
        for after, by, count in self.changed:
            chance = survivor(after) - survivor(by)
            total += count * (log(chance) if chance > 1e-300 else NEVER)
        return total


def known(effect: float, spread: float, age: float = 0.0) -> Survivor:
    """Age known: the lognormal's upper tail, from `age` on; certain before the entry (or, with an age, before the finding)."""
    centre = effect - 0.5 * spread * spread
    scale, farthest = ROOT_HALF / spread, exp(centre + FARTHEST * spread)
    start = 1.0 if not age else 0.5 * erfc((log(min(age, farthest)) - centre) * scale)

    def survivor(at: float) -> float:
        if at <= 0.0:
            return 1.0
        at += age
        return 0.5 * erfc((log(min(farthest, at)) - centre) * scale) / start

    return survivor


def _excess(effect: float, spread: float) -> Callable[[float], float]:
    """Mean of the duration's part beyond `at`, E[max(D - at, 0)]: the mean less the limited expected value E[min(D, at)]."""
    mean, centre = exp(effect), effect - 0.5 * spread * spread
    scale, farthest, shift = ROOT_HALF / spread, exp(centre + FARTHEST * spread), spread * ROOT_HALF

    def excess(at: float) -> float:
        if at <= 0.0:
            return mean - at
        at = min(farthest, at)
        z = (log(at) - centre) * scale
        return 0.5 * (mean * erfc(z - shift) - at * erfc(z))

    return excess


def within(effect: float, spread: float, width: float) -> Survivor:
    """Entered evenly over the `width` (in progress) before the mark: the tail averaged over it."""
    mean, centre = exp(effect), effect - 0.5 * spread * spread
    scale, limit, shift = ROOT_HALF / spread, exp(centre + FARTHEST * spread), spread * ROOT_HALF
    farthest = exp(effect + (FARTHEST - 1.0) * spread)

    def survivor(at: float) -> float:
        # The excess (see `_excess`) at the progress and a width after it, written out: this is asked tens of thousands of times.
        if at <= -width:
            return 1.0
        at = min(farthest, at)
        if at <= 0.0:
            near = mean - at
        else:
            here = min(limit, at)
            z = (log(here) - centre) * scale
            near = 0.5 * (mean * erfc(z - shift) - here * erfc(z))
        there = min(limit, at + width)
        z = (log(there) - centre) * scale
        far = 0.5 * (mean * erfc(z - shift) - there * erfc(z))
        return min(max((near - far) / width, 1e-300), 1.0)

    return survivor


def found(effect: float, spread: float) -> Survivor:
    """Found at an unknown age: the residual of a duration, with density (1 - F) / mean (renewal theory: Cox 1962, Renewal Theory)."""
    excess, mean = _excess(effect, spread), exp(effect)

    def survivor(at: float) -> float:
        return max(excess(at), 1e-300) / mean if at > 0.0 else 1.0

    return survivor


def falling(survivor: Survivor, reached: float) -> float:
    """`reached`, or the nearest progress before it from which the chance still falls.

    Beyond FARTHEST a survivor stands still at its floor, and what is never done by it would be taken for what does not grow: what is so far
    past its time is no further overdue, but not less so.
    """
    floor = survivor(inf) * 1e9
    while survivor(reached) < floor and reached > 1e-3:
        reached *= 0.95
    return reached


class Grid(NamedTuple):
    nodes: list[tuple[float, float]]
    """(value, weight); weights sum to 1."""
    step: float
    top: float
    """Highest logarithm of the density, and the sum of densities relative to it: total density is exp(top) * total * step."""
    total: float

    def mean(self) -> float:
        return sum(value * weight for value, weight in self.nodes)

    def quantile(self, chance: float) -> float:
        """The value below which the distribution lies with `chance`, straight on the normal scale between the borders of cells.

        A node's weight is the density's height, not its area over the cell: the border's chance takes the slope there into account
        (midpoint rule with its first correction), or a distribution that few cells hold would come out too wide or too narrow.
        """
        nodes, reached, start = self.nodes, 0.0, 0.0
        for at in range(len(nodes) - 1):
            reached += nodes[at][1]
            end = reached + (nodes[at + 1][1] - nodes[at][1]) / 24.0
            if end >= chance:
                break
            start = end
        else:
            at, end = len(nodes) - 1, 1.0
        part = (chance - start) / (end - start)
        if 0.0 < start and end < 1.0:
            part = (quantile(chance) - quantile(start)) / (quantile(end) - quantile(start))
        return nodes[at][0] + self.step * (part - 0.5)


def grid(density: Callable[[float], float], low: float, high: float, count: int = GRID, scout: int = GRID) -> Grid:
    """Even nodes where a density (given by its logarithm) is not negligible between `low` and `high`, narrowed until they resolve it."""
    for _ in range(6):
        step = (high - low) / (scout - 1)
        values = [low + step * at for at in range(scout)]
        logs = [density(value) for value in values]
        floor = max(logs) - 10.0
        heavy = [at for at, each in enumerate(logs) if each > floor]
        if len(heavy) * 2 > scout:
            break
        low, high = values[max(heavy[0] - 1, 0)], values[min(heavy[-1] + 1, scout - 1)]
    if count != scout:
        step = (high - low) / (count - 1)
        values = [low + step * at for at in range(count)]
        logs = [density(value) for value in values]
    top = max(logs)
    weights = [exp(each - top) for each in logs]
    total = sum(weights)
    kept = [(value, weight) for value, weight in zip(values, weights, strict=True) if weight > 1e-4]
    heavy_total = sum(weight for _, weight in kept)
    return Grid([(value, weight / heavy_total) for value, weight in kept], step, top, total)


def posterior(seen: list[Seen], between: float, remaining: bool = True) -> Grid:
    """The shared effect after what was seen of all groups that share it: Normal(0, `between`) times the likelihood, on a grid."""
    if between <= 0.0:
        return Grid([(0.0, 1.0)], 0.0, 0.0, 1.0)

    def density(effect: float) -> float:
        return -0.5 * (effect / between) ** 2 + sum(each.weigh(effect, remaining)[0] for each in seen)

    count = TOGETHER_GRID if any(each.together for each in seen) else GRID
    return grid(density, -6.0 * between, 6.0 * between, count, count)
