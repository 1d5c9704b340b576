"""Means and degree-days of readings: what was measured, nothing filled in."""

from __future__ import annotations

from datetime import date, datetime, timedelta

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
    days = heat_by_day(readings, base, ceiling)
    return sum(days.values()), len(days)


def heat_by_day(readings, base: float, ceiling: float | None = None) -> dict[date, float]:
    """The degree-days (°C·d) of each day with readings, the first day first; what lies between two readings of two days is shared at midnight."""
    from nurserytui.biology import degree_days, degree_days_of_readings

    by_day: dict[date, list] = {}
    for reading in readings:
        by_day.setdefault(moment_of(reading.when).date(), []).append(reading)
    full = {day for day, here in by_day.items() if len(here) >= DENSE}
    # A day with a few readings right before or after a full one belongs to the same series.
    full |= {
        day for day in by_day if any(_joins(by_day[day], by_day[other]) for other in (day - DAY, day + DAY) if other in full)
    }
    lines = _lines([reading for day in sorted(full) for reading in by_day[day]])
    sums = {}
    for day in sorted(by_day):
        if day in full:
            sums[day] = degree_days_of_readings(*lines[day], base, ceiling, longest_gap=SERIES).degree_days
        else:
            sums[day] = degree_days(min(one.low for one in by_day[day]), max(one.high for one in by_day[day]), base, ceiling)
    return sums


def _lines(readings) -> dict[date, tuple[list[datetime], list[float]]]:
    """Day -> the moments and °C of a series on it, with the midnights that its straight lines cross."""
    together: dict[datetime, list[float]] = {}
    for reading in readings:
        together.setdefault(moment_of(reading.when), []).append(reading.mean)
    line = sorted((when, sum(means) / len(means)) for when, means in together.items())
    found: dict[date, tuple[list[datetime], list[float]]] = {}

    def put(day: date, when: datetime, celsius: float) -> None:
        times, means = found.setdefault(day, ([], []))
        times.append(when)
        means.append(celsius)

    for at, (when, celsius) in enumerate(line):
        put(when.date(), when, celsius)
        if at + 1 == len(line):
            break
        then, later = line[at + 1]
        if then.date() != when.date() and then - when <= SERIES:
            midnight = then.replace(hour=0, minute=0, second=0, microsecond=0)
            crossed = celsius + (later - celsius) * ((midnight - when) / (then - when))
            put(when.date(), midnight, crossed)
            if midnight != then:
                put(then.date(), midnight, crossed)
    return found


def _joins(few, many) -> bool:
    """Whether the few readings of a day lie as close to those of a full day as a series' readings do."""
    return all(any(abs(moment_of(one.when) - moment_of(other.when)) <= SERIES for other in many) for one in few)
