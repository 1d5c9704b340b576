"""The temperatures of a season as pictures: lowest, mean and highest of each day by place, and the degree-days so far."""

from __future__ import annotations

from datetime import timedelta

from nurserytui.answers.wording import counted, listed, number
from nurserytui.exports.picture import (
    QUIET,
    SMALL,
    STYLES,
    WIDTH,
    Area,
    Dot,
    Line,
    Panel,
    Picture,
    Words,
    at,
    dates_along,
    key,
    round_numbers,
)
from nurserytui.pages.season_text import day_of
from nurserytui.pages.table import fit

PLACES = 6
"""Places in one picture."""
PICTURES = 2
BAND = "#ecd9b4"
EDGE = "#8a6a2c"
MEAN = "#33523d"
LEFT, RIGHT = 56, 20


def days(page) -> list[Picture]:
    """The days of the places with most of them, one above the other on the same scales; none of a single day, which is a number and no run."""
    places = page.places[: PLACES * PICTURES]
    if len({day.day for place in places for day in place.days}) < 2:
        return []
    parts = [places[first : first + PLACES] for first in range(0, len(places), PLACES)]
    return [_days(page, part, f"warmth-{number}", len(parts) > 1) for number, part in enumerate(parts, 1)]


def _days(page, places, name: str, several: bool) -> Picture:
    first = min(place.days[0].day for place in places)
    last = max(place.days[-1].day for place in places) + timedelta(days=1)
    lows, highs = [day.low for place in places for day in place.days], [day.high for place in places for day in place.days]
    ticks = round_numbers(min(lows), max(highs), 3, "°")
    high, step = 92, 92 + 34
    panels, heads = [], []
    for one, place in enumerate(places):
        top = 24 + one * step
        marks: list = []
        runs = _runs(_over(place.days, page.now.date()))
        for run in runs:
            low = [point for day in run for point in ((at(day.day), day.low), (at(day.day) + 1, day.low))]
            up = [point for day in run for point in ((at(day.day), day.high), (at(day.day) + 1, day.high))]
            marks.append(Area((*low, *reversed(up)), BAND, EDGE))
        for run in runs:
            points = [point for day in run for point in ((at(day.day), day.mean), (at(day.day) + 1, day.mean))]
            marks.append(Line(tuple(points), MEAN, (), 2))
            if len(run) == 1:
                marks.append(Dot(at(run[0].day) + 0.5, run[0].mean, "o", MEAN, size=5))
        lowest, highest = min(day.low for day in place.days), max(day.high for day in place.days)
        told = f"mean {number(place.mean)}°, {number(lowest)}° to {number(highest)}°, {counted(len(place.days), 'day')}"
        heads.append(Words(LEFT, top - 11, fit(place.name or "the room", 40), bold=True))
        heads.append(Words(WIDTH - RIGHT, top - 11, told, "end", QUIET, SMALL))
        panels.append(
            Panel(
                LEFT, top, WIDTH - LEFT - RIGHT, high, (at(first), at(last)), (ticks[0][0], ticks[-1][0]), tuple(marks),
                dates_along(at(first), at(last)) if one + 1 == len(places) else (), ticks,
            )
        )  # fmt: skip
    height = 24 + step * len(places) + 4
    head = Panel(0, 0, WIDTH, height, (0, WIDTH), (height, 0), tuple(heads), framed=False)
    told = "; ".join(
        f"{place.name or 'the room'} mean {number(place.mean)} °{page.unit}, from {number(min(day.low for day in place.days))} to "
        f"{number(max(day.high for day in place.days))}, {counted(len(place.days), 'day')} measured"
        for place in places
    )
    caption = (
        f"Temperature by day in °{page.unit}: the band reaches from the lowest to the highest reading of a day, the line is its mean. "
        "Nothing is drawn where nothing was measured, nor of the day that is not over yet."
    )
    title = f"Temperatures of the days, {counted(len(places), 'place')}" if several else "Temperatures of the days"
    return Picture(
        name, height, (*panels, head), title, f"From {day_of(first)} to {day_of(last - timedelta(days=1))}: {told}.", caption
    )


def _over(found, today):
    """The days that are over: the one that is not has no lowest and highest yet, unless it is all there is."""
    return found[:-1] if len(found) > 1 and found[-1].day == today else found


def _runs(found) -> list[list]:
    """The days cut where some are missing."""
    runs: list[list] = []
    for day in found:
        if runs and (day.day - runs[-1][-1].day).days == 1:
            runs[-1].append(day)
        else:
            runs.append([day])
    return runs


def heat(page) -> Picture | None:
    """The degree-days so far of the warmest pairs of species and place; None where none has more than one day."""
    rows = [row for row in page.heats if len(row.so_far) > 1 and row.total > 0][: len(STYLES)]
    if not rows:
        return None
    unit = f"°{page.unit}·d"
    first, last = min(row.so_far[0][0] for row in rows), max(row.so_far[-1][0] for row in rows) + timedelta(days=1)
    ticks = round_numbers(0, max(row.total for row in rows), 4)
    high, right = 220, 230
    marks: list = []
    keys: list = []
    for place, (row, style) in list(enumerate(zip(rows, STYLES)))[::-1]:
        points, before = [], 0.0
        for day, total in row.so_far:
            points += [(at(day), before), (at(day) + 1, total)]
            before = total
        marks.append(Line(tuple(points), style.colour, style.dash, 2))
        step = max(1, len(points) // 12) * 2
        marks += [Dot(x, y, style.dot, style.colour, size=5) for x, y in points[step - 1 :: step]]
        x, y = WIDTH - right + 16, 38 + place * 40
        keys += [*key(style, x, y), Words(x + 34, y, fit(f"{row.label}, {row.place or 'the room'}", 28), size=SMALL)]
        told = f"{number(row.total)} {unit} above {number(row.base)} °{page.unit}"
        keys.append(Words(x + 34, y + 15, told, "start", QUIET, SMALL))
    panel = Panel(
        LEFT, 30, WIDTH - LEFT - right, high, (at(first), at(last)), (0, ticks[-1][0]), tuple(marks),
        dates_along(at(first), at(last), 6), ticks,
    )  # fmt: skip
    head = Panel(
        0,
        0,
        WIDTH,
        high + 62,
        (0, WIDTH),
        (high + 62, 0),
        (Words(LEFT, 14, unit, "middle", QUIET, SMALL), *keys),
        framed=False,
    )
    told = listed(
        f"{row.label} in {row.place or 'the room'} {number(row.total)} {unit} above {number(row.base)} °{page.unit}"
        for row in rows
    )
    left_out = len(page.heats) - len(rows)
    more = f" {counted(left_out, 'more sum is', 'more sums are')} in the table." if left_out else ""
    caption = f"Degree-days so far above each species' threshold, by the days measured; days without readings add nothing.{more}"
    return Picture(
        "heat", high + 62, (panel, head), "Degree-days so far", f"By {day_of(last - timedelta(days=1))}: {told}.", caption
    )
