"""A rate curve from a few observed stage durations, with what is known of other species as its prior.

The curve is a straight line with a soft foot and a fall: rate = warmth / need, where warmth follows the line T - base, eases off
along a parabola below base + foot to 0 at base - foot, and is cut down by 1 / (1 + exp((T - upper) / fall)) near the upper limit.
Need (degree-days), base and upper are fitted per species and stage; the widths of foot and fall are the same for all species. What the
rows still lie off that curve bends it near their own temperatures (a Gaussian process of `BEND` °C reach: Rasmussen & Williams 2006,
Gaussian Processes for Machine Learning, eq. 2.25), so that a mean that was observed is given back nearly as it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from math import cos, exp, isfinite, log, pi, sqrt
from typing import NamedTuple

from nurserytui.biology.rate import RateCurve

CYCLE = tuple(cos(2 * pi * (hour + 0.5) / 12) for hour in range(6))
"""Half a day's sine in six steps: a whole one takes every value twice."""
COLDEST_WARMTH = 1e-3
"""°C that stand for the warmth where there is none, so that a duration observed in the cold pulls the base down."""
STEPS = 40
BEND = 3.0
"""°C over which rows bend the curve: less than the usual distance between two temperatures that were tried."""
ROW_ERROR = 0.03
"""Log standard deviation of a published mean of many animals about what that population truly took (judged)."""
KNOTS = 1.5
"""°C between the knots of the finished curve: straight pieces are then within 1 % of it where a stage can be lived through."""


class Prior(NamedTuple):
    """What other species say before anything is seen of this one: °C, degree-days and log standard deviations."""

    base: float
    base_spread: float
    upper: float
    upper_spread: float
    foot: float
    fall: float
    error: float
    """How far one observed mean lies off the curve (standard deviation of its logarithm)."""


class Observed(NamedTuple):
    """A mean duration in days at a temperature, or at the mean of a daily sine of ± `swing` °C; `count` animals where it is known."""

    celsius: float
    days: float
    swing: float = 0.0
    count: int | None = None
    error: float | None = None
    """Log standard deviation of this mean about the curve, where it is not the prior's."""


class Fitted(NamedTuple):
    log_need: float
    base: float
    upper: float
    prior: Prior
    covariance: tuple[tuple[float, float, float], ...]
    """Of (log_need, base, upper), by the curvature at the best fit."""
    bends: tuple[tuple[float, float], ...]
    """(°C, weight) of the rows' own pull on the curve."""

    def days(self, celsius: float, swing: float = 0.0) -> float:
        """Mean days at a steady temperature, or at the mean of a daily sine of ± `swing` °C."""
        return exp(_log_days((self.log_need, self.base, self.upper), celsius, swing, self.prior) + self._bend(celsius))

    def spread(self, celsius: float, swing: float = 0.0) -> float:
        """Standard deviation of the logarithm of that mean: how little the rows say there."""
        best = (self.log_need, self.base, self.upper)
        slope = _slopes(best, celsius, swing, self.prior)
        return sqrt(max(sum(slope[i] * self.covariance[i][j] * slope[j] for i in range(3) for j in range(3)), 0.0))

    def _bend(self, celsius: float) -> float:
        return sum(weight * _near(celsius, at) for at, weight in self.bends)

    def curve(self) -> RateCurve:
        """The curve in straight pieces, for timelines; 0 at and below base - foot and from upper + 3 fall up.

        It rises to one highest rate and falls from there: rows that go against that are levelled out.
        """
        low, high = self.base - self.prior.foot, self.upper + 3.0 * self.prior.fall
        steps = round((high - low) / KNOTS)
        places = [low + (high - low) * at / steps for at in range(1, steps)]
        needs = [exp(self.log_need + self._bend(celsius)) for celsius in places]
        rates = [_warmth(at, self.base, self.upper, self.prior) / need for at, need in zip(places, needs, strict=True)]
        top = rates.index(max(rates))
        rates = [*accumulate(rates[:top], max), *reversed([*accumulate(reversed(rates[top:]), max)])]
        return RateCurve.of([(low, 0.0), *zip(places, rates, strict=True), (high, 0.0)])


def fit(rows: Sequence[Observed], prior: Prior) -> Fitted:
    """The most probable curve given the rows: nonlinear least squares on log days, with normal priors on base and upper limit.

    Levenberg's method (1944, Quart. Appl. Math. 2:164). ValueError without a row, or for days that are not above 0.
    """
    if not rows or not all(row.days > 0 and isfinite(row.days) and isfinite(row.celsius) for row in rows):
        raise ValueError("a fit needs rows with a temperature and days above 0")
    places = _pooled(rows, prior)
    start = sum(log(days) for _, _, days, _ in places) / len(places)
    reach = sum(_log_days((0.0, prior.base, prior.upper), celsius, swing, prior) for celsius, swing, _, _ in places)
    best = (start - reach / len(places), prior.base, prior.upper)
    cost, gradient, curvature = _normal_equations(best, places, prior)
    damping = 1e-3
    for _ in range(STEPS):
        damped = [[curvature[i][j] * (1.0 + damping * (i == j)) for j in range(3)] for i in range(3)]
        step = _solve(damped, gradient)
        tried = tuple(value - change for value, change in zip(best, step, strict=True))
        tried_cost = _cost(tried, places, prior)
        if tried_cost <= cost:
            small = cost - tried_cost < 1e-9 * (1.0 + cost)
            best, damping = tried, damping / 5.0
            cost, gradient, curvature = _normal_equations(best, places, prior)
            if small:
                break
        else:
            damping *= 10.0
            if damping > 1e12:
                break
    columns = [_solve(curvature, [float(i == j) for i in range(3)]) for j in range(3)]
    covariance = tuple(tuple(columns[j][i] for j in range(3)) for i in range(3))
    return Fitted(*best, prior, covariance, _bends(best, places, prior))


def _bends(best: tuple[float, float, float], places, prior: Prior) -> tuple[tuple[float, float], ...]:
    """The rows' residuals spread out: weights of a Gaussian process of standard deviation `prior.error`."""
    off = [log(days) - _log_days(best, celsius, swing, prior) for celsius, swing, days, _ in places]
    alike = [[prior.error**2 * _near(one[0], other[0]) for other in places] for one in places]
    for at, place in enumerate(places):
        alike[at][at] += ROW_ERROR**2 + max(place[3] ** 2 - prior.error**2, 0.0)
    weights = _solve(alike, off)
    return tuple((place[0], prior.error**2 * weight) for place, weight in zip(places, weights, strict=True))


def _near(one: float, other: float) -> float:
    return exp(-0.5 * ((one - other) / BEND) ** 2)


def _pooled(rows: Sequence[Observed], prior: Prior) -> list[tuple[float, float, float, float]]:
    """(°C, swing, days, standard error of log days): rows of one temperature as their mean weighted by what each can be off."""
    together: dict[tuple[float, float], list[tuple[float, float]]] = {}
    for row in rows:
        few = ANIMALS_DIFFER**2 / row.count if row.count else 0.0
        error = prior.error if row.error is None else row.error
        together.setdefault((row.celsius, row.swing), []).append((log(row.days), 1.0 / (error**2 + few)))
    out = []
    for (celsius, swing), each in together.items():
        weight = sum(part for _, part in each)
        out.append((celsius, swing, exp(sum(value * part for value, part in each) / weight), 1.0 / sqrt(weight)))
    return out


ANIMALS_DIFFER = 0.12
"""Coefficient of variation between animals of a published mean, where their number is known (computed: 5 to 16 %)."""


def _warmth(celsius: float, base: float, upper: float, prior: Prior) -> float:
    above = celsius - base
    if above <= -prior.foot:
        return 0.0
    straight = above if above >= prior.foot else (above + prior.foot) ** 2 / (4.0 * prior.foot)
    return straight / (1.0 + exp(min((celsius - upper) / prior.fall, 60.0)))


def _log_days(at: tuple[float, float, float], celsius: float, swing: float, prior: Prior) -> float:
    need, base, upper = at
    if swing:
        warmth = sum(_warmth(celsius + swing * step, base, upper, prior) for step in CYCLE) / len(CYCLE)
    else:
        warmth = _warmth(celsius, base, upper, prior)
    return need - log(warmth + COLDEST_WARMTH)


def _slopes(at: tuple[float, float, float], celsius: float, swing: float, prior: Prior) -> tuple[float, float, float]:
    need, base, upper = at
    small = 1e-3

    def across(one, other) -> float:
        return (_log_days(one, celsius, swing, prior) - _log_days(other, celsius, swing, prior)) / (2.0 * small)

    return (
        1.0,
        across((need, base + small, upper), (need, base - small, upper)),
        across((need, base, upper + small), (need, base, upper - small)),
    )


def _cost(at: tuple[float, float, float], places, prior: Prior) -> float:
    rows = sum(((log(days) - _log_days(at, celsius, swing, prior)) / error) ** 2 for celsius, swing, days, error in places)
    return rows + ((at[1] - prior.base) / prior.base_spread) ** 2 + ((at[2] - prior.upper) / prior.upper_spread) ** 2


def _normal_equations(at: tuple[float, float, float], places, prior: Prior):
    """Half the sum's gradient and (Gauss-Newton) curvature, with the sum itself."""
    gradient = [0.0, (at[1] - prior.base) / prior.base_spread**2, (at[2] - prior.upper) / prior.upper_spread**2]
    curvature = [[0.0] * 3 for _ in range(3)]
    curvature[1][1], curvature[2][2] = prior.base_spread**-2, prior.upper_spread**-2
    for celsius, swing, days, error in places:
        slope = _slopes(at, celsius, swing, prior)
        off = _log_days(at, celsius, swing, prior) - log(days)
        for i in range(3):
            gradient[i] += slope[i] * off / error**2
            for j in range(3):
                curvature[i][j] += slope[i] * slope[j] / error**2
    return _cost(at, places, prior), gradient, curvature


def _solve(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Gauss's elimination with the largest pivot."""
    count = len(right)
    rows = [[*line, value] for line, value in zip(matrix, right, strict=True)]
    for at in range(count):
        pivot = max(range(at, count), key=lambda row: abs(rows[row][at]))
        rows[at], rows[pivot] = rows[pivot], rows[at]
        for below in range(count):
            if below != at:
                factor = rows[below][at] / rows[at][at]
                rows[below] = [value - factor * lead for value, lead in zip(rows[below], rows[at], strict=True)]
    return [rows[at][count] / rows[at][at] for at in range(count)]
