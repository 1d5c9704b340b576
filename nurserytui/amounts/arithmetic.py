"""Plain sums of numbers, by a small evaluator of our own: figures, + - * / and brackets, and nothing else."""

from __future__ import annotations

import math
import re

_PIECE = re.compile(r"\s*(?:(\d+(?:\.\d+)?|\.\d+)|([-+*/()]))")
LONGEST = 60
"""Pieces of a sum that are read."""


def evaluate(text: str) -> float:
    """The value of a sum such as `14 * 4` or `(3 + 2) * 0.5`. Raises ValueError for anything else, and for division by zero."""
    pieces: list[str] = []
    at = 0
    text = text.strip()
    while at < len(text):
        match = _PIECE.match(text, at)
        if not match or len(pieces) >= LONGEST:
            raise ValueError("this is no plain sum")
        pieces.append(match[1] or match[2])
        at = match.end()
    value, rest = _sum(pieces, 0)
    if rest != len(pieces) or not math.isfinite(value):
        raise ValueError("this is no plain sum")
    return value


def _sum(pieces: list[str], at: int) -> tuple[float, int]:
    value, at = _product(pieces, at)
    while at < len(pieces) and pieces[at] in "+-":
        other, after = _product(pieces, at + 1)
        value = value + other if pieces[at] == "+" else value - other
        at = after
    return value, at


def _product(pieces: list[str], at: int) -> tuple[float, int]:
    value, at = _factor(pieces, at)
    while at < len(pieces) and pieces[at] in "*/":
        other, after = _factor(pieces, at + 1)
        if pieces[at] == "/" and other == 0:
            raise ValueError("nothing can be divided by zero")
        value = value * other if pieces[at] == "*" else value / other
        at = after
    return value, at


def _factor(pieces: list[str], at: int) -> tuple[float, int]:
    if at >= len(pieces):
        raise ValueError("this sum stops short")
    if pieces[at] == "-":
        value, after = _factor(pieces, at + 1)
        return -value, after
    if pieces[at] == "(":
        value, after = _sum(pieces, at + 1)
        if after >= len(pieces) or pieces[after] != ")":
            raise ValueError("a bracket is not closed")
        return value, after + 1
    if pieces[at] in "+*/)":
        raise ValueError("this is no plain sum")
    return float(pieces[at]), at + 1
