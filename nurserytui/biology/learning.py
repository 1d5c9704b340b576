"""What this nursery's own finished stages say about its next ones.

The effect of a cohort at a stage is the logarithm of its mean duration over the published one. It is a sum of four independent normal
parts: of the nursery (its thermometer hangs in a warmer spot, its rooms are drier), of the species there (population, plant), of the
species at that stage, and of the cohort at that stage (parents, host, place). A stage's `between` is the standard deviation of the whole sum,
so a nursery without lessons keeps the published doubt. What is learned is the first three parts, by exact linear algebra.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from math import exp, log, sqrt
from typing import NamedTuple

from nurserytui.biology.evidence import Seen, grid
from nurserytui.biology.groups import Changed, Group, Stage, Unknown
from nurserytui.biology.timeline import Timeline

COHORT = 0.06
"""Standard deviation (log) of a cohort's part. Groups of *Pieris rapae* of three populations at 16, 26 and 34 °C (Parker & Kingsolver's
records, means of 14 to 37 animals) lie 0.09 (larvae) and 0.07 (pupae) off what population and temperature explain together, of which
0.02 is chance within groups; taken a little lower, because the hottest of these temperatures is one at which populations differ most."""
NURSERY = 0.05
"""Standard deviation (log) of the nursery's part. Judged: a thermometer 0.6 °C off, or hung so, at 12 °C above the threshold is 5 %."""
SPECIES_SHARE = 0.5
"""Share of the remaining variance that all stages of a species have in common, the rest being the stage's own. Published thresholds of
12 species about the figures of their relatives: the stages' deviations correlate 0.34 (egg, larva), 0.59 (egg, pupa), 0.51 (larva, pupa)."""
FIXED_MOST = 0.75
"""Most of a stage's variance that nursery and cohort may take, where the published doubt is very small."""
SCALES = ((0.0, 0.6), (2.5, 0.4))
"""(factor on the variance of the shared parts, chance of it), mean 1: a nursery often is as published, and where it is not, it is off by
more than the usual. Judged; it keeps an average nursery from learning from chance."""

ASTRAY = 0.1
"""Chance that an animal that was seen unchanged does not go on at the stage's pace at all: dead, parasitised, waiting for winter."""
SLIP = 1e-3
"""Least chance of any change as recorded: slips of the pen, and changes that were seen late."""
FAR = 4.0
"""Times `between` beyond which a stage's pace is no lesson: a winter's rest, a slip, another temperature than the one recorded."""
VAGUE = 0.05
"""Least precision of a lesson, as a share of the wide prior's: one that only leans (found, and gone on soon) keeps a finite effect."""
NAMED = 0.15
"""Standard deviation (log) up to which what lessons show by themselves is worth naming."""
NODES, SCOUT = 17, 13
"""Nodes for a lesson's effect, of which only mean and variance are wanted."""


class Lesson(NamedTuple):
    """What one cohort's finished stage says by itself: its likelihood as a normal one."""

    cohort: str
    """Cohorts of one name (parts of a split one) share the cohort's part."""
    species: str
    stage: str
    effect: float
    """Logarithm of its duration over the published one."""
    variance: float
    between: float
    """The stage's published doubt (`Stage.between`)."""
    animals: int
    """Animals that were seen to change."""


class Shown(NamedTuple):
    """What some lessons show by themselves."""

    lessons: int
    animals: int
    factor: float | None
    """Their mean duration over the published one, weighted by precision; None where they are too vague to name one."""


class Learned(NamedTuple):
    factor: float
    """This nursery's duration over the published one, drawn towards 1 by how little is known: multiply durations by it."""
    between: float
    """What stays uncertain for the next cohort (log standard deviation): put it in the place of the stage's own."""
    own: Shown | None
    """The lessons of the same species and stage."""
    kin: Shown | None
    """Those of other stages of the species."""
    others: Shown | None
    """Those of other species."""

    def applied(self, stage: Stage) -> Stage:
        """The stage as this nursery sees it."""
        return stage._replace(curve=stage.curve.scaled(self.factor), between=self.between)


class _Finished(Seen):
    """A group whose animals need not all be alive, nor every record right."""

    def _likelihood(self, survivor, remaining: bool) -> float:
        total, last = 0.0, self.last
        for at, count in [*self.lost, (last, self.group.count)] if last is not None else self.lost:
            if count:
                total += count * log(ASTRAY + (1.0 - ASTRAY) * survivor(at))
        for after, by, count in self.changed:
            total += count * log((1.0 - SLIP) * max(survivor(after) - survivor(by), 0.0) + SLIP)
        return total


def effect_of(finished: Iterable[tuple[Group, Stage]], timeline: Timeline, now: datetime) -> tuple[float, float, int] | None:
    """(effect, variance, animals changed) of one cohort at one stage, by its groups; None where it is no lesson.

    Each group comes with the stage as it counts for it. Animals found together at an unknown age count as one. None if none changed or the
    pace is too far off the published one to be a pace.
    """
    seen, changed, between = [], 0, 0.0
    for group, stage in finished:
        changed += sum(each.count for each in group.changed)
        between = max(between, stage.between)
        seen.append(_Finished(_one_of(group), stage, timeline, now))
    if not changed or between <= 0.0:
        return None
    wide = max(2.0 * between, 0.2)

    def density(effect: float) -> float:
        return -0.5 * (effect / wide) ** 2 + sum(each.weigh(effect)[0] for each in seen)

    found = grid(density, -6.0 * wide, 6.0 * wide, NODES, SCOUT)
    mean = found.mean()
    if abs(mean) > FAR * between:
        return None
    variance = sum(weight * (value - mean) ** 2 for value, weight in found.nodes) + found.step**2 / 12.0
    # Taking the wide prior back out leaves the likelihood alone.
    own = max(1.0 / variance - 1.0 / wide**2, VAGUE / wide**2)
    return mean / (variance * own), 1.0 / own, changed


def _one_of(group: Group) -> Group:
    """Animals found together are often of one age, so that they tell about one: the middle change stands for all."""
    if not isinstance(group.entry, Unknown):
        return group
    entry = Unknown(group.entry.found)
    if not group.changed:
        return Group(min(group.count, 1), entry, group.looks)
    ordered = sorted(group.changed, key=lambda each: each.by)
    half, reached = sum(each.count for each in ordered) / 2.0, 0
    for middle in ordered:
        reached += middle.count
        if reached >= half:
            break
    return Group(0, entry, (), (Changed(middle.after, middle.by, 1),))


def parts(between: float) -> tuple[float, float, float, float]:
    """Standard deviations of the parts of the nursery, the species, the species' stage and the cohort; their variances add to between²."""
    whole = between * between
    part = min(1.0, FIXED_MOST * whole / (NURSERY**2 + COHORT**2))
    rest = whole - part * (NURSERY**2 + COHORT**2)
    return NURSERY * sqrt(part), sqrt(rest * SPECIES_SHARE), sqrt(rest * (1.0 - SPECIES_SHARE)), COHORT * sqrt(part)


class _Cell:
    """All lessons of one species and stage, as one number (exact: they share all but the cohorts' own parts)."""

    __slots__ = ("species", "stage", "parts", "cohorts", "precision", "pull")

    def __init__(self, species: str, stage: str, between: float, lessons: Iterable[Lesson] = ()) -> None:
        self.species, self.stage, self.parts = species, stage, parts(between)
        sums: dict[str, tuple[float, float]] = {}
        for one in lessons:
            own, weighted = sums.get(one.cohort, (0.0, 0.0))
            sums[one.cohort] = own + 1.0 / one.variance, weighted + one.effect / one.variance
        self.cohorts: dict[str, tuple[float, float]] = {}
        for cohort, (own, weighted) in sums.items():
            weight = 1.0 / (1.0 / own + self.alone)
            self.cohorts[cohort] = weight, weight * weighted / own
        self.precision = sum(weight for weight, _ in self.cohorts.values())
        self.pull = sum(pull for _, pull in self.cohorts.values())

    @property
    def alone(self) -> float:
        """Variance of a cohort's own part."""
        return self.parts[3] ** 2

    def without(self, cohort: str) -> tuple[float, float]:
        """Precision and pull of all cohorts but that one; 0 precision if it was the only one."""
        if cohort not in self.cohorts:
            return self.precision, self.pull
        # Summed anew: a difference of sums would leave a rest where little is left.
        others = [each for label, each in self.cohorts.items() if label != cohort]
        return sum(weight for weight, _ in others), sum(pull for _, pull in others)

    def common(self, other: _Cell) -> float:
        """Covariance with another cell's effect."""
        mine, its = self.parts, other.parts
        found = mine[0] * its[0]
        if self.species == other.species:
            found += mine[1] * its[1]
            if self.stage == other.stage:
                found += mine[2] * its[2]
        return found


class Lessons:
    """The lessons of a nursery, put together once, to be asked for one species, stage and cohort after the other."""

    def __init__(self, lessons: Iterable[Lesson]) -> None:
        self._lessons = tuple(lessons)
        cells: dict[tuple[str, str], list[Lesson]] = {}
        for one in self._lessons:
            cells.setdefault((one.species, one.stage), []).append(one)
        self._cells = [_Cell(*key, own[0].between, own) for key, own in cells.items()]
        self._common = [[one.common(other) for other in self._cells] for one in self._cells]

    def learned(self, species: str, stage: str, between: float, without: str = "") -> Learned | None:
        """What they say (those of cohort `without` left out) of the next cohort of `species` at `stage`; None without any.

        `between` is the stage's published doubt.
        """
        used, effects, variances = [], [], []
        for at, cell in enumerate(self._cells):
            precision, pull = cell.without(without)
            if precision > 0.0:
                used.append(at)
                effects.append(pull / precision)
                variances.append(1.0 / precision)
        if not used:
            return None
        asked = _Cell(species, stage, between)
        across = [asked.common(self._cells[at]) for at in used]
        before = asked.common(asked)
        found = []
        for scale, chance in SCALES:
            root = cholesky([[scale * self._common[at][of] for of in used] for at in used], variances)
            told = forward(root, effects)
            pulls = forward(root, [scale * shared for shared in across])
            fits = log(chance) - 0.5 * sum(value * value for value in told) - sum(log(root[at][at]) for at in range(len(root)))
            mean = sum(one * other for one, other in zip(told, pulls, strict=True))
            rest = scale * before - sum(value * value for value in pulls)
            found.append((fits, mean, max(rest, 0.0)))
        mean, variance = _mixed(found)
        lessons = [one for one in self._lessons if one.cohort != without]
        kin = [one for one in lessons if one.species == species]
        return Learned(
            exp(mean),
            # What is off about others may make the nursery an odd one, but no lesson adds to the doubt published for this stage.
            min(sqrt(variance + asked.alone), between),
            _shown([one for one in kin if one.stage == stage]),
            _shown([one for one in kin if one.stage != stage]),
            _shown([one for one in lessons if one.species != species]),
        )


def _mixed(found: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    """Mean and variance of normals given by the logarithm of their weight, mean and variance."""
    top = max(fits for fits, _, _ in found)
    weights = [exp(fits - top) for fits, _, _ in found]
    total = sum(weights)
    mean = sum(weight * own for weight, (_, own, _) in zip(weights, found, strict=True)) / total
    square = sum(weight * (variance + own * own) for weight, (_, own, variance) in zip(weights, found, strict=True)) / total
    return mean, max(square - mean * mean, 0.0)


def _shown(lessons: Sequence[Lesson]) -> Shown | None:
    if not lessons:
        return None
    weights = [1.0 / (one.variance + COHORT**2) for one in lessons]
    pull = sum(weight * one.effect for weight, one in zip(weights, lessons, strict=True))
    return Shown(
        len({(one.cohort, one.species, one.stage) for one in lessons}),
        sum(one.animals for one in lessons),
        exp(pull / sum(weights)) if sum(weights) > NAMED**-2 else None,
    )


def cholesky(matrix: Sequence[Sequence[float]], added: Sequence[float]) -> list[list[float]]:
    """Lower triangular root of a symmetric positive definite matrix with `added` on its diagonal."""
    root: list[list[float]] = []
    for row, values in enumerate(matrix):
        line: list[float] = []
        for column in range(row + 1):
            above = line if column == row else root[column]
            rest = values[column] - sum(one * other for one, other in zip(line, above))
            line.append(sqrt(rest + added[row]) if column == row else rest / above[column])
        root.append(line)
    return root


def forward(root: Sequence[Sequence[float]], values: Sequence[float]) -> list[float]:
    """x of root x = values."""
    found: list[float] = []
    for line, value in zip(root, values, strict=True):
        found.append((value - sum(one * other for one, other in zip(line, found))) / line[len(found)])
    return found
