"""Where a line of text is cut so that no piece is wider than its column: between words, by cells, with the rest hanging under its bullet."""

from __future__ import annotations

import re
from typing import NamedTuple

from rich.cells import cell_len

HANGING = re.compile(r" *(?:(?:[-–·!▸▾]|\d{1,3}\.?) +)?")
"""Blanks, and a bullet or a number, under which the rest of a line hangs."""
DEEPEST = 3
"""A line hangs no deeper than its column's width divided by this."""


class Piece(NamedTuple):
    """Characters `start` to `end` of a line, drawn `indent` cells from the left."""

    start: int
    end: int
    indent: int


def pieces(line: str, width: int) -> list[Piece]:
    """The pieces of one line in a column of `width` cells (at least 1); an empty line is one empty piece.

    Together they hold every character but blanks at the cuts. A character wider than the column stands in a piece of its own.
    """
    hanging = min(cell_len(HANGING.match(line)[0]), width // DEEPEST)
    found: list[Piece] = []
    start = 0
    while True:
        indent = hanging if found else 0
        end = _reach(line, start, width - indent)
        if end == len(line):
            return [*found, Piece(start, end, indent)]
        cut = line.rfind(" ", start, end + 1)
        if cut > start and line[start:cut].strip():
            end = cut
        found.append(Piece(start, end, indent))
        start = end
        while start < len(line) and line[start] == " ":
            start += 1


def _reach(line: str, start: int, width: int) -> int:
    """How far the line can be read from `start` in so many cells; at least one character."""
    if line[start : start + width + 1].isascii():
        return min(start + width, len(line))
    end, used = start, 0
    while end < len(line):
        used += cell_len(line[end])
        if used > width and end > start:
            break
        end += 1
    return end
