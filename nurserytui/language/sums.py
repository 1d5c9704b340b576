"""A line as a sum: figures and signs, or words (`14 caterpillars times 4 leaves each`, `45 shared between 6 crates`)."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.amounts.factors import convert, kind
from nurserytui.language import numbers, units

_FIGURES = re.compile(
    r"^\s*(what('s| is| are)|how much is|calculate|work out|sum|and)?\s*([-\d\s.+*/()x×÷]+?)\s*(=|equals)?\s*\??\s*$"
)
_OPERATORS = {
    "times": "*", "x": "*", "*": "*", "multiplied": "*", "plus": "+", "+": "+", "add": "+", "minus": "-", "less": "-", "take": "-", "subtract": "-",
    "divided": "/", "over": "/", "/": "/", "split": "/", "shared": "/",
}  # fmt: skip
_FACTORS = {"double": "2", "twice": "2", "treble": "3", "triple": "3"}
_TOGETHER = frozenset("together altogether alltogether total all combined sum plus added".split())
_VESSELS = frozenset("jars bottles tubs buckets bags boxes cartons jugs cups packs pots".split())
_SPLITTING = frozenset("divided multiplied split shared take".split())
_JOINS = ("by", "with", "between", "among", "amongst", "away", "into")
_PERCENT = frozenset("percent percentage %".split())
_EACH = frozenset("each apiece".split())
_NOT_NOUNS = frozenset(_OPERATORS) | frozenset(
    "each apiece is are in on of what at by and for with to a per between among added up".split()
)
_SLIPS = {"evry": "every", "ech": "each", "eech": "each", "betwen": "between", "devided": "divided", "tiems": "times"}
_MEASURED = ("volume", "length", "mass", "area", "time")
_SHARE = re.compile(
    r"\bhow many (?:\w+ ){0,3}(?:each|apiece|per)\b|\b(?:each|per (?:tub|crate|cage|box|pot|jar|tray|sleeve)) (?:gets?|holds?)\b"
)
"""Asks how many of the whole each part gets."""
_NONE = units.Unit("", "")


class Sum(NamedTuple):
    """A line as a sum: `written` for the evaluator, in `unit` if its amounts have one; `noun` is what its last number counts."""

    written: str
    unit: str = ""
    noun: str = ""


def same_kind(unit: str, target: str) -> bool:
    """Whether two units measure the same; False for a name that is no unit."""
    try:
        return kind(unit) == kind(target)
    except ValueError:
        return False


def in_figures(text: str) -> Sum | None:
    """`what is (3 + 2) * 4`: figures and signs only, with at least one sign between numbers."""
    match = _FIGURES.match(text.casefold())
    if not match or not re.search(r"\d\s*[-+*/x×÷(]+\s*[\d(]", match[3]):
        return None
    return Sum(match[3].replace("x", "*").replace("×", "*").replace("÷", "/").strip())


_RATION = re.compile(
    r"\b(\d+) [a-z]+ (?:at |with |and )?(\d+) (?:per|to a|to each|to every|in each|in a|for each|a) ([a-z]{3,}?)s?\b.*\bhow many (\3\w*)"
)
"""So many of a thing, so many to each of another: `18 larvae, 3 per tub, how many tubs`."""


def in_words(words: list[str]) -> Sum | None:
    """`2 litres plus 500 ml`, `3 jars of 750 ml and one of 1.5 l together`, `12 leaves a day for 5 days`, `36 between 4 pots`."""
    words = [_SLIPS.get(word, word) for word in words]
    if ration := _RATION.search(" ".join(words)):
        return Sum(f"{ration[1]} / {ration[2]}", "", ration[4])
    pieces: list[str] = []
    unit, noun, rate, joined = "", "", "", ""
    measured = False
    """Whether the last number has a unit."""
    each = not _EACH.isdisjoint(words)
    together = not _TOGETHER.isdisjoint(words)
    shared = bool(words) and bool({"split", "share", "divide"} & set(words[:3]))
    parted = "" if together else "/" if _SHARE.search(" ".join(words)) else ""
    at = 0
    while at < len(words):
        word, following = words[at], numbers.read(words, at + 1) if at + 1 < len(words) else None
        after_number = bool(pieces) and pieces[-1] not in "+-*/"
        read = numbers.read(words, at)
        time = units.UNITS.get(words[at + 1], _NONE) if at + 1 < len(words) else _NONE
        if after_number and word in _OPERATORS and following:
            pieces.append(_OPERATORS[word])
        elif after_number and words[at : at + 2] == ["out", "of"] and at + 2 < len(words) and numbers.read(words, at + 2):
            pieces.append("/")
            at += 1
        elif after_number and word in _SPLITTING and at + 1 < len(words) and words[at + 1] in _JOINS:
            pieces.append(_OPERATORS[word])
            at += 1
        elif after_number and (shared or (each and word not in ("into", "with"))) and word in _JOINS and following:
            pieces.append("/")
        elif not pieces and word in _FACTORS and following:
            pieces += [_FACTORS[word], "*"]
        elif after_number and word in ("of", "at") and following and (float(pieces[-1]) < 1 or not measured):
            pieces.append("*")
        elif (
            after_number
            and word in ("another", "plus", "and", "+")
            and (word != "and" or together or (measured and unit and kind(unit) in ("volume", "mass")))
        ):
            joined = "+"
        elif after_number and word == "daily":
            rate = "day"
        elif after_number and rate and word == "a" and words[at - 1] == "for" and time.kind == "time":
            pieces += ["*", f"{convert(1, time.name, rate):.10g}"]
            at += 1
        elif after_number and word in ("a", "per", "each", "every") and time.kind == "time":
            rate, at = time.name, at + 1
        elif read:
            at, value = read
            found = units.read(words, at + 1)
            before, measured = measured, bool(found)
            if found and found[1].kind == "percent":
                value, at = value / 100, found[0]
            elif found and (rate or noun) and found[1].kind == "time":
                value, at = convert(value, found[1].name, rate or "day"), found[0]
                joined = joined or ("*" if after_number else "")
            elif found and found[1].kind in _MEASURED:
                if unit and not same_kind(unit, found[1].name):
                    return None
                value = convert(value, found[1].name, unit) if unit else value
                unit, at = unit or found[1].name, found[0]
            elif "/" not in pieces:
                after = words[at + 1] if at + 1 < len(words) else ""
                counted = after.isalpha() and after not in _NOT_NOUNS
                noun = after if counted else "" if after_number and not joined else noun
            if after_number:
                if not joined and measured and at + 1 < len(words) and words[at + 1] in _VESSELS:
                    joined = "*"
                joined = joined or parted or ("+" if together and before and measured else "")
                if not joined and not each:
                    return None
                pieces.append(joined or "*")
            joined = ""
            pieces.append(f"{value:.10f}".rstrip("0").rstrip("."))
        at += 1
    if "/" in pieces and not _PERCENT.isdisjoint(words) and not unit:
        pieces, noun = ["100", "*", *pieces], "%"
    if len(pieces) < 3 or pieces[-1] in "+-*/" or (parted and len(pieces) > 3):
        return None
    return Sum(" ".join(pieces), unit, noun)
