"""What a plot of the season shows, as plain values: lines with a sign each, a band between two bounds, bars; no screen in here."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from math import ceil, floor, log10
from typing import NamedTuple

from nurserytui.answers.wording import number

SIGNS = "o+x*#@&=ABCDEFGHIJKLMNOPQRSTUVWXYZ"
"""By which lines are told apart, with or without colour."""
BESIDE = 3
"""Lines drawn beside the one in front."""

FINE = 21
"""Rows from which shares are drawn over the whole of their scale: each row is then 5 % at most."""
APART = 6
"""Steps that a y axis is marked in at most."""
COARSE = {1: 1.5, 2: 1.1}
"""Of so few steps each row has to be so much finer to be worth it."""


class Line(NamedTuple):
    """One line over columns; None where there is nothing to tell."""

    sign: str
    at: int
    """Its place in the list of what can be drawn."""
    front: bool
    points: tuple[tuple[float, float] | None, ...]
    """(x, y) by x; None breaks the line. A value holds until the next."""


class Drawing(NamedTuple):
    """Lines over one pair of axes, and the band of the one in front."""

    lines: tuple[Line, ...]
    band: tuple[tuple[float, float, float, float], ...]
    """(from x, to x, low, high)"""
    x: tuple[float, float]
    y: tuple[float, float]
    along: tuple[tuple[float, str], ...]
    """Marks of the x axis."""
    up: tuple[tuple[float, str], ...] = ()
    """Marks of the y axis, once it is laid on rows (`evened`)."""
    unit: str = ""
    """Behind the numbers of those marks."""
    cuts: bool = False
    """Where rows are few, the y axis may begin where the lines do instead of at its foot."""


class Bars(NamedTuple):
    """One bar a row: label, number, what stands behind the bar."""

    rows: tuple[tuple[str, float, str], ...]


class Entry(NamedTuple):
    """A row of the list beside a plot: what can stand in front in it."""

    key: tuple
    label: str
    told: str
    drawn: bool
    """False where nothing of it can be drawn."""


def entries(page, view: str) -> tuple[Entry, ...]:
    """What can be drawn in a view, in the order of its signs."""
    if view == "survival":
        return tuple(
            Entry((one.name,), one.label, f"{one.animals}{', too few' if one.few else ''}", not one.few) for one in page.groups
        )
    if view == "warmth":
        return tuple(
            Entry((one.name,), one.name or "the room", f"mean {number(one.mean)} °{page.unit}", True) for one in page.places
        )
    if view == "heat":
        return tuple(
            Entry(
                (one.species, one.place), f"{one.label}, {one.place or 'the room'}", f"{number(one.total)} °{page.unit}·d", True
            )
            for one in page.heats
        )
    return ()


def drawing(page, view: str, at: int) -> Drawing | Bars | None:
    """What a view shows with its entry number `at` in front; None where there is nothing to draw."""
    if view == "animals":
        rows = tuple((row.label, row.laid + row.found, str(row.laid + row.found)) for row in page.came)
        return Bars(rows) if rows else None
    if view == "losses":
        rows = tuple((cause, count, str(count)) for cause, count in page.causes)
        return Bars(rows) if rows else None
    return {"survival": _survival, "warmth": _warmth, "heat": _heat}[view](page, at)


def _near(count: int, at: int, able) -> list[int]:
    """The numbers of the lines to draw, the one in front last so that it lies above the others."""
    others = [number for number in range(count) if number != at and able(number)][:BESIDE]
    return [*others[::-1], at]


def _survival(page, at: int) -> Drawing | None:
    groups = page.groups
    if at >= len(groups) or groups[at].few or len(groups[at].drawn) < 2:
        return None
    numbers = _near(len(groups), at, lambda one: len(groups[one].drawn) > 1)
    lines = tuple(
        Line(sign(one), one, one == at, tuple((share.days, share.alive * 100) for share in groups[one].drawn)) for one in numbers
    )
    drawn = groups[at].drawn
    band = tuple((one.days, after.days, one.low * 100, one.high * 100) for one, after in pairwise(drawn))
    end = max((share.days for share in groups[at].table), default=0) or drawn[-1].days
    along = tuple((day, number(day)) for day in marks(0, end, 6))
    return Drawing(lines, band, (0, end), (0, 100), along, unit=" %", cuts=True)


def _warmth(page, at: int) -> Drawing | None:
    if at >= len(page.places):
        return None
    numbers = _near(len(page.places), at, lambda one: True)
    over = {one: _over(page.places[one].days, page.now.date()) for one in numbers}
    lines = tuple(Line(sign(one), one, one == at, _with_breaks([(day.day, day.mean) for day in over[one]])) for one in numbers)
    here = over[at]
    band = tuple((day.day.toordinal(), day.day.toordinal() + 1, day.low, day.high) for day in here)
    days = [day for one in numbers for day in over[one]]
    low, high = min(day.low for day in days), max(day.high for day in days)
    return _over_days(lines, band, (low, high), [day.day for day in days], "°")


def _over(days, today: date):
    """The days that are over: the one that is not has no lowest and highest yet, unless it is all there is."""
    return days[:-1] if len(days) > 1 and days[-1].day == today else days


def _heat(page, at: int) -> Drawing | None:
    rows = page.heats
    if at >= len(rows):
        return None
    front = rows[at]
    # Of one species its places are compared, of many the species in one place.
    numbers = _near(
        len(rows), at, lambda one: rows[one].place == front.place or (bool(page.whose) and rows[one].species == front.species)
    )
    lines = tuple(Line(sign(one), one, one == at, _so_far(rows[one].so_far)) for one in numbers)
    days = [day for one in numbers for day, _ in rows[one].so_far]
    return _over_days(lines, (), (0, max(rows[one].total for one in numbers)), days, "")


def _over_days(lines, band, y: tuple[float, float], days: list[date], unit: str) -> Drawing | None:
    first, last = min(days).toordinal(), max(days).toordinal() + 1
    if last - first < 2:
        return None  # one day is a number, not a run of days
    low, high = y
    if low == high:
        low, high = low - 1, high + 1
    step = next(step for step in (1, 2, 7, 14, 28, 56, 112, 10_000) if (last - first) / step <= 6)
    along = tuple((day, _short(date.fromordinal(day))) for day in range(first, last, step))
    return Drawing(lines, band, (first, last), (low, high), along, unit=unit)


def _so_far(sums) -> tuple[tuple[float, float], ...]:
    return (*((day.toordinal(), total) for day, total in sums), (sums[-1][0].toordinal() + 1, sums[-1][1]))


def _short(day: date) -> str:
    return f"{day.day} {day:%b}"


def _with_breaks(days: list[tuple[date, float]]) -> tuple[tuple[float, float] | None, ...]:
    """Points by day, broken where days are missing: nothing is drawn where nothing was measured."""
    points: list[tuple[float, float] | None] = []
    last = None
    for day, value in days:
        if last is not None and (day - last).days > 1:
            points += [(last.toordinal() + 1, points[-1][1]), None]
        points.append((day.toordinal(), value))
        last = day
    if last is not None:
        points.append((last.toordinal() + 1, points[-1][1]))
    return tuple(points)


def sign(at: int) -> str:
    """The sign of an entry's line."""
    return SIGNS[at] if at < len(SIGNS) else "."


def marks(low: float, high: float, most: int) -> list[float]:
    """Round numbers from low to high, no more than about so many."""
    if high <= low:
        return [low]
    rough = (high - low) / most
    power = 10 ** floor(log10(rough))
    step = next(power * one for one in (1, 2, 2.5, 5, 10) if power * one >= rough)
    if step < 1 and most > 5:
        step = 1.0
    first = ceil(low / step)
    return [round(step * one, 6) for one in range(first, floor(high / step) + 1)]


def evened(shown: Drawing, rows: int) -> Drawing:
    """The drawing with its y axis laid on so many rows: every mark stands on a row, each as many rows above the one before, and the rows
    are as fine as that allows. What is above the highest mark stays free."""
    low, high = shown.y
    values = [point[1] for line in shown.lines for point in line.points if point is not None]
    if shown.cuts and rows < FINE and values:
        low = min(values)
    if high <= low:
        low = high - 1
    room = max(rows - 1, 1)
    power = 10 ** (floor(log10((high - low) / room)) - 1)
    best = None
    for step in (power * tens * one for tens in (1, 10, 100, 1000) for one in (1, 2, 2.5, 5)):
        first = floor(round(low / step, 6))
        steps = max(ceil(round(high / step, 6)) - first, 1)
        if steps > min(APART, room):
            continue
        between = room // steps
        found = (step / between * COARSE.get(steps, 1), -steps, step, first, between)
        best = found if best is None else min(best, found)
    # Two rows cannot hold zero between them.
    _, steps, step, first, between = best or (0, -1, high - low, low / (high - low), room)
    marked = [round(step * (first + one), 6) for one in range(1 - steps)]
    up = tuple((one, f"{number(one, 2)}{shown.unit}") for one in marked)
    return shown._replace(y=(marked[0], marked[0] + step / between * room), up=up)


def cut_words(shown: Drawing) -> str:
    """That the y axis does not begin at its foot, where it does not."""
    return f"scale from {shown.up[0][1]}" if shown.cuts and shown.y[0] > 0 else ""


class Cell(NamedTuple):
    """A sign of a line in one cell of the canvas; columns from the left, rows from the foot."""

    column: int
    row: int
    sign: str


THIN, HEAVY = "─│┐└┘┌", "━┃┓┗┛┏"


def cells_of(line: Line, shown: Drawing, columns: int, rows: int) -> list[Cell]:
    """The line in cells: level and upright strokes, its sign every so often and at its end."""
    level, upright, down_from, down_to, up_from, up_to = HEAVY if line.front else THIN
    cells: list[Cell] = []
    before = None
    every = max(6, columns // 6)
    heights = [None if value is None else row_of(value, shown, rows) for value in by_column(line.points, shown, columns)]
    for column, row in enumerate(heights):
        if row is None:
            before = None
            continue
        if before is None or before == row:
            last = column + 1 == columns or heights[column + 1] is None
            near = any(heights[one] is None for one in range(column, min(column + 5, columns))) or column + 5 > columns
            signed = last or (column % every == (line.at * 2 + 2) % every and not near)
            cells.append(Cell(column, row, line.sign if signed else level))
        else:
            falls = row < before
            between = range(row + 1, before) if falls else range(before + 1, row)
            cells.append(Cell(column, before, down_from if falls else up_from))
            cells += [Cell(column, one, upright) for one in between]
            cells.append(Cell(column, row, down_to if falls else up_to))
        before = row
    return cells


def by_column(points, shown: Drawing, columns: int) -> list[float | None]:
    """The value of a line in each column: the last one that begins in it or before; None before the line, past it and in its breaks."""
    found: list[float | None] = []
    at, value = -1, None
    end = max((point[0] for point in points if point is not None), default=0.0)
    for column in range(columns):
        left, right = _edges(shown, column, columns)
        seen = None
        while at + 1 < len(points) and (points[at + 1] is None or points[at + 1][0] < right):
            at += 1
            value = points[at][1] if points[at] is not None else None
            seen = value if value is not None else seen
        found.append(seen if seen is not None else value if left < end else None)
    return found


def _edges(shown: Drawing, column: int, columns: int) -> tuple[float, float]:
    """The x at the two edges of a column."""
    first, last = shown.x
    wide = (last - first) / columns
    return first + wide * column, first + wide * (column + 1)


def row_of(value: float, shown: Drawing, rows: int) -> int:
    """The row, from the foot, in which a value lies."""
    low, high = shown.y
    return min(max(round((value - low) / (high - low) * (rows - 1)), 0), rows - 1)


def column_of(x: float, shown: Drawing, columns: int) -> int:
    """The column in which an x lies."""
    first, last = shown.x
    return min(max(int((x - first) / (last - first) * columns), 0), columns - 1)


def band_cells(shown: Drawing, columns: int, rows: int) -> list[tuple[int, int]]:
    """(column, row) of what lies between the bounds of the band."""
    found, at = [], 0
    for column in range(columns):
        left, right = _edges(shown, column, columns)
        while at < len(shown.band) and shown.band[at][1] <= left:
            at += 1
        here = []
        for one in shown.band[at:]:
            if one[0] >= right:
                break
            here.append(one)
        if here:
            low, high = (row_of(value, shown, rows) for value in (min(one[2] for one in here), max(one[3] for one in here)))
            found += [(column, row) for row in range(low, high + 1)]
    return found
