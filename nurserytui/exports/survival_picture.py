"""The survival of a season as pictures: curves over the days since coming in, and shares with their intervals side by side."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from nurserytui.answers.living import FEW
from nurserytui.answers.survival import percent, span
from nurserytui.answers.wording import counted, listed, number
from nurserytui.exports.picture import (
    INK,
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
    key,
    round_numbers,
)
from nurserytui.pages.table import fit

BAND = "#dfe5d3"
LEFT, RIGHT = 50, 230
DOTS = 6
"""Dots along a curve, by which it is told apart where its dashes cannot be seen."""


class Rate(NamedTuple):
    """A share of animals with its interval at 95 %; None where no fate is known."""

    label: str
    reached: int
    known: int
    share: float | None
    low: float
    high: float
    early: bool = False


def curves(page, name: str = "survival") -> Picture | None:
    """The curve of all animals with its interval, and those of the largest groups beside it; None where none can be drawn."""
    groups = [group for group in page.groups if len(group.drawn) > 1][: len(STYLES)]
    if not groups:
        return None
    end = max(group.drawn[-1].days for group in groups)
    foot = min(1.0, *(share.low for share in groups[0].drawn), *(share.alive for group in groups for share in group.drawn))
    foot = 0.0 if foot < 0.6 else 0.5
    marks: list = []
    bounds = [_steps(_held([(share.days, getattr(share, name) * 100) for share in groups[0].drawn])) for name in ("low", "high")]
    marks.append(Area((*bounds[0], *reversed(bounds[1])), BAND))
    marks += [Line(bound, QUIET, (1, 2), 1.0) for bound in bounds]
    height, keys = 260, []
    for at, (group, style) in list(enumerate(zip(groups, STYLES)))[::-1]:
        points = [(share.days, share.alive * 100) for share in group.drawn]
        marks.append(Line(_steps(points), style.colour, style.dash, 1.8 if at else 2.8))
        marks += [Dot(x, y, style.dot, style.colour) for x, y in _some(points, at)]
        x, y = WIDTH - RIGHT + 16, 38 + at * 40
        last = group.drawn[-1]
        told = f"{percent(last.alive)} on day {number(last.days)}, {counted(group.animals, 'animal')}"
        keys += [*key(style, x, y), Words(x + 34, y, fit(group.label, 28), "start", INK, SMALL, not at)]
        keys.append(Words(x + 34, y + 15, told, "start", QUIET, SMALL))
    panel = Panel(
        LEFT, 30, WIDTH - LEFT - RIGHT, height, (0, end), (100 * foot, 101), tuple(marks),
        tuple(tick for tick in round_numbers(0, end, 7) if tick[0] <= end),
        tuple(tick for tick in round_numbers(100 * foot, 100, 5, " %") if tick[0] <= 100),
    )  # fmt: skip
    heads = Panel(0, 0, WIDTH, height + 75, (0, WIDTH), (height + 75, 0), (
        Words(LEFT, 14, "alive", "middle", QUIET, SMALL),
        Words(LEFT + panel.width / 2, height + 62, "days since they came in", "middle", QUIET, SMALL),
        *keys,
    ), framed=False)  # fmt: skip
    first = groups[0]
    told = f"Share of animals alive by the days since they came in. {_told(first, end_words=True)}"
    if len(groups) > 1:
        told += f" Beside them {listed(_told(group) for group in groups[1:])}."
    others = [group.label for group in page.groups if group not in groups]
    named = listed([*others[:9], *([f"{len(others) - 9} more"] if len(others) > 9 else [])])
    caption = (
        f"Share alive, in per cent, by days since coming in (Kaplan-Meier), drawn for as long as {FEW} or more were watched. The shaded band is "
        f"the 95 % interval of {first.label}. Released and living animals count for as long as they were watched."
        + (" The scale begins at 50 %." if foot else "")
        + (f" Without a curve here: {named}." if others else "")
    )
    return Picture(name, height + 75, (panel, heads), f"Survival over the days, {page.title}", told, caption)


def _told(group, end_words: bool = False) -> str:
    last = group.drawn[-1]
    if end_words:
        return f"Of {counted(group.animals, 'animal')} ({group.label}) {percent(last.alive)} were alive on day {number(last.days)}, 95 % interval {span(last.low, last.high)}; {group.died} died."
    return f"{group.label}: {percent(last.alive)} of {group.animals} on day {number(last.days)}"


def _steps(points) -> tuple[tuple[float, float], ...]:
    """A value holds until the next one."""
    found = [points[0]]
    for (_, before), (x, y) in pairwise(points):
        found += [(x, before), (x, y)] if y != before else []
    return (*found, points[-1])


def _held(points) -> list[tuple[float, float]]:
    """Without the step at the very end, where nothing is drawn any more."""
    return [*points[:-1], (points[-1][0], points[-2][1])]


def _some(points, shift: int):
    step = max(1, len(points) // DOTS)
    return points[(shift * step) // len(STYLES) :: step]


def shares(name: str, title: str, rows: list[Rate], caption: str) -> Picture | None:
    """Shares with their intervals, a row each; None without any that is known."""
    known = [row for row in rows if row.share is not None]
    if not known:
        return None
    label, told_at, row_high = 150, WIDTH - 230, 26
    marks: list = []
    words: list = []
    height = row_high * len(rows)
    for at, row in enumerate(rows):
        y = at + 0.5
        words.append(Words(label - 12, (at + 0.5) * row_high, fit(row.label, 22), "end", INK, SMALL))
        if row.share is None:
            words.append(Words(told_at, (at + 0.5) * row_high, "no fate known yet", "start", QUIET, SMALL))
            continue
        marks.append(Line(((row.low * 100, y), (row.high * 100, y)), INK, (3, 2) if row.early else (), 1.6))
        marks += [Line(((end * 100, y - 0.16), (end * 100, y + 0.16)), INK, (), 1.4) for end in (row.low, row.high)]
        marks.append(Dot(row.share * 100, y, "o", "#33523d", "#fffdf6" if row.early else "", 8))
        early = ", too early to judge" if row.early else ""
        words.append(
            Words(
                told_at, (at + 0.5) * row_high, f"{row.reached} of {row.known}, {percent(row.share)}{early}", "start", INK, SMALL
            )
        )
    panel = Panel(
        label, 12, told_at - label - 14, height, (-1, 101), (len(rows), 0), tuple(marks),
        tuple((float(one), f"{one} %") for one in (0, 25, 50, 75, 100)),
    )  # fmt: skip
    texts = Panel(0, 12, WIDTH, height, (0, WIDTH), (height, 0), tuple(words), framed=False)
    told = f"{title}: " + "; ".join(
        f"{row.label} {percent(row.share)} of {row.known}, 95 % interval {span(row.low, row.high)}{', too early to judge' if row.early else ''}"
        if row.share is not None
        else f"{row.label} not known yet"
        for row in rows
    )
    return Picture(name, height + 48, (panel, texts), title, f"{told}.", caption)
