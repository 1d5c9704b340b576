"""Shares that survive: the interval of a proportion, and the curve of those still in a state."""

from bisect import bisect_right
from collections import Counter
from collections.abc import Mapping, Sequence
from math import exp, isfinite, log, sqrt
from typing import NamedTuple

from nurserytui.biology.normal import quantile


def wilson(k: int, n: int, level: float = 0.95) -> tuple[float, float]:
    """The score interval of a proportion, `k` of `n`, at `level` (Wilson 1927, J. Am. Stat. Assoc. 22:209-212).

    ValueError without a trial, for `k` outside 0 to `n`, or a level outside 0 to 1.
    """
    if not (n > 0 and 0 <= k <= n):
        raise ValueError(f"{k} of {n} is no proportion")
    if not 0.0 < level < 1.0:
        raise ValueError("a level lies between 0 and 1")
    z = quantile(0.5 + level / 2)
    share, spread = k / n, z * z / n
    middle = share + spread / 2
    half = sqrt(spread * (share * (1 - share) + spread / 4))
    low = 0.0 if k == 0 else max(0.0, (middle - half) / (1 + spread))
    high = 1.0 if k == n else min(1.0, (middle + half) / (1 + spread))
    return low, high


class SurvivalCurve(NamedTuple):
    """Steps of a survival curve, one per time at which the event was observed."""

    times: tuple[float, ...]
    survival: tuple[float, ...]
    """Share that survives beyond the time."""
    variance: tuple[float, ...]
    """Of `survival` (Greenwood); 0 where none survives, the limit of the formula."""
    at_risk: tuple[int, ...]
    """Under observation just before the time."""

    def at(self, time: float) -> float:
        """Share that survives beyond `time`."""
        steps = bisect_right(self.times, time)
        return self.survival[steps - 1] if steps else 1.0

    def median(self) -> float | None:
        """The first time by which half are gone; None if that was not seen."""
        return next((time for time, share in zip(self.times, self.survival, strict=True) if share <= 0.5), None)

    def interval(self, time: float, level: float = 0.95) -> tuple[float, float]:
        """Bounds of the share that survives beyond `time`, on the scale of log(-log) (Kalbfleisch & Prentice 1980, chapter 1).

        They have no width where all or none survive: the formula tells nothing of those. ValueError for a level outside 0 to 1.
        """
        if not 0.0 < level < 1.0:
            raise ValueError("a level lies between 0 and 1")
        steps = bisect_right(self.times, time)
        return self._bounds(steps - 1, level) if steps else (1.0, 1.0)

    def median_interval(self, level: float = 0.95) -> tuple[float | None, float | None]:
        """Bounds of the median: when the lower and the upper bound of the curve fall to a half (Brookmeyer & Crowley 1982, Biometrics
        38:29-41); None for a bound that was not reached."""
        bounds = [self._bounds(at, level) for at in range(len(self.times))]
        low, high = (
            next((time for time, pair in zip(self.times, bounds, strict=True) if pair[side] <= 0.5), None) for side in (0, 1)
        )
        return low, high

    def _bounds(self, at: int, level: float) -> tuple[float, float]:
        share = self.survival[at]
        if share in (0.0, 1.0):
            return share, share
        reach = quantile(0.5 + level / 2) * sqrt(self.variance[at]) / (share * -log(share))
        return share ** exp(reach), share ** exp(-reach)


def kaplan_meier(durations: Sequence[float], observed: Sequence[bool]) -> SurvivalCurve:
    """The product-limit estimate (Kaplan & Meier 1958, J. Am. Stat. Assoc. 53:457-481) with Greenwood's variance.

    `observed` is False where the animal left observation before the event; one that leaves at the time of an event counts as at risk
    for it. ValueError for unequal lengths, or durations that are negative or not numbers.
    """
    if len(durations) != len(observed):
        raise ValueError("as many durations as observations are needed")
    if not all(isfinite(duration) and duration >= 0 for duration in durations):
        raise ValueError("durations are numbers not below 0")
    died, left = Counter(), Counter()
    for duration, seen in zip(durations, observed, strict=True):
        (died if seen else left)[duration] += 1
    return curve_of(died, left)


def curve_of(died: Mapping[float, int], left: Mapping[float, int]) -> SurvivalCurve:
    """The same from how many died at each duration and how many left observation then; neither may hold a duration below 0."""
    at_risk, survival, terms = sum(died.values()) + sum(left.values()), 1.0, 0.0
    times, shares, variances, risks = [], [], [], []
    for time in sorted({*died, *left}):
        gone = died.get(time, 0)
        if gone:
            survival *= (at_risk - gone) / at_risk
            terms += gone / (at_risk * (at_risk - gone)) if gone < at_risk else 0.0
            times.append(time)
            shares.append(survival)
            variances.append(survival * survival * terms)
            risks.append(at_risk)
        at_risk -= gone + left.get(time, 0)
    return SurvivalCurve(tuple(times), tuple(shares), tuple(variances), tuple(risks))
