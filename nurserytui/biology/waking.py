"""From the end of the cold to the adult: how long resting pupae take once they are warm."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt
from typing import NamedTuple

from nurserytui.biology.rate import RateCurve


class Woken(NamedTuple):
    """Published: at `celsius` the adults came out `low` to `high` days after the move into the warm; `high` None: none had by day `low`."""

    celsius: float
    low: float
    high: float | None


class Waking(NamedTuple):
    """Development after the cold as rates: of the first, the middle and the last of a group."""

    fast: RateCurve
    middle: RateCurve
    slow: RateCurve

    def days(self, celsius: float) -> tuple[float, float, float] | None:
        """(middle, first, last) days at a steady temperature; None where nothing develops."""
        found = tuple(curve.days(celsius) for curve in (self.middle, self.fast, self.slow))
        return None if None in found else found

    def scaled(self, ratios: Sequence[float]) -> Waking:
        """The same shape for a species of which it is not known, by how much longer relatives take: middle, least and most of `ratios`."""
        middle = exp(sum(log(one) for one in ratios) / len(ratios))
        return Waking(self.fast.scaled(min(ratios)), self.middle.scaled(middle), self.slow.scaled(max(ratios)))


def waking(seen: Sequence[Woken], base: float) -> Waking:
    """Rates from what was seen at several temperatures; the warmest at which none came out is the threshold, else `base` °C.

    ValueError without a temperature at which any came out.
    """
    out = [one for one in seen if one.high is not None]
    none = [one.celsius for one in seen if one.high is None]
    if not out:
        raise ValueError("a temperature is needed at which adults came out")
    base = max(none) if none else base
    out.sort(key=lambda one: one.celsius)

    def curve(days) -> RateCurve:
        return RateCurve.of([(base, 0.0), *((one.celsius, 1.0 / days(one)) for one in out)])

    return Waking(curve(lambda one: one.low), curve(lambda one: sqrt(one.low * one.high)), curve(lambda one: one.high))


def ratio(known: Waking, seen: Woken) -> float:
    """How many times as long as `known` another species takes at the temperature at which it was seen. ValueError where `known` stands."""
    days = known.middle.days(seen.celsius)
    if days is None or seen.high is None:
        raise ValueError("nothing develops at that temperature")
    return sqrt(seen.low * seen.high) / days
