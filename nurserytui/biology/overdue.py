"""Whether what has not changed by now is dead, waiting for another season, or only slow; and when to stop waiting for it.

One animal dies in the stage with a chance q that its cohort shares (eggs of one batch fail together), else waits with the chance d, else
develops and is still unchanged with the chance S(u) of the forecast, u the effect that the cohort shares. Bayes over q, d and u: what
changed already tells u (evidence.posterior), and all n that remain unchanged weigh each (q, d, u) by (q + (1 - q)(d + (1 - d)S))^n.
"""

from collections.abc import Sequence
from datetime import datetime
from functools import lru_cache
from math import asin, cos, exp, log, pi, sin, sqrt
from operator import mul
from typing import NamedTuple

from nurserytui.biology.evidence import Seen, grid, posterior
from nurserytui.biology.groups import Group, Stage
from nurserytui.biology.timeline import Timeline

BOUND = 0.02
"""Chance of being alive and developing below which waiting on has little left to wait for (a threshold of this program)."""
EAGER, CAUTIOUS = 0.10, 0.005
"""The same for the early and the late end of the date."""
LEAST = 0.3
"""Least `died` and `lived` of a Loss, so that no share of losses is impossible."""
LOSSES = 10
"""Nodes for the shared chance of loss; they give the exact sums (beta functions) to a few hundredths."""
BATCH = 7
"""Nodes for the shared effect of a batch of one unknown age."""
FARTHEST = 40.0
"""Stage lengths ahead or back beyond which no date is looked for."""


class Loss(NamedTuple):
    """What is known of the share that dies in the stage: Beta(died, lived), as if so many of each had been seen."""

    died: float
    lived: float

    @property
    def share(self) -> float:
        return self.died / (self.died + self.lived)

    def also(self, died: float, lived: float) -> "Loss":
        """After so many more of the same cohort were seen to die in the stage, or to come out of it."""
        return Loss(self.died + died, self.lived + lived)


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
        if min(loss) <= 0.0:
            raise ValueError("a loss needs died and lived above 0")
        seen = [Seen(group, stage, timeline, now) for group in groups]
        self.remaining = [each for each in seen if each.group.count]
        if not self.remaining:
            raise ValueError("no animal left")
        self.stage, self.timeline, self.moment = stage, timeline, now
        self.may_wait = high > 0.0
        self._waits = [low] if low == high else [low, (low + high) / 2, high]
        self._losses = _losses(max(loss.died, LEAST), max(loss.lived, LEAST))
        self._effects = _shared(seen, stage.between)

    def still(self, ahead: float = 0.0) -> float:
        """Chance that a living, developing animal would still be unchanged after so much more progress: of the group with the least."""
        return min(
            sum(weight * sum(part * s for part, s in _survivals(each, effect, ahead)) for effect, weight in self._effects)
            for each in self.remaining
        )

    def fates(self, ahead: float = 0.0) -> Fates:
        """The chances of one animal, any of those that remain, should all still be unchanged after so much more progress."""
        return self._fates(ahead)[0]

    def give_up(self) -> GiveUp | None:
        """When to stop waiting; None where some may wait for another season: time alone then tells nothing."""
        if self.may_wait:
            return None
        steps = self._falling()
        return GiveUp(*(self._dated(self._reach(steps, bound)) for bound in (BOUND, EAGER, CAUTIOUS)))

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

    def _falling(self) -> list[tuple[float, float]]:
        """(progress from now, chance of being alive and developing), from above EAGER to below CAUTIOUS as far as it goes there."""
        steps = [(0.0, self._fates(0.0)[1])]
        step = 0.25
        while steps[-1][1] > CAUTIOUS and steps[-1][0] < FARTHEST:
            at, step = steps[-1][0] + step, step * 1.4
            steps.append((at, self._fates(at)[1]))
        step = 0.25
        while steps[0][1] < EAGER and steps[0][0] > -FARTHEST:
            at, step = steps[0][0] - step, step * 1.4
            steps.insert(0, (at, self._fates(at)[1]))
        return steps

    def _reach(self, steps: list[tuple[float, float]], bound: float) -> float | None:
        """The progress from now at which the falling chance passes the bound; None where it does not. Adds to the steps."""
        right = next((at for at, (_, chance) in enumerate(steps) if chance < bound), 0)
        if not right:
            return None
        for _ in range(2):
            (low, high_chance), (high, low_chance) = steps[right - 1 : right + 1]
            at = _between(low, high_chance, high, low_chance, bound)
            chance = self._fates(at)[1]
            steps.insert(right, (at, chance))
            if bound != BOUND or abs(log(max(chance, 1e-300) / bound)) < 0.15:
                break
            right += chance >= bound
        return at

    def _dated(self, ahead: float | None) -> datetime | None:
        if ahead is None:
            return None
        curve, now = self.stage.curve, self.moment
        return self.timeline.when(curve, now, ahead) if ahead >= 0.0 else self.timeline.before(curve, now, -ahead)


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
def _losses(died: float, lived: float) -> list[tuple[float, float, float]]:
    """(share, 1 - share, weight) of a beta distribution on even nodes of the angle whose sine squared is the share, where it is not negligible."""
    middle, reach = asin(sqrt(died / (died + lived))), 3.0 / sqrt(died + lived)
    low, high = max(middle - reach, 0.0), min(middle + reach, pi / 2)
    step = (high - low) / LOSSES
    angles = [low + step * (at + 0.5) for at in range(LOSSES)]
    logs = [(2.0 * died - 1.0) * log(sin(angle)) + (2.0 * lived - 1.0) * log(cos(angle)) for angle in angles]
    top = max(logs)
    weights = [exp(each - top) for each in logs]
    total = sum(weights)
    return [(sin(angle) ** 2, cos(angle) ** 2, weight / total) for angle, weight in zip(angles, weights, strict=True)]


def _shared(seen: list[Seen], between: float) -> list[tuple[float, float]]:
    """(effect, weight) of what the cohort shares, by what its changed animals tell."""
    batch = any(each.together for each in seen)
    if between <= 0.0:
        return [(0.0, 1.0)]
    if not any(each.changed or each.lost for each in seen):
        # Far into the tails: a whole group that is late together speaks for an effect that no single animal would.
        reach = 3 if batch else 15
        nodes = [6.0 * at / reach for at in range(-reach, reach + 1)]
        weights = [exp(-0.5 * node * node) for node in nodes]
        return [(node * between, weight / sum(weights)) for node, weight in zip(nodes, weights, strict=True)]
    if not batch:
        return posterior(seen, between, remaining=False).nodes

    def density(effect: float) -> float:
        return -0.5 * (effect / between) ** 2 + sum(each.weigh(effect, remaining=False)[0] for each in seen)

    # Each effect costs a grid of ages here.
    return grid(density, -4.0 * between, 4.0 * between, BATCH, BATCH).nodes


def _between(low: float, before: float, high: float, after: float, bound: float) -> float:
    """Where a chance that falls from `before` to `after` passes the bound: straight in the root of its logarithm, for tails fall as
    exp(-z²/2)."""
    top, foot, aim = (sqrt(-log(max(chance, 1e-300))) for chance in (before, after, bound))
    return low + (high - low) * (aim - top) / (foot - top)
