"""How fast a stage goes at a temperature."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from itertools import pairwise
from math import isfinite
from typing import NamedTuple

NO_CEILING = 60.0
"""°C up to which the straight line runs on where no upper threshold is known: above anything a nursery can hold."""


class RateCurve(NamedTuple):
    """Development rate (fraction of the stage per day) against temperature (°C), straight lines between `knots`.

    Nothing develops at or below the first knot, whose rate is 0; above the last knot the rate stays as it is there. A lethal limit is a
    last knot of rate 0. Made by the builders, which check their arguments; hashable, so that a timeline can remember its sums.
    """

    knots: tuple[tuple[float, float], ...]
    pace: float = 1.0
    """What the rates of the knots are multiplied by: curves that differ in nothing else share their running sums."""

    @classmethod
    def of(cls, knots: Iterable[tuple[float, float]]) -> RateCurve:
        """A curve from knots; ValueError unless temperatures rise, rates are not negative and the first rate is 0."""
        points = tuple((float(celsius), float(rate)) for celsius, rate in knots)
        if len(points) < 2 or points[0][1] != 0.0 or not any(rate > 0 for _, rate in points):
            raise ValueError("a rate curve needs two knots, a first rate of 0 and a rate above 0")
        if not all(isfinite(celsius) and isfinite(rate) and rate >= 0 for celsius, rate in points):
            raise ValueError("temperatures and rates must be numbers, rates not below 0")
        if any(low[0] >= high[0] for low, high in pairwise(points)):
            raise ValueError("the temperatures of the knots must rise")
        return cls(points)

    @classmethod
    def from_degree_days(
        cls, base: float, degree_days: float, ceiling: float | None = None, lethal: float | None = None
    ) -> RateCurve:
        """The linear model: done after `degree_days` °C·d above `base`, no faster above `ceiling`, none at or above `lethal` °C.

        Between ceiling and lethal limit the rate falls in a straight line. ValueError for arguments out of order.
        """
        if not degree_days > 0 or not isfinite(degree_days):
            raise ValueError("degree-days must be above 0")
        top = NO_CEILING if ceiling is None and lethal is None else lethal - 1e-6 if ceiling is None else ceiling
        knots = [(base, 0.0), (top, (top - base) / degree_days)]
        if lethal is not None:
            knots.append((lethal, 0.0))
        return cls.of(knots)

    def rate(self, celsius: float) -> float:
        """Fraction of the stage per day at `celsius`."""
        knots = self.knots
        at = bisect_right(knots, (celsius,))
        if at == 0:
            return 0.0
        if at == len(knots):
            return knots[-1][1] * self.pace
        (cold, slow), (warm, fast) = knots[at - 1], knots[at]
        return (slow + (fast - slow) * (celsius - cold) / (warm - cold)) * self.pace

    def days(self, celsius: float) -> float | None:
        """Mean days of the stage at a steady `celsius`; None where it does not develop."""
        rate = self.rate(celsius)
        return 1.0 / rate if rate > 0 else None

    def warmed(self, degrees: float) -> RateCurve:
        """The curve as it looks to a timeline that is to be taken `degrees` °C warmer than it is."""
        return self._replace(knots=tuple((celsius - degrees, rate) for celsius, rate in self.knots))

    def scaled(self, factor: float) -> RateCurve:
        """The curve of a stage that takes `factor` times as long at every temperature."""
        if not factor > 0 or not isfinite(factor):
            raise ValueError("the factor must be above 0")
        return self._replace(pace=self.pace / factor)
