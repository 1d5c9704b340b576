"""From a sting to the exit of the parasitoid, and back, at the temperatures along a timeline."""

from datetime import datetime
from typing import NamedTuple

from nurserytui.biology.normal import quantile
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

SPREAD = 0.10
"""Relative standard deviation of a parasitoid's development where none is published (as between its hosts; judged)."""


class Span(NamedTuple):
    """Likely between `low` and `high`, most likely at `at`. None: not within the timeline's horizon."""

    low: datetime | None
    at: datetime | None
    high: datetime | None


def exit_of(
    sting_from: datetime, sting_to: datetime, curve: RateCurve, timeline: Timeline, spread: float = SPREAD, level: float = 0.9
) -> Span:
    """When parasitoids leave that stung between `sting_from` and `sting_to`; `curve` is of sting to exit.

    The span runs from the fastest of the first sting to the slowest of the last. ValueError for times out of order.
    """
    early, late = _fractions(sting_from, sting_to, spread, level)
    middle = sting_from + (sting_to - sting_from) / 2
    return Span(timeline.when(curve, sting_from, early), timeline.when(curve, middle, 1.0), timeline.when(curve, sting_to, late))


def sting_of(
    exit_from: datetime, exit_to: datetime, curve: RateCurve, timeline: Timeline, spread: float = SPREAD, level: float = 0.9
) -> Span:
    """When the animals were stung that parasitoids left between `exit_from` and `exit_to`.

    The span runs from the slowest of the first exit to the fastest of the last. ValueError for times out of order.
    """
    early, late = _fractions(exit_from, exit_to, spread, level)
    middle = exit_from + (exit_to - exit_from) / 2
    return Span(
        timeline.before(curve, exit_from, late), timeline.before(curve, middle, 1.0), timeline.before(curve, exit_to, early)
    )


def _fractions(start: datetime, end: datetime, spread: float, level: float) -> tuple[float, float]:
    if end < start:
        raise ValueError("the end lies before the start")
    if spread < 0.0 or not 0.0 < level < 1.0:
        raise ValueError("a spread below 0, or a level outside 0 to 1")
    reach = spread * quantile(0.5 + level / 2)
    return max(0.0, 1.0 - reach), 1.0 + reach
