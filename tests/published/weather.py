"""Real weather: daily lows and highs of 2020 at Raleigh-Durham, and the temperatures in between."""

from __future__ import annotations

import csv
from datetime import date, datetime, time, timedelta
from math import cos, pi
from pathlib import Path

SERIES = Path(__file__).with_name("data") / "raleigh_durham_2020.csv"
WARMEST = 16
"""Hour of the day at which the high is put; the low is put at 4:00 (common practice for air in shade)."""


def days() -> dict[date, tuple[float, float]]:
    """Low and high (°C) per day: 1 April to 31 May and the whole of August."""
    with SERIES.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {date.fromisoformat(row["date"]): (float(row["low"]), float(row["high"])) for row in rows}


def months(first: int, last: int) -> list[tuple[float, float]]:
    return [each for day, each in days().items() if first <= day.month <= last]


def half_hourly(lows_and_highs: list[tuple[float, float]], start: date) -> list[tuple[datetime, float]]:
    """A point each half hour: half a sine from each day's low up to its high, half a sine down to the next day's low."""
    midnight, points = datetime.combine(start, time()), []
    for at in range(len(lows_and_highs) * 48):
        day, hour = divmod(at / 2, 24)
        low, high = lows_and_highs[int(day)]
        before = lows_and_highs[max(int(day) - 1, 0)][1]
        after = lows_and_highs[min(int(day) + 1, len(lows_and_highs) - 1)][0]
        if hour < WARMEST - 12:
            cold, warm = low, before
        elif hour <= WARMEST:
            cold, warm = low, high
        else:
            cold, warm = after, high
        celsius = (cold + warm) / 2 + (warm - cold) / 2 * cos(2 * pi * (hour - WARMEST) / 24)
        points.append((midnight + timedelta(days=day, hours=hour), celsius))
    return points
