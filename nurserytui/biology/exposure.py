"""From a sting to the exit of the parasitoid, and back, at the temperatures along a timeline."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.biology.normal import below, quantile
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

SPREAD = 0.10
"""Relative standard deviation of a parasitoid's development where none is published (as between its hosts; judged)."""
LEVEL = 0.9
"""Share of parasitoids that a span holds."""


class Span(NamedTuple):
    """Likely between `low` and `high`, most likely at `at`. None: not within the timeline's horizon."""

    low: datetime | None
    at: datetime | None
    high: datetime | None


def exit_of(
    sting_from: datetime, sting_to: datetime, curve: RateCurve, timeline: Timeline, spread: float = SPREAD, level: float = LEVEL
) -> Span:
    """When parasitoids leave that stung between `sting_from` and `sting_to`; `curve` is of sting to exit.

    The span runs from the fastest of the first sting to the slowest of the last. ValueError for times out of order.
    """
    early, late = _fractions(sting_from, sting_to, spread, level)
    middle = sting_from + (sting_to - sting_from) / 2
    return Span(timeline.when(curve, sting_from, early), timeline.when(curve, middle, 1.0), timeline.when(curve, sting_to, late))


def sting_of(
    exit_from: datetime, exit_to: datetime, curve: RateCurve, timeline: Timeline, spread: float = SPREAD, level: float = LEVEL
) -> Span:
    """When the animals were stung that parasitoids left between `exit_from` and `exit_to`.

    The span runs from the slowest of the first exit to the fastest of the last. ValueError for times out of order.
    """
    early, late = _fractions(exit_from, exit_to, spread, level)
    middle = exit_from + (exit_to - exit_from) / 2
    return Span(
        timeline.before(curve, exit_from, late), timeline.before(curve, middle, 1.0), timeline.before(curve, exit_to, early)
    )


class ByWarmth(NamedTuple):
    """A development that is published as degree-days: `curve` is of sting to exit, `spread` its relative standard deviation."""

    curve: RateCurve
    spread: float = SPREAD

    def exit(self, sting_from: datetime, sting_to: datetime, timeline: Timeline) -> Span:
        return exit_of(sting_from, sting_to, self.curve, timeline, self.spread)

    def sting(self, exit_from: datetime, exit_to: datetime, timeline: Timeline) -> Span:
        return sting_of(exit_from, exit_to, self.curve, timeline, self.spread)

    def share(self, first: datetime, last: datetime, exit_at: datetime, timeline: Timeline) -> float:
        """Chance that what left at `exit_at` had stung between `first` and `last`, if any time were open to it."""
        done = [timeline.progress(self.curve, when, exit_at) for when in (first, last)]
        if not self.spread:
            return float(done[1] <= 1.0 <= done[0])
        return max(0.0, below((done[0] - 1.0) / self.spread) - below((done[1] - 1.0) / self.spread))


class ByDays(NamedTuple):
    """A development of which only days are told: `LEVEL` of them take from `low` to `high` days, whatever the temperature."""

    low: float
    high: float

    def exit(self, sting_from: datetime, sting_to: datetime, timeline: Timeline) -> Span:
        _in_order(sting_from, sting_to)
        middle = sting_from + (sting_to - sting_from) / 2
        return Span(sting_from + _days(self.low), middle + _days((self.low + self.high) / 2), sting_to + _days(self.high))

    def sting(self, exit_from: datetime, exit_to: datetime, timeline: Timeline) -> Span:
        _in_order(exit_from, exit_to)
        middle = exit_from + (exit_to - exit_from) / 2
        return Span(exit_from - _days(self.high), middle - _days((self.low + self.high) / 2), exit_to - _days(self.low))

    def share(self, first: datetime, last: datetime, exit_at: datetime, timeline: Timeline) -> float:
        """As `ByWarmth.share`."""
        mean, deviation = (self.low + self.high) / 2, (self.high - self.low) / 2 / quantile(0.5 + LEVEL / 2)
        taken = [(exit_at - when) / _days(1) for when in (first, last)]
        if not deviation:
            return float(taken[1] <= mean <= taken[0])
        return max(0.0, below((taken[0] - mean) / deviation) - below((taken[1] - mean) / deviation))


def spread_within(share: float) -> float:
    """The relative standard deviation of which `LEVEL` lie within `share` above and below the mean."""
    return share / quantile(0.5 + LEVEL / 2)


def _days(days: float) -> timedelta:
    return timedelta(days=days)


def _in_order(start: datetime, end: datetime) -> None:
    if end < start:
        raise ValueError("the end lies before the start")


def _fractions(start: datetime, end: datetime, spread: float, level: float) -> tuple[float, float]:
    _in_order(start, end)
    if spread < 0.0 or not 0.0 < level < 1.0:
        raise ValueError("a spread below 0, or a level outside 0 to 1")
    reach = spread * quantile(0.5 + level / 2)
    return max(0.0, 1.0 - reach), 1.0 + reach
