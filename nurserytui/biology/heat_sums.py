"""Degree-days: of one day from its low and high, and of a logger's readings."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import asin, cos, isfinite, pi
from typing import NamedTuple

from nurserytui.biology.sensors import COLDEST, HOTTEST


def degree_days(
    low: float,
    high: float,
    base: float,
    ceiling: float | None = None,
    *,
    next_low: float | None = None,
    method: str = "single-sine",
) -> float:
    """Degree-days of one day, in the unit of the arguments, with a horizontal cut-off at `ceiling`.

    `method` is `average`, `modified-average`, `single-triangle`, `double-triangle`, `single-sine` or `double-sine`; the double methods
    take the day's second half from `high` to `next_low`. ValueError for arguments that cannot be.

    Sine: Baskerville & Emin 1969, Ecology 50:514-517; double sine: Allen 1976, Environ. Entomol. 5:388-396; triangles and cut-offs:
    Zalom et al. 1983, University of California leaflet 21373; the two averages: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291-300.
    """
    if method not in _METHODS:
        raise ValueError(f"unknown method {method!r}: one of {', '.join(_METHODS)}")
    given = [value for value in (low, high, base, ceiling, next_low) if value is not None]
    if not all(isfinite(value) for value in given):
        raise ValueError("a temperature that is not a number")
    if low > high:
        raise ValueError(f"the low {low} lies above the high {high}")
    if ceiling is not None and base > ceiling:
        raise ValueError(f"the base {base} lies above the ceiling {ceiling}")
    if method == "average":
        mean = (low + high) / 2
        return max(0.0, (mean if ceiling is None else min(mean, ceiling)) - base)
    if method == "modified-average":
        return (_clamped(low, base, ceiling) + _clamped(high, base, ceiling)) / 2 - base
    days, area = _METHODS[method]
    if days == 1:
        return _between(area, low, high, base, ceiling)
    if next_low is None:
        raise ValueError(f"{method} needs next_low, the low of the next day")
    # After a cold day the next low may lie above its high: the half day then rises, with the same area.
    second = _between(area, min(next_low, high), max(next_low, high), base, ceiling)
    return (_between(area, low, high, base, ceiling) + second) / 2


class ReadingsSum(NamedTuple):
    degree_days: float
    """°C·d"""
    gaps: list[tuple[datetime, datetime]]
    """Stretches longer than the longest gap: not filled, not in the sum."""
    rejected: list[tuple[datetime, float]]
    """Readings that cannot be air temperatures, in the order given."""


def degree_days_of_readings(
    times: Sequence[datetime],
    temperatures: Sequence[float],
    base: float,
    ceiling: float | None = None,
    *,
    longest_gap: timedelta = timedelta(hours=6),
) -> ReadingsSum:
    """Degree-days (°C·d) between `base` and `ceiling` along straight lines between readings (°C), exactly integrated.

    Times below the base count nothing. Readings may come in any order; of several at one time the mean counts. Readings that are not
    numbers, or outside -60 to 70 °C, are rejected and named. ValueError for unequal lengths, a base above the ceiling, or
    times with and without a zone mixed.
    """
    if len(times) != len(temperatures):
        raise ValueError("as many times as temperatures are needed")
    if not all(isfinite(value) for value in (base, ceiling) if value is not None):
        raise ValueError("a threshold that is not a number")
    if ceiling is not None and base > ceiling:
        raise ValueError(f"the base {base} lies above the ceiling {ceiling}")
    if not longest_gap > timedelta(0):
        raise ValueError("the longest gap must be above zero")
    if len({when.utcoffset() is None for when in times}) > 1:
        raise ValueError("times with and without a zone cannot be mixed")

    rejected = []
    kept: dict[datetime, list] = {}
    for when, value in zip(times, temperatures, strict=True):
        if value is None or not COLDEST <= value <= HOTTEST:
            rejected.append((when, value))
            continue
        # Two times of one zone are subtracted by the wall clock, so a change to summer time would count wrong.
        instant = when if when.utcoffset() is None else when.astimezone(UTC)
        place = kept.setdefault(instant, [when, 0.0, 0])
        place[1] += value
        place[2] += 1

    total, gaps = 0.0, []
    line = [(instant, when, value / count) for instant, (when, value, count) in sorted(kept.items())]
    for (start, said_start, before), (end, said_end, after) in pairwise(line):
        span = end - start
        if span > longest_gap:
            gaps.append((said_start, said_end))
        else:
            low, high = (before, after) if before <= after else (after, before)
            total += _between(_triangle, low, high, base, ceiling) * (span / timedelta(days=1))
    return ReadingsSum(total, gaps, rejected)


def _clamped(value: float, base: float, ceiling: float | None) -> float:
    value = max(value, base)
    return value if ceiling is None else min(value, ceiling)


def _between(area, low: float, high: float, base: float, ceiling: float | None) -> float:
    return area(low, high, base) - (0.0 if ceiling is None else area(low, high, ceiling))


def _triangle(low: float, high: float, line: float) -> float:
    """Mean height above `line` of a straight way between `low` and `high`."""
    if high <= line:
        return 0.0
    if low >= line:
        return (low + high) / 2 - line
    return (high - line) ** 2 / (2 * (high - low))


def _sine(low: float, high: float, line: float) -> float:
    """Mean height above `line` of a sine wave between `low` and `high`."""
    if high <= line:
        return 0.0
    mean, swing = (low + high) / 2, (high - low) / 2
    if low >= line:
        return mean - line
    angle = asin(max(-1.0, min(1.0, (line - mean) / swing)))
    return ((mean - line) * (pi / 2 - angle) + swing * cos(angle)) / pi


_METHODS = {
    "average": (1, None),
    "modified-average": (1, None),
    "single-triangle": (1, _triangle),
    "double-triangle": (2, _triangle),
    "single-sine": (1, _sine),
    "double-sine": (2, _sine),
}
