"""First, middle and last of animals that are independent given what they share, and where a chance is reached along an axis."""

from bisect import bisect_left, insort
from collections.abc import Callable
from functools import lru_cache
from math import asin, cos, exp, inf, log, pi, sin, sqrt
from typing import NamedTuple

from .normal import below

Done = Callable[[float], float]
"""Chance that one animal is done by a place on the axis."""

MANY = 10_000
"""Animals above which the angle of the middle one is normal about pi/4 with a variance of 1/(4 count): its density there is
cos(2 x)^count, which differs from exp(-2 count x²) by less than one in `count`. A table would grow with their root."""


class Share(NamedTuple):
    """`count` animals that are done alike: `branches` are (weight, done), one of which holds for all of them at once."""

    count: int
    branches: list[tuple[float, Done]]


class Scenario(NamedTuple):
    """One state of what the cohort shares."""

    weight: float
    shares: list[Share]


class Chances(NamedTuple):
    one: float
    first: float
    middle: float
    last: float


@lru_cache(maxsize=64)
def _middle_table(count: int) -> list[float]:
    """Chance that the middle animal of `count` is done, against asin(sqrt(p)) in even steps from 0 to pi/2."""
    lower, upper = (count + 1) // 2, count // 2 + 1
    if lower == upper:
        return _order_table(count, lower)
    both = zip(_order_table(count, lower), _order_table(count, upper), strict=True)
    return [(one + other) / 2 for one, other in both]


def _order_table(count: int, k: int) -> list[float]:
    """Chance that at least `k` of `count` are done: the beta integral I_p(k, n - k + 1), with p = sin² of the angle."""
    steps = max(256, 24 * int(sqrt(count)))
    width = pi / 2 / steps
    # In the angle the integrand is sin^(2k-1) cos^(2(n-k)+1); in logarithms, less its value at the mode, against underflow.
    up, down = 2 * k - 1, 2 * (count - k) + 1
    mode = asin(sqrt(up / (up + down)))
    tall = up * log(sin(mode)) + down * log(cos(mode))

    def height(angle: float) -> float:
        return exp(up * log(sin(angle)) + down * log(cos(angle)) - tall)

    heights = [0.0, *(height(width * at) for at in range(1, steps)), 0.0]
    sums = [0.0]
    for at in range(steps):
        sums.append(sums[-1] + heights[at] + heights[at + 1])
    return [each / sums[-1] for each in sums]


def middle(count: int, chance: float) -> float:
    """Chance that the middle one of `count` is done (of an even number, either of the two at evens) when each is with `chance`."""
    if count <= 2:
        return chance
    angle = asin(sqrt(min(max(chance, 0.0), 1.0)))
    if count > MANY:
        return below(2.0 * sqrt(count) * (angle - pi / 4.0))
    table = _middle_table(count)
    place = angle / (pi / 2) * (len(table) - 1)
    left = min(int(place), len(table) - 2)
    return table[left] + (table[left + 1] - table[left]) * (place - left)


def chances(scenarios: list[Scenario], at: float) -> Chances:
    """The chances at one place, averaged over the scenarios.

    The middle of several groups goes by the mean chance of their animals, which is exact for one group and a little wide for more.
    """
    one = first = half = last = 0.0
    for weight, shares in scenarios:
        if len(shares) == 1 and len(shares[0][1]) == 1:
            # The usual case, and most of what a forecast does.
            count, ((_, done),) = shares[0]
            chance = done(at)
            one += weight * chance
            first += weight * (1.0 - (1.0 - chance) ** count)
            last += weight * chance**count
            half += weight * (chance if count <= 2 else middle(count, chance))
            continue
        none, every, done_sum, count_sum, exact = 1.0, 1.0, 0.0, 0, 0.0
        for count, branches in shares:
            none_here = every_here = 0.0
            for part, done in branches:
                chance = done(at)
                none_here += part * (1.0 - chance) ** count
                every_here += part * chance**count
                done_sum += part * chance * count
                if len(shares) == 1:
                    exact += part * middle(count, chance)
            none *= none_here
            every *= every_here
            count_sum += count
        one += weight * done_sum / count_sum
        first += weight * (1.0 - none)
        last += weight * every
        half += weight * (exact if len(shares) == 1 else middle(count_sum, done_sum / count_sum))
    return Chances(one, first, half, last)


class Axis:
    """Chances along an axis from 0 to `end`, computed where asked and kept, and the places where a chance is reached.

    `scale` is the order of size of the places; the axis is followed until the last animal is done with the chance `upto`.
    """

    def __init__(self, scenarios: list[Scenario], scale: float, end: float = inf, upto: float = 0.999):
        self.scenarios, self.scale, self.end = scenarios, scale, end
        self.known: list[tuple[float, Chances]] = [(0.0, Chances(0.0, 0.0, 0.0, 0.0))]
        at = scale / 64.0
        while self._look(at).last < upto and at < end:
            at = min(at * 1.6, end)

    def _look(self, at: float) -> Chances:
        seen = chances(self.scenarios, at)
        insort(self.known, (at, seen))
        return seen

    def reach(self, which: str, target: float) -> float:
        """The place by which the chance of `which` (a field of `Chances`) is `target`; infinite beyond the end."""
        field = Chances._fields.index(which)
        right = bisect_left(self.known, target, key=lambda entry: entry[1][field])
        if right == len(self.known):
            return inf
        near = min(0.02, 0.15 * min(target, 1.0 - target))
        low, high = ((entry[0], entry[1][field] - target) for entry in self.known[right - 1 : right + 1])
        for turn in range(24):
            if high[1] - low[1] < near or high[0] - low[0] < 1e-6 * self.scale:
                break
            # Straight between the ends, kept off them so that each turn takes away a good part of the stretch.
            share = -low[1] / (high[1] - low[1]) if turn % 2 == 0 else 0.5
            at = low[0] + (high[0] - low[0]) * min(max(share, 0.1), 0.9)
            value = self._look(at)[field] - target
            low, high = (low, (at, value)) if value >= 0.0 else ((at, value), high)
        return low[0] + (high[0] - low[0]) * (-low[1] / (high[1] - low[1]) if high[1] > low[1] else 1.0)
