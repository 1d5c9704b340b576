"""Whether what has not changed by now is dead, waiting for another season, or only slow; and when to stop waiting for it.

One animal dies in the stage with a chance q that its cohort shares (eggs of one batch fail together, now and then all of them), else
waits with the chance d, else develops and is still unchanged with the chance S(u) of the forecast, u the effect that the cohort shares;
now and then u is far off (a wrong thermometer, a wrong day of laying). Bayes over q, d and u: what changed already tells u, and the n that
remain unchanged weigh each (q, d, u) by (q + (1 - q)(d + (1 - d)S))^n.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import lru_cache
from math import asin, cos, exp, hypot, log, pi, prod, sin, sqrt
from operator import mul
from typing import NamedTuple

from nurserytui.biology.evidence import GRID, Seen, grid
from nurserytui.biology.groups import Group, Stage
from nurserytui.biology.timeline import HORIZON, Timeline

BOUND = 0.02
"""Chance of being alive and developing below which waiting on has little left to wait for (a threshold of this program)."""
EAGER, CAUTIOUS = 0.10, 0.005
"""The same for the early and the late end of the date."""
LEAST = 0.3
"""Least `died` and `lived` of a Loss, so that no share of losses is impossible."""
LOSSES = 8
"""Nodes for the shared chance of loss; they give the exact sums (beta functions) to a few hundredths."""
ASTRAY, ASTRAY_BY = 0.05, 0.25
"""How often the durations of a whole cohort are off by more than populations differ, and by how much then (log standard deviation): an
assumption of this program, on the side of waiting."""
BATCH = 7
"""Nodes for the shared effect of a batch of one unknown age."""
FARTHEST = 40.0
"""Stage lengths ahead or back beyond which no date is looked for."""
LONG_AGO = 4.0
"""Stage lengths after which a day to give up is looked for from the beginning on."""


class Loss(NamedTuple):
    """What is known of the share that dies in the stage: Beta(died, lived), as if so many of each had been seen; or, with the chance
    `failed`, none of the cohort lives (an unmated female, a hot day)."""

    died: float
    lived: float
    failed: float = 0.0

    @property
    def share(self) -> float:
        return self.failed + (1.0 - self.failed) * self.died / (self.died + self.lived)

    def also(self, died: int, lived: int) -> Loss:
        """After so many more of the same cohort were seen to die in the stage, or to come out of it."""
        all_dead = prod((self.died + at) / (self.died + self.lived + at) for at in range(died))
        failed = 0.0 if lived else self.failed / (self.failed + (1.0 - self.failed) * all_dead) if self.failed else 0.0
        return Loss(self.died + died, self.lived + lived, failed)


class Fates(NamedTuple):
    """Chances of one animal that is unchanged; they sum to 1."""

    dead: float
    waiting: float
    """Alive, resting until another season."""
    slow: float
    """Alive and developing straight on."""


class GiveUp(NamedTuple):
    """When the chance of being alive and developing falls below BOUND (`at`), EAGER (`low`) and CAUTIOUS (`high`), should nothing have
    changed by then. None: not within the timeline's horizon. May lie in the past."""

    at: datetime | None
    low: datetime | None
    high: datetime | None


class Late:
    """The animals of `groups` that remain in `stage`, unchanged now as far as anyone knows.

    `groups` are those of one stage (their own stage numbers are not looked at); those of count 0 tell of the shared effect only.
    `diapause` is the chance that a living one waits, or the (low, high) between which that chance lies. What the cohort's own animals
    tell of its losses is added to `loss` by the caller (`Loss.also`). ValueError without an animal left, or for impossible numbers.
    """

    def __init__(
        self,
        stage: Stage,
        groups: Sequence[Group],
        timeline: Timeline,
        now: datetime,
        loss: Loss,
        diapause: float | tuple[float, float] = 0.0,
    ):
        low, high = diapause if isinstance(diapause, tuple) else (diapause, diapause)
        if not 0.0 <= low <= high <= 1.0:
            raise ValueError("a chance of diapause lies between 0 and 1")
        if min(loss.died, loss.lived) <= 0.0 or not 0.0 <= loss.failed < 1.0:
            raise ValueError("a loss needs died and lived above 0, and a chance of failing below 1")
        seen = [Seen(group, stage, timeline, now) for group in groups]
        self.remaining = [each for each in seen if each.group.count]
        if not self.remaining:
            raise ValueError("no animal left")
        self.stage, self.timeline, self.moment = stage, timeline, now
        self.may_wait = high > 0.0
        self._waits = [low] if low == high else [low, (low + high) / 2, high]
        self._losses = _losses(max(loss.died, LEAST), max(loss.lived, LEAST), loss.failed)
        self._effects = _shared(seen, stage.between)
        self._share = sum(dead * likely for dead, _, likely in self._losses)
        self._told = any(each.changed for each in seen)

    def still(self, ahead: float = 0.0) -> float:
        """Chance that a living, developing animal would still be unchanged after so much more progress: of the group with the least."""
        return min(self._stills(ahead))

    def _stills(self, ahead: float) -> list[float]:
        return [
            sum(weight * sum(part * s for part, s in _survivals(each, effect, ahead)) for effect, weight in self._effects)
            for each in self.remaining
        ]

    def fates(self, ahead: float = 0.0) -> Fates:
        """The chances of one animal, any of those that remain, should all still be unchanged after so much more progress."""
        return self._fates(ahead)[0]

    def give_up(self) -> GiveUp | None:
        """When to stop waiting; None where some may wait for another season: time alone then tells nothing.

        That none of many has changed yet is strong evidence that all are dead, as far as the model is right; it is not trusted to bring
        the day forward of what one animal by itself would have.
        """
        if self.may_wait:
            return None
        days = self._reached(lambda ahead: self._fates(ahead)[1])
        if not self._told and any(each.group.count > 1 for each in self.remaining):
            alone = self._reached(self._alone)
            days = [None if None in pair else max(pair) for pair in zip(days, alone, strict=True)]
        return GiveUp(*map(self._dated, days))

    def _alone(self, ahead: float) -> float:
        """Chance of being alive and developing of one animal by itself: of the group where it is highest."""
        lives = (1.0 - self._share) * max(self._stills(ahead))
        return lives / (self._share + lives)

    def _fates(self, ahead: float) -> tuple[Fates, float]:
        """The mean chances, and the chance of being alive and developing of the group where it is highest."""
        losses, waits = self._losses, self._waits
        joint = [weight * likely for _, weight in self._effects for _ in waits for _, _, likely in losses]
        others = []
        for each in self.remaining:
            every, beside = _staying(
                [_survivals(each, effect, ahead) for effect, _ in self._effects], each.group.count, waits, losses
            )
            joint = list(map(mul, joint, every))
            others.append(beside)
        total = sum(joint)
        if total <= 0.0:
            return Fates(1.0, 0.0, 0.0), 0.0
        dying = [dead for _ in waits for dead, _, _ in losses] * len(self._effects)
        resting = [alive * wait for wait in waits for _, alive, _ in losses] * len(self._effects)
        slow = dead = waiting = 0.0
        animals = sum(each.group.count for each in self.remaining)
        for each, beside in zip(self.remaining, others, strict=True):
            of_one = list(map(mul, joint, beside))
            gone = sum(map(mul, of_one, dying)) / total
            rests = sum(map(mul, of_one, resting)) / total
            slow = max(slow, 1.0 - gone - rests)
            dead += gone * each.group.count / animals
            waiting += rests * each.group.count / animals
        return Fates(dead, waiting, max(1.0 - dead - waiting, 0.0)), slow

    def _reached(self, chance: Callable[[float], float]) -> list[float | None]:
        """The progress from now at which a falling chance passes BOUND, EAGER and CAUTIOUS; None where it does not."""
        start, step = 0.0, 0.25
        youngest = min(each.now for each in self.remaining)
        if youngest > LONG_AGO and chance(0.0) < CAUTIOUS:
            # The steps widen on the way: from today back they would pass over what happened soon after these came in.
            start = -youngest
        steps = [(start, chance(start))]
        while steps[-1][1] > CAUTIOUS and steps[-1][0] < FARTHEST:
            at, step = steps[-1][0] + step, step * 1.4
            steps.append((at, chance(at)))
        step = 0.25
        while steps[0][1] < EAGER and steps[0][0] > start - FARTHEST:
            at, step = steps[0][0] - step, step * 1.4
            steps.insert(0, (at, chance(at)))
        return [_passed(steps, bound, chance) for bound in (BOUND, EAGER, CAUTIOUS)]

    def _dated(self, ahead: float | None) -> datetime | None:
        if ahead is None:
            return None
        curve, now = self.stage.curve, self.moment
        if ahead >= 0.0:
            return self.timeline.when(curve, now, ahead)
        # Farther back than dates are looked for: as far as they are.
        return self.timeline.before(curve, now, -ahead) or now - HORIZON


def _survivals(seen: Seen, effect: float, ahead: float) -> list[tuple[float, float]]:
    """(weight, chance of being unchanged) of a developing animal per branch: one, or one per age of a batch of one unknown age."""
    at = seen.now + ahead
    return [(branch.weight, branch.survivor(at)) for branch in seen.weigh(effect, remaining=False)[1]]


def _staying(
    survivals: list[list[tuple[float, float]]], count: int, waits: list[float], losses: list[tuple[float, float, float]]
) -> tuple[list[float], list[float]]:
    """For each shared state (effect, chance of waiting, chance of loss, in that order of loops) the chance that all `count` are unchanged,
    and that chance over the one's own: how likely the others are unchanged, for a given one that is dead or waits for sure."""
    every, beside = [], []
    for branches in survivals:
        for wait in waits:
            stays = [(part, wait + (1.0 - wait) * survival) for part, survival in branches]
            if len(stays) == 1:
                stay = stays[0][1]
                ones = [dead + alive * stay for dead, alive, _ in losses]
                every += [one**count for one in ones]
                beside += [1.0 / one for one in ones]
                continue
            for dead, alive, _ in losses:
                ones = [dead + alive * stay for _, stay in stays]
                rest = [part * one ** (count - 1) for (part, _), one in zip(stays, ones, strict=True)]
                whole = sum(map(mul, rest, ones))
                every.append(whole)
                beside.append(sum(rest) / whole if whole > 0.0 else 0.0)
    return every, beside


@lru_cache(maxsize=64)
def _losses(died: float, lived: float, failed: float) -> list[tuple[float, float, float]]:
    """(share, 1 - share, weight) of a Loss: its beta distribution on even nodes of the angle whose sine squared is the share, where it is
    not negligible, and what failed as a whole."""
    middle, reach = asin(sqrt(died / (died + lived))), 3.0 / sqrt(died + lived)
    low, high = max(middle - reach, 0.0), min(middle + reach, pi / 2)
    step = (high - low) / LOSSES
    angles = [low + step * (at + 0.5) for at in range(LOSSES)]
    logs = [(2.0 * died - 1.0) * log(sin(angle)) + (2.0 * lived - 1.0) * log(cos(angle)) for angle in angles]
    top = max(logs)
    weights = [exp(each - top) for each in logs]
    total = sum(weights)
    parts = [(1.0 - failed) * weight / total for weight in weights]
    nodes = [(sin(angle) ** 2, cos(angle) ** 2, part) for angle, part in zip(angles, parts, strict=True)]
    return [*nodes, (1.0, 0.0, failed)] if failed else nodes


def _shared(seen: list[Seen], between: float) -> list[tuple[float, float]]:
    """(effect, weight) of what the cohort shares: Normal(0, `between`), seldom wider, times what its changed animals tell."""
    wide = hypot(between, ASTRAY_BY)
    batch = any(each.together for each in seen)
    if not any(each.changed or each.lost for each in seen):
        # Far into the tails: a whole group that is late together speaks for an effect that no single animal would.
        near, far = ((3.5, 3), (3.5, 3)) if batch else ((5.0, 10), (4.5, 7))
        usual = _normal(between, *near, 1.0 - ASTRAY) if between > 0.0 else [(0.0, 1.0 - ASTRAY)]
        return usual + _normal(wide, *far, ASTRAY)
    narrow = max(between, 0.01)

    def density(effect: float) -> float:
        usual = (1.0 - ASTRAY) / narrow * exp(-0.5 * (effect / narrow) ** 2)
        prior = usual + ASTRAY / wide * exp(-0.5 * (effect / wide) ** 2)
        return log(max(prior, 1e-300)) + sum(each.weigh(effect, remaining=False)[0] for each in seen)

    count = BATCH if batch else GRID  # each effect costs a grid of ages in a batch
    return grid(density, -4.0 * wide, 4.0 * wide, count, count).nodes


def _normal(spread: float, reach: float, half: int, share: float) -> list[tuple[float, float]]:
    """Even nodes of a normal distribution to `reach` standard deviations either way, their weights summing to `share`."""
    places = [reach * at / half for at in range(-half, half + 1)]
    weights = [exp(-0.5 * place * place) for place in places]
    return [(place * spread, share * weight / sum(weights)) for place, weight in zip(places, weights, strict=True)]


def _passed(steps: list[tuple[float, float]], bound: float, chance: Callable[[float], float]) -> float | None:
    """Where the falling chance of the steps passes the bound; None where it does not. The steps get closer on the way to BOUND."""
    right = next((at for at, (_, height) in enumerate(steps) if height < bound), 0)
    if not right:
        return None
    at = _between(*steps[right - 1], *steps[right], bound)
    for _ in range(2 if bound == BOUND else 0):
        height = chance(at)
        steps.insert(right, (at, height))
        if abs(log(max(height, 1e-300) / bound)) < 0.15:
            break
        right += height >= bound
        at = _between(*steps[right - 1], *steps[right], bound)
    return at


def _between(low: float, before: float, high: float, after: float, bound: float) -> float:
    """Where a chance that falls from `before` to `after` passes the bound: straight in the root of its logarithm, for tails fall as
    exp(-z²/2)."""
    top, foot, aim = (sqrt(-log(max(chance, 1e-300))) for chance in (before, after, bound))
    return low + (high - low) * (aim - top) / (foot - top)
