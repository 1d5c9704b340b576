"""Means and degree-days of readings: what was measured, nothing filled in."""

from datetime import timedelta

from nurserytui.answers.warmth import moment_of

DENSE = 4
"""Readings a day from which degree-days follow the readings; with fewer a daily sine runs between the day's lowest and highest."""
DAY = timedelta(days=1)
SERIES = timedelta(hours=6)
"""Readings this near to each other are joined by straight lines; longer gaps are not filled."""
GAP = 3
"""A reading stands for no longer than this many times the usual distance between readings."""


def weighted_mean(readings) -> float:
    """Mean in °C, each reading weighted by the time it stands for: half way to its neighbours, at most a few usual distances."""
    if len(readings) == 1:
        return readings[0].mean
    times = [moment_of(reading.when) for reading in readings]
    steps = [(later - sooner).total_seconds() for sooner, later in zip(times, times[1:], strict=False)]
    usual = sorted(steps)[len(steps) // 2]
    if usual <= 0:
        return sum(reading.mean for reading in readings) / len(readings)
    steps = [min(step, GAP * usual) for step in steps]
    weights = [(a + b) / 2 for a, b in zip([steps[0], *steps], [*steps, steps[-1]], strict=True)]
    return sum(reading.mean * weight for reading, weight in zip(readings, weights, strict=True)) / sum(weights)


def heat_sum(readings, base: float, ceiling: float | None = None) -> tuple[float, int]:
    """(degree-days in °C·d above `base`, no faster above `ceiling`; days with readings). Days without readings are left out, not guessed."""
    from nurserytui.biology import degree_days, degree_days_of_readings

    by_day: dict = {}
    for reading in readings:
        by_day.setdefault(moment_of(reading.when).date(), []).append(reading)
    total = 0.0
    full = {day for day, here in by_day.items() if len(here) >= DENSE}
    # A day with a few readings right before or after a full one belongs to the same series.
    full |= {
        day for day in by_day if any(_joins(by_day[day], by_day[other]) for other in (day - DAY, day + DAY) if other in full)
    }
    dense = [reading for day in sorted(full) for reading in by_day[day]]
    if dense:
        times, means = [moment_of(one.when) for one in dense], [one.mean for one in dense]
        total += degree_days_of_readings(times, means, base, ceiling, longest_gap=SERIES).degree_days
    for day, here in by_day.items():
        if day not in full:
            total += degree_days(min(one.low for one in here), max(one.high for one in here), base, ceiling)
    return total, len(by_day)


def _joins(few, many) -> bool:
    """Whether the few readings of a day lie as close to those of a full day as a series' readings do."""
    return all(any(abs(moment_of(one.when) - moment_of(other.when)) <= SERIES for other in many) for one in few)
