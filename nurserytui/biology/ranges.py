"""Positive quantities known only between bounds, and their products: for numbers that published sources do not agree on."""

from __future__ import annotations

from collections.abc import Iterable
from math import exp, hypot, log, prod
from typing import NamedTuple

from nurserytui.biology.normal import below, quantile

LEVEL = 0.9
EDGE = quantile((1.0 + LEVEL) / 2.0)
"""Standard score of the bounds: 1.645."""


class Range(NamedTuple):
    """A quantity above zero: half of the chance lies below `value`, LEVEL of it between `low` and `high`."""

    value: float
    low: float
    high: float

    def times(self, factor: float) -> Range:
        """The same quantity `factor` times; a factor of 0 makes it nothing."""
        return Range(self.value * factor, self.low * factor, self.high * factor)


def exactly(value: float) -> Range:
    return Range(value, value, value)


def product(*ranges: Range) -> Range:
    """The product of independent quantities, each lognormal with its own spread below and above its middle."""
    down, up = hypot(*map(_down, ranges)), hypot(*map(_up, ranges))
    value = prod(each.value for each in ranges)
    return Range(value, value * exp(-down), value * exp(up))


def inverse(one: Range) -> Range:
    """1 over the quantity."""
    _check(one)
    return Range(1.0 / one.value, 1.0 / one.high, 1.0 / one.low)


def quotient(one: Range, other: Range) -> Range:
    return product(one, inverse(other))


def pooled(ranges: Iterable[Range]) -> Range:
    """Several estimates of one quantity that do not agree: their geometric mean, from the lowest bound to the highest."""
    ranges = list(ranges)
    for each in ranges:
        _check(each)
    middle = exp(sum(log(each.value) for each in ranges) / len(ranges))
    return Range(middle, min(each.low for each in ranges), max(each.high for each in ranges))


def chance_above(one: Range, least: float = 1.0) -> float:
    """Chance that the quantity is `least` or more."""
    _check(one)
    distance = log(one.value / least)
    spread = _down(one) if distance > 0.0 else _up(one)
    if spread == 0.0:
        return 1.0 if distance >= 0.0 else 0.0
    return below(EDGE * distance / spread)


def _down(one: Range) -> float:
    _check(one)
    return log(one.value / one.low)


def _up(one: Range) -> float:
    _check(one)
    return log(one.high / one.value)


def _check(one: Range) -> None:
    if not 0.0 < one.low <= one.value <= one.high:
        raise ValueError("bounds above 0 with the value between them are needed")
