"""Days and columns: which column of the calendar a moment stands in, and the dates written above them."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

ZOOMS = ("week", "month", "season")
SPANS = {"week": timedelta(days=8), "month": timedelta(days=35), "season": timedelta(days=184)}
"""The least that is seen at once."""
HOURS = (1, 2, 3, 4, 6, 8, 12, 24, 36, 48, 72, 84, 120, 168, 240, 336, 504, 672, 1344)
"""Hours that a column may stand for."""
BEHIND = 0.3
"""How much of what is seen lies before now, when now is turned to."""
BAR = 2
"""Columns more by now: its own, and the second half of the one that it falls into."""


class Scale(NamedTuple):
    """`width` columns from `left` on, each `cell` long. Now has a column of its own, and the cell that it falls into has one on either
    side of it, so that it covers nothing."""

    left: datetime
    cell: timedelta
    width: int
    now: datetime

    @property
    def bar(self) -> int | None:
        """The column of now; None where it is not seen."""
        at = (self.now - self.left) // self.cell + 1
        return at if 1 <= at < self.width else None

    @property
    def end(self) -> datetime:
        """The moment at the right edge."""
        return self.left + self.cell * (self.width - (BAR if self.bar is not None else 0))

    def column(self, moment: datetime) -> int:
        """The column of a moment; it may lie outside of what is seen."""
        at = (moment - self.left) // self.cell
        return at + BAR if moment > self.now and self.bar is not None else at


def scale(zoom: str, left: datetime, width: int, now: datetime) -> Scale:
    """The scale by which at least the zoom's span is seen in so many columns, from the start of a column at or before `left`."""
    width = max(width, 4)
    cell = cell_of(zoom, width)
    midnight = left.replace(hour=0, minute=0, second=0, microsecond=0)
    if cell < timedelta(days=1):
        midnight += (left - midnight) // cell * cell
    return Scale(midnight, cell, width, now)


def cell_of(zoom: str, width: int) -> timedelta:
    """How long a column is."""
    hours = SPANS[zoom] / timedelta(hours=1) / max(width, 4)
    return timedelta(hours=next((one for one in HOURS if one >= hours), HOURS[-1]))


def left_for_now(zoom: str, width: int, now: datetime) -> datetime:
    """The left edge by which now stands where it is looked for."""
    return now - cell_of(zoom, width) * round(width * BEHIND)


def axis(of: Scale) -> tuple[str, str, list[int]]:
    """The two lines above the rows, months and days, and the columns in which a week begins (a month, where weeks lie too close)."""
    months, days = [" "] * of.width, [" "] * of.width
    midnights = [day for day in _midnights(of) if 0 <= of.column(day) < of.width]
    day_columns = timedelta(days=1) / of.cell
    lines = []
    if of.bar is not None:
        days[of.bar] = "│"
    for day in midnights:
        at, monday = of.column(day), day.weekday() == 0
        if day_columns >= 7:
            _write(days, at, f"{day:%a} {day.day}")
        elif day_columns >= 3 or monday and day_columns * 7 >= 3:
            _write(days, at, f"{day.day}")
        if monday and day_columns * 7 >= 3 or day.day == 1 and day_columns * 7 < 3:
            lines.append(at)
    first = of.left
    starts = [first, *(day for day in midnights if day.day == 1 and day > first)]
    told = None
    for here, after in zip(starts, [*starts[1:], None], strict=True):
        room = (of.column(after) if after else of.width) - of.column(here) - 1
        names = [f"{here:%B}", f"{here:%b}", f"{here:%b}"[:1], ""]
        if here.year != told:
            names = [f"{here:%B} {here.year}", f"{here:%b} {here.year}", *names]
        name = next(name for name in names if len(name) <= max(room, 0))
        told = here.year if name[-4:].isdecimal() else told
        _write(months, of.column(here), name)
    if of.bar is not None:
        around = months[max(of.bar - 1, 0) : of.bar + 4]
        if all(one == " " for one in around):
            _write(months, of.bar, "now")
    return "".join(months), "".join(days), lines


def _midnights(of: Scale):
    day = of.left.replace(hour=0, minute=0)
    while day <= of.end + of.cell * BAR:
        yield day
        day += timedelta(days=1)


def _write(line: list[str], at: int, text: str) -> None:
    """Write where it fits whole and touches nothing on either side."""
    end = at + len(text)
    if text and end <= len(line) and all(one == " " for one in line[max(at - 1, 0) : end + 1]):
        line[at:end] = text
