"""The sides of a box in a line (`12x12x24 inch`, `a 30 cm cube`) or of a jar (`16 cm across and 30 cm tall`), and what it holds."""

from __future__ import annotations

import re
from math import pi
from typing import NamedTuple

from nurserytui.amounts.factors import convert
from nurserytui.language.units import UNITS

_LENGTHS = {spelling: unit.name for spelling, unit in UNITS.items() if unit.kind == "length"} | {"in": "inch"}
_IN = r"in(?! (?:l|litres?|liters?|ml|us|imp\w*|gal\w*|quarts?|cups?|pints?|diameter)\b)"
_UNIT = "|".join(_IN if unit == "in" else unit for unit in sorted(_LENGTHS, key=len, reverse=True))
_SIDE = rf"(\d+(?:\.\d+)?)\s*({_UNIT})?"
_BY = r"\s*(?:x|by|×|\*)\s*"
_BOX = re.compile(rf"{_SIDE}{_BY}{_SIDE}{_BY}{_SIDE}\b")
_NAMED = r" ?(?:wide|deep|high|tall|long|across)"
_NAMED_BOX = re.compile(rf"{_SIDE}{_NAMED}(?: by| x| and)? {_SIDE}{_NAMED}(?: by| x| and)? {_SIDE}{_NAMED}\b")
_CUBE = re.compile(rf"{_SIDE} cube\b")
_ACROSS = r"(?:across|in diameter|diameter|round)"
_TALL = r"(?:tall|high|deep|long)"
_ROUND_THING = r"(?:jars?|buckets?|tubes?|cylinders?|vases?|cans?|pots?|cups?|beakers?)"
_ROUND = (
    # (pattern, group of the width, group of the height)
    (re.compile(rf"{_SIDE} {_ACROSS}(?: and| by| x)? {_SIDE} {_TALL}\b"), 1, 3),
    (re.compile(rf"{_SIDE} (?:tall|high|deep)(?: and| by| x)? {_SIDE} {_ACROSS}\b"), 3, 1),
    (re.compile(rf"\bdiameter (?:of |is )?{_SIDE}(?: \w+){{0,2}} height (?:of |is )?{_SIDE}\b"), 1, 3),
    (re.compile(rf"\bdiameter (?:of |is )?{_SIDE}(?: and| by| x)? {_SIDE} {_TALL}\b"), 1, 3),
    (re.compile(rf"{_SIDE} wide (?:\w+ )?{_ROUND_THING} {_SIDE} {_TALL}\b"), 1, 3),
    (re.compile(rf"\b{_ROUND_THING}(?: \d+)?(?: (?:is|of|measures))? {_SIDE} wide(?: and| by| x)? {_SIDE} {_TALL}\b"), 1, 3),
    (re.compile(rf"{_SIDE}{_BY}{_SIDE} (?:(?:glass|plastic|mason|deli|clear|round) )?{_ROUND_THING}\b"), 1, 3),
    (re.compile(rf"\b{_ROUND_THING}(?: \d+)? (?:is |of |measures )?{_SIDE}{_BY}{_SIDE}(?!\s*(?:x|by|×|\*|\d))"), 1, 3),
)
_BARE = tuple(pattern for pattern, _, _ in _ROUND[-2:])
"""Those that tell two sides by no word but the thing's: only a unit makes them sides."""


class Box(NamedTuple):
    litres: float
    sum: str
    """How that was computed."""
    said: str
    assumed: bool = False
    """True where no unit was said and centimetres were taken."""

    @property
    def in_inches(self) -> float:
        """Litres, had the numbers without a unit been inches."""
        return self.litres * convert(1.0, "inch", "centimeter") ** 3


def box(plain: str) -> Box | None:
    """The box that a line gives the sides of; a side without a unit has that of the last one, centimetres where none is said. Two sides
    are of a jar where a round thing is named: its width and then its height."""
    match, cube = _BOX.search(plain) or _NAMED_BOX.search(plain), _CUBE.search(plain)
    if match:
        last = match[6] or match[4] or match[2]
        return _box([(float(match[at]), match[at + 1] or last) for at in (1, 3, 5)], 1.0, match[0])
    if cube:
        return _box([(float(cube[1]), cube[2])] * 3, 1.0, cube[0])
    for pattern, across, tall in _ROUND:
        if found := pattern.search(plain):
            unit = found[across + 1] or found[tall + 1]
            if unit is None and pattern in _BARE:
                continue  # `2 jars x 3` is no measure
            width = (float(found[across]), found[across + 1] or unit)
            return _box([width, width, (float(found[tall]), found[tall + 1] or unit)], pi / 4, found[0])
    return None


def _box(sides: list[tuple[float, str | None]], share: float, said: str) -> Box:
    """A box of these sides, or of a `share` of it for a round one."""
    lengths = [convert(length, _LENGTHS[unit or "cm"], "centimeter") for length, unit in sides]
    litres = share / 1000
    for length in lengths:
        litres *= length
    product = " × ".join(f"{length:g} cm" for length in lengths)
    return Box(litres, f"{'π/4 × ' if share != 1 else ''}{product}", said.strip(), not any(unit for _, unit in sides))
