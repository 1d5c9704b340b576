"""Regular expressions of the program, and for each the lines that would make it go back and forth most, made from its own parts."""

from __future__ import annotations

import importlib
import pkgutil
import re
from collections.abc import Callable, Iterator
from random import Random
from re import _constants as signs  # type: ignore[attr-defined]
from re import _parser as parser  # type: ignore[attr-defined]

import nurserytui

LENGTH = 2000
"""Characters of a line that are read."""
Key = tuple[str, int]


def patterns() -> dict[Key, str]:
    """The patterns that modules of the package hold, in tuples and tables too, and the module of each."""
    found: dict[Key, str] = {}

    def gather(value: object, place: str) -> None:
        if isinstance(value, re.Pattern) and isinstance(value.pattern, str):
            found.setdefault((value.pattern, value.flags), place)
        elif isinstance(value, tuple | list | frozenset | set):
            for one in value:
                gather(one, place)
        elif isinstance(value, dict):
            for one in (*value, *value.values()):
                gather(one, place)

    for module in pkgutil.walk_packages(nurserytui.__path__, "nurserytui."):
        if not module.name.endswith("__main__"):
            for value in vars(importlib.import_module(module.name)).values():
                if not isinstance(value, type):
                    gather(value, module.name)
    return found


def adversaries(pattern: str, flags: int, chance: Random, rounds: int = 3) -> Iterator[str]:
    """Lines of full length in which what the pattern repeats, or a whole match but for its end, stands over and over."""
    tree = parser.parse(pattern, flags & ~re.TEMPLATE if hasattr(re, "TEMPLATE") else flags)
    for _ in range(rounds):
        pieces = {_sample(tree, chance, 1)}
        pieces.update(_sample(body, chance, 1) for body in _repeated(tree))
        whole = _sample(tree, chance, 1)
        for piece in sorted(pieces - {""}):
            for head in ("", whole[: len(whole) // 2]):
                for tail in ("", "\x01", whole[-1:]):
                    yield (head + piece * (LENGTH // len(piece) + 1))[: LENGTH - 1] + tail
                    spaced = f"{piece} "
                    yield (head + spaced * (LENGTH // len(spaced) + 1))[: LENGTH - 1] + tail


def _repeated(tree) -> Iterator:
    """The inside of everything that a pattern repeats, however deep."""
    for sign, value in tree:
        if sign in (signs.MAX_REPEAT, signs.MIN_REPEAT, signs.POSSESSIVE_REPEAT):
            yield value[2]
            yield from _repeated(value[2])
        elif sign is signs.SUBPATTERN:
            yield from _repeated(value[3])
        elif sign is signs.BRANCH:
            for part in value[1]:
                yield from _repeated(part)
        elif sign in (signs.ASSERT, signs.ASSERT_NOT):
            yield from _repeated(value[1])
        elif sign is signs.ATOMIC_GROUP:
            yield from _repeated(value)


def _sample(tree, chance: Random, more: int) -> str:
    """A text that the pattern would take, or nearly; what it may repeat is there `more` times above the least."""
    found = []
    for sign, value in tree:
        make = _MAKERS.get(sign)
        found.append(make(value, chance, more) if make else "")
    return "".join(found)


def _of_set(value, chance: Random, more: int) -> str:
    if value[0][0] is signs.NEGATE:
        barred = re.compile(f"[{''.join(_class(one) for one in value[1:])}]")
        return next((sign for sign in "a 1.-x\t%" if not barred.match(sign)), "é")
    sign, what = chance.choice(value)
    if sign is signs.LITERAL:
        return chr(what)
    if sign is signs.RANGE:
        return chr(chance.choice(what))
    return _CATEGORIES.get(what, "a")


def _class(one) -> str:
    sign, what = one
    if sign is signs.LITERAL:
        return re.escape(chr(what))
    if sign is signs.RANGE:
        return f"{re.escape(chr(what[0]))}-{re.escape(chr(what[1]))}"
    return {"DIGIT": r"\d", "NOT_DIGIT": r"\D", "SPACE": r"\s", "NOT_SPACE": r"\S", "WORD": r"\w", "NOT_WORD": r"\W"}[
        str(what).removeprefix("CATEGORY_")
    ]


def _of_repeat(value, chance: Random, more: int) -> str:
    least, most, body = value
    times = min(least + more, most)
    return "".join(_sample(body, chance, more) for _ in range(min(times, 20)))


_CATEGORIES = {
    signs.CATEGORY_DIGIT: "1", signs.CATEGORY_NOT_DIGIT: "a", signs.CATEGORY_SPACE: " ", signs.CATEGORY_NOT_SPACE: "a",
    signs.CATEGORY_WORD: "a", signs.CATEGORY_NOT_WORD: " ",
}  # fmt: skip
_MAKERS: dict[object, Callable[[object, Random, int], str]] = {
    signs.LITERAL: lambda value, chance, more: chr(value),
    signs.NOT_LITERAL: lambda value, chance, more: "a" if value != ord("a") else "b",
    signs.ANY: lambda value, chance, more: "a",
    signs.IN: _of_set,
    signs.BRANCH: lambda value, chance, more: _sample(chance.choice(value[1]), chance, more),
    signs.SUBPATTERN: lambda value, chance, more: _sample(value[3], chance, more),
    signs.ATOMIC_GROUP: lambda value, chance, more: _sample(value, chance, more),
    signs.MAX_REPEAT: _of_repeat,
    signs.MIN_REPEAT: _of_repeat,
    signs.POSSESSIVE_REPEAT: _of_repeat,
}
