"""A picture as plain values: panels with lines, areas, dots and words in their own units. `drawing` alone knows how it is drawn."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from math import ceil, floor, log10
from typing import NamedTuple

from nurserytui.answers.wording import number

WIDTH = 760
"""Units that a picture is wide; its words are as many units high as they say."""
SIZE = 12
SMALL = 11
PAPER = "#fffdf6"
INK = "#2b2a26"
QUIET = "#5f5a4c"
"""Of words and axes that stand back."""
FAINT = "#d9cfb4"
"""Of the grid, which tells nothing by itself."""
NOW = "#8f1d1d"


class Style(NamedTuple):
    """By what a line is told apart: its tone, its dashes and the dots on it."""

    colour: str
    dash: tuple[float, ...]
    dot: str


STYLES = (
    Style("#33523d", (), "o"),
    Style("#8a3b12", (7, 3), "s"),
    Style("#2f4b8f", (2, 2), "D"),
    Style("#7a5c1e", (9, 3, 2, 3), "^"),
    Style("#7b2d6b", (4, 4), "v"),
)


class Line(NamedTuple):
    points: tuple[tuple[float, float] | None, ...]
    """None breaks the line."""
    colour: str = INK
    dash: tuple[float, ...] = ()
    width: float = 1.8


class Area(NamedTuple):
    """A closed shape. With `hatch` it is ruled (`/`, `x`, `-`), with `dash` its edge is broken."""

    corners: tuple[tuple[float, float], ...]
    fill: str = ""
    edge: str = ""
    hatch: str = ""
    dash: tuple[float, ...] = ()


class Dot(NamedTuple):
    x: float
    y: float
    shape: str = "o"
    """`o`, `s`, `D`, `^`, `v`, `x`, `>`."""
    colour: str = INK
    fill: str = ""
    """"": as its edge."""
    size: float = 6


class Words(NamedTuple):
    """One line of text; it may hold anything, and is never read as anything but text."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    """`start`, `middle` or `end`."""
    colour: str = INK
    size: float = SIZE
    bold: bool = False
    cut: bool = False
    """Whether what sticks out of the panel is not drawn."""
    over: bool = False
    """Whether it stands on what is ruled, and gets room round its letters."""


class Panel(NamedTuple):
    """A pair of axes."""

    left: float
    top: float
    width: float
    height: float
    x: tuple[float, float]
    y: tuple[float, float]
    marks: tuple
    """`Line`, `Area`, `Dot` and `Words`, the later ones above the earlier."""
    along: tuple[tuple[float, str], ...] = ()
    """Ticks below."""
    up: tuple[tuple[float, str], ...] = ()
    """Ticks at the left."""
    framed: bool = True


class Picture(NamedTuple):
    name: str
    """Of letters, figures and hyphens, each its own on a page."""
    height: float
    panels: tuple[Panel, ...]
    title: str
    told: str
    """What it shows, in words with numbers."""
    caption: str
    """How to read it."""


def bar(x0: float, x1: float, y: float, high: float) -> tuple[tuple[float, float], ...]:
    """The corners of a bar from x0 to x1 about the height y."""
    return (x0, y - high / 2), (x1, y - high / 2), (x1, y + high / 2), (x0, y + high / 2)


def at(when: date | datetime) -> float:
    """A moment as days."""
    if isinstance(when, datetime):
        return when.toordinal() + (when.hour * 60 + when.minute) / 1440
    return float(when.toordinal())


def dates_along(first: float, last: float, most: int = 8) -> tuple[tuple[float, str], ...]:
    """Ticks of an axis of days: days, weeks (from a Monday) or months, as many as there is room for."""
    days = max(last - first, 1)
    for step in (1, 2, 7, 14):
        if days / step <= most:
            start = ceil(first)
            if step >= 7:
                start += -(start - 1) % 7  # ordinal 1 is a Monday
            found = [date.fromordinal(day) for day in range(start, floor(last) + 1, step)]
            return tuple((float(day.toordinal()), _day(day, one == 0)) for one, day in enumerate(found))
    for months in (1, 2, 3, 6, 12, 24, 60, 120):
        if days / 30.4 / months <= most:
            break
    ticks, day = [], date.fromordinal(ceil(first)).replace(day=1)
    while day.toordinal() <= last:
        if day.toordinal() >= first and (day.year * 12 + day.month - 1) % months == 0:
            named = f"{day:%b} {day.year}" if not ticks or day.month == 1 or months > 6 else f"{day:%b}"
            ticks.append((float(day.toordinal()), named))
        day = (day + timedelta(days=32)).replace(day=1)
    return tuple(ticks)


def _day(day: date, first: bool) -> str:
    return f"{day.day} {day:%b}{f' {day.year}' if first or (day.month == 1 and day.day <= 7) else ''}"


def round_numbers(low: float, high: float, most: int, unit: str = "") -> tuple[tuple[float, str], ...]:
    """Ticks at round numbers from at or below `low` to at or above `high`."""
    if high <= low:
        low, high = low - 1, high + 1
    rough = (high - low) / most
    power = 10 ** floor(log10(rough))
    step = next(power * one for one in (1, 2, 2.5, 5, 10) if power * one >= rough - 1e-9)
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return tuple((round(step * one, 6), f"{number(step * one, 2)}{unit}") for one in range(first, last + 1))


def key(style: Style, x: float, y: float) -> tuple:
    """What a line looks like, beside its name: 26 units from x on, in units of the page."""
    return Line(((x, y), (x + 26, y)), style.colour, style.dash, 2), Dot(x + 13, y, style.dot, style.colour, size=5)
