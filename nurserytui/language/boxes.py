"""The sides of a box in a line (`12x12x24 inch`, `a 30 cm cube`) or of a jar (`16 cm across and 30 cm tall`), and what it holds."""

from __future__ import annotations

import re
from math import pi
from typing import NamedTuple

CENTIMETRES = {
    "mm": 0.1,
    "cm": 1.0,
    "m": 100.0,
    "in": 2.54,
    "inch": 2.54,
    "inches": 2.54,
    "ins": 2.54,
    "ft": 30.48,
    "foot": 30.48,
    "feet": 30.48,
}
_IN = r"in(?! (?:l|litres?|liters?|ml|us|imp\w*|gal\w*|quarts?|cups?|pints?)\b)"
_UNIT = "|".join(_IN if unit == "in" else unit for unit in sorted(CENTIMETRES, key=len, reverse=True))
_SIDE = rf"(\d+(?:\.\d+)?)\s*({_UNIT})?"
_BY = r"\s*(?:x|by|×|\*)\s*"
_BOX = re.compile(rf"{_SIDE}{_BY}{_SIDE}{_BY}{_SIDE}\b")
_NAMED = r" ?(?:wide|deep|high|tall|long|across)"
_NAMED_BOX = re.compile(rf"{_SIDE}{_NAMED}(?: by| x| and)? {_SIDE}{_NAMED}(?: by| x| and)? {_SIDE}{_NAMED}\b")
_CUBE = re.compile(rf"{_SIDE} cube\b")
_ROUND = re.compile(
    rf"{_SIDE} (?:across|in diameter|diameter|round)(?: and| by| x)? {_SIDE} (?:tall|high|deep|long)\b|{_SIDE} (?:tall|high|deep)(?: and| by| x)? {_SIDE} (?:across|in diameter|diameter|round)\b"
)


class Box(NamedTuple):
    litres: float
    sum: str
    """How that was computed."""
    said: str


def box(plain: str) -> Box | None:
    """The box that a line gives the sides of; a side without a unit has that of the last one, centimetres where none is said."""
    match, cube, round_ = _BOX.search(plain) or _NAMED_BOX.search(plain), _CUBE.search(plain), _ROUND.search(plain)
    if match:
        last = match[6] or match[4] or match[2] or "cm"
        sides = [(float(match[at]), match[at + 1] or last) for at in (1, 3, 5)]
        return _box(sides, 1.0, match[0])
    if cube:
        return _box([(float(cube[1]), cube[2] or "cm")] * 3, 1.0, cube[0])
    if round_:
        across, tall = (1, 3) if round_[1] else (7, 5)
        unit = round_[across + 1] or round_[tall + 1] or "cm"
        width = (float(round_[across]), round_[across + 1] or unit)
        return _box([width, width, (float(round_[tall]), round_[tall + 1] or unit)], pi / 4, round_[0])
    return None


def _box(sides: list[tuple[float, str]], share: float, said: str) -> Box:
    """A box of these sides, or of a `share` of it for a round one."""
    litres = share / 1000
    for length, unit in sides:
        litres *= length * CENTIMETRES[unit]
    product = " × ".join(f"{length * CENTIMETRES[unit]:g} cm" for length, unit in sides)
    return Box(litres, f"{'π/4 × ' if share != 1 else ''}{product}", said.strip())
