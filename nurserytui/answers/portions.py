"""Plant as a line tells it: how much is on hand, how big a leaf or a stem is, and in what the answer is wanted."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.amounts.factors import convert
from nurserytui.language import numbers, units

PIECES = {
    "leaves": "leaf leaves leafs",
    "stems": "stem stems sprig sprigs cutting cuttings branch branches twig twigs stalk stalks shoot shoots",
    "plants": "plant plants pot pots",
    "bunches": "bunch bunches handful handfuls",
}
PIECE_OF = {word: piece for piece, words in PIECES.items() for word in words.split()}
BETWEEN = frozenset("big large small tiny huge fresh cut more whole potted full good young old mature new average of".split())
"""Words that may stand between a number and what is counted: `6 big stems`."""
BEFORE_SIZE = frozenset("of at about around roughly weighing measuring are is weigh weighs each with averaging x".split())
AFTER_SIZE = frozenset("each apiece".split())
WANTED = (
    (
        "g",
        re.compile(
            r"\b(how many|number of|what|in) (grams?|g|kg|kilos?)\b|\b(what|which|by|how much) (weight|mass)\b|\bgrams? of\b"
        ),
    ),
    ("cm2", re.compile(r"\b(leaf|leaves) area\b|\barea of lea(f|ves)\b|\bhow many (square|sq|cm2|cm)\b|\bin (cm2|square)\b")),
)
ASKED_PIECE = re.compile(
    r"\b(?:how many|number of|what number of|many) (?:[\w%.²]+ ){0,4}?("
    + "|".join(PIECE_OF)
    + r")\b|\b(leaves|stems|plants|pots|sprigs) (?:per|for each|needed|a day|each day)\b"
)


class Plant(NamedTuple):
    """What a line says of the plant; None and "" for what it leaves open."""

    supply: tuple[float, str] | None = None
    """`(6, "stems")`, `(200, "g")`, `(800, "cm2")`."""
    size: tuple[float, str] | None = None
    """Of one leaf, stem or plant: `(40, "cm2")` or `(15, "g")`."""
    wanted: str = ""
    """`g`, `cm2`, `leaves`, `stems`, `plants` or `bunches`."""
    animals: int | None = None
    """A number that counts neither plant nor size: how many animals."""


def told(plain: str, names: tuple[str, ...] = ()) -> Plant:
    """What the normalised line tells; `names` are words of plants that may stand between number and piece (`6 dill stems`)."""
    words = plain.replace("²", "2").split()
    passable = BETWEEN | {word for name in names for word in name.casefold().split()}
    supply, size, animals = None, None, None
    at = 0
    while at < len(words):
        number = numbers.read(words, at)
        if number is None:
            at += 1
            continue
        last, value = number
        unit = units.read(words, last + 1)
        if unit and unit[1].kind in ("mass", "area") and value > 0:
            amount = _amount(value, unit[1])
            if _is_size(words, at, unit[0] + 1):
                size = size or amount
            else:
                supply = supply or amount
            at = unit[0] + 1
            continue
        piece = _piece(words, _past_amount(words, last + 1), passable)
        if piece and value > 0 and not _is_leading(words, at):
            supply = supply or (float(value), piece)
        elif unit is None and isinstance(value, int) and value > 0 and not _is_leading(words, at):
            animals = animals or value
        at = last + 1
    return Plant(supply, size, wanted(plain), animals)


def wanted(plain: str) -> str:
    """The unit in which the line asks for the answer, "" where it names none."""
    for unit, pattern in WANTED:
        if pattern.search(plain):
            return unit
    match = ASKED_PIECE.search(plain)
    return PIECE_OF[match[1] or match[2]] if match else ""


def _amount(value: float, unit) -> tuple[float, str]:
    if unit.kind == "mass":
        return convert(value, unit.name, "gram"), "g"
    return convert(value, unit.name, "square_centimeter"), "cm2"


def _is_size(words, first: int, after: int) -> bool:
    """`stems of 15 g`, `15 g stems`, `a leaf is 40 cm2`, `40 cm2 each`."""
    if after < len(words) and (
        words[after] in AFTER_SIZE or words[after] in PIECE_OF or words[after : after + 2] == ["a", "leaf"]
    ):
        return True
    before = words[max(first - 4, 0) : first]
    return bool(before) and before[-1] in BEFORE_SIZE and any(word in PIECE_OF for word in before)


def _past_amount(words, at: int) -> int:
    """The place after an amount that stands at `at`: `two 40 cm2 leaves`; else `at` itself."""
    number = numbers.read(words, at) if at < len(words) else None
    unit = units.read(words, number[0] + 1) if number else None
    return unit[0] + 1 if unit and unit[1].kind in ("mass", "area") else at


def _piece(words, at: int, passable) -> str:
    for place in range(at, min(at + 5, len(words))):
        if words[place] in PIECE_OF:
            return PIECE_OF[words[place]]
        if words[place] not in passable:
            return ""
    return ""


def _is_leading(words, at: int) -> bool:
    """`instar 5`, `5th`: the number names an instar."""
    return at > 0 and words[at - 1] in ("instar", "instars", "l", "stage")
