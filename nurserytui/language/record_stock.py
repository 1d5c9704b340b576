"""Plants on hand as a line tells of them: so much is there, cut on some day, or nothing is left."""

from __future__ import annotations

import re
from datetime import datetime

from nurserytui.language.clause import STAGES, Item, word_at
from nurserytui.language.draft import Draft
from nurserytui.language.record_days import when_of
from nurserytui.language.record_words import UNITS

HAVING = frozenset(
    "have got left stock stocked bought remaining remain ive weve growing hand only down theres available potted own".split()
)
"""Words that say that a plant is on hand."""
_LEAD = r"(?:(?:we|i|weve|we've|ive|i've|have|has|had|are|am|im|i'm|were|we're|just|now|all|totally|completely|oh|sadly|and|the last of|PERIOD) )*"
_OF = r"(?:(?:the|my|our|all|last|of|rest|remaining|whole|lot|cut|potted) )*"
_PIECE = "|".join(sorted(UNITS, key=len, reverse=True))
_TAIL = r"(?: (?:left|now|today|already|too|here|though|at all|on hand|in stock|anymore|any more|PERIOD))*"
_NONE_LEFT = (
    rf"{_LEAD}(?:used up|used|finished|finished off|finished up|out of|run out of|ran out of|fed|fed out) {_OF}PLANT(?: (?:{_PIECE}))?{_TAIL}",
    rf"(?:(?:theres|there's|there is|weve|we|i|ive|have|got|has|now) )*(?:no|no more|zero) (?:(?:cut|potted|fresh|more) )*PLANT(?: (?:{_PIECE}))? "
    r"(?:left|on hand|in stock|remaining|anymore|any more)(?: (?:now|today|at all|PERIOD))*",
    rf"{_OF}PLANT(?: (?:{_PIECE}))?(?: (?:is|are|has|have|was|were|been|all|now))* "
    rf"(?:gone|finished|used up|used|eaten up|run out|ran out|all eaten|stripped bare|stripped){_TAIL}",
)
NONE_LEFT = tuple(re.compile(pattern) for pattern in _NONE_LEFT)
LAST_OF_IT = re.compile(r"\b(?:the last|all|rest|used|finished|out of|whole lot)\b")
"""What must stand in a line whose only verb is `fed`: giving some of a plant leaves the rest."""


def told(items: list[Item], now: datetime) -> tuple[Draft, ...]:
    """What a line that is only about plants on hand tells: () where it tells of anything else besides, or of no plant."""
    words = [item.word for item in items]
    whose = _for_whom(items)
    if "PLANT" not in words or {"SPECIES", "ENCLOSURE", "INSTAR"} & set(words) or STAGES & set(words):
        return ()
    if "COHORT" in words and not (whose and "cut" in words):
        return ()
    text = " ".join("PERIOD" if item.kind == "period" else item.raw.casefold() if not item.span else item.word for item in items)
    if words.count("PLANT") == 1 and any(pattern.fullmatch(text) for pattern in NONE_LEFT):
        if re.search(r"\bfed\b", text) and not LAST_OF_IT.search(text):
            return ()
        host = next(item.span.value for item in items if item.word == "PLANT")
        return () if whose else (Draft("stocked", host=host, count=0, when=when_of(items, now)),)
    if (total := _of_a_list(items)) is not None:
        host = next(item.span.value for item in items if item.word == "PLANT")
        return (Draft("stocked", host=host, count=total[0], detail=total[1], when=when_of(items, now)),)
    entries = [_of_a_list(piece) or next(((count, unit) for count, unit, _ in amounts(piece)), None) for piece in _pieces(items)]
    only = set(words) - set(UNITS) <= BESIDE_A_TOTAL | HAVING | {"AMOUNT", "and"}
    if len(entries) > 1 and all(entries) and words.count("PLANT") == len(entries) and only:
        hosts = [item.span.value for item in items if item.word == "PLANT"]
        when = when_of(items, now)
        return tuple(Draft("stocked", host=host, count=n, detail=unit, when=when) for host, (n, unit) in zip(hosts, entries))
    lots = amounts(items)
    if not lots or not HAVING & set(words) or "cut" in words[:1]:
        return ()
    cut = words.index("cut") if "cut" in words else -1
    if len(lots) == 1 and cut < 0:
        return ()  # a plain one is read with the other clauses of its line
    since = when_of(items[cut:], now) if cut >= 0 else None
    when = when_of(items[:cut] if cut >= 0 else items, now)
    found = [Draft("stocked", cohort=whose, host=host, count=count, detail=unit, when=when) for count, unit, host in lots]
    if since is not None and since.end.date() < now.date():
        found += [draft._replace(what="cut", when=since) for draft in found if draft.detail != "pots"]
    return tuple(found)


BESIDE_A_TOTAL = frozenset("on hand in stock left now we i have of the my our PLANT PERIOD NUMBER remaining total".split())


def _pieces(items: list[Item]) -> list[list[Item]]:
    """The items between the stops of a list."""
    pieces: list[list[Item]] = [[]]
    for item in items:
        pieces[-1].append(item)
        if item.stop:
            pieces.append([])
    return [piece for piece in pieces if piece]


def _of_a_list(items: list[Item]) -> tuple[int, str] | None:
    """(3, "pots") of `kale pots: 3`, an entry of a list with its number at the end; None for anything else."""
    words = ["PERIOD" if item.kind == "period" else item.word for item in items]
    units = [word for word in words if word in UNITS]
    numbers = [item.span.value for item in items if item.word == "NUMBER" and item.kind == "number"]
    if (
        len(units) != 1
        or len(numbers) != 1
        or words.count("PLANT") != 1
        or not BESIDE_A_TOTAL.issuperset(set(words) - set(units))
    ):
        return None
    whole = isinstance(numbers[0], int) and words.index("PLANT") < words.index(units[0]) < words.index("NUMBER")
    return (numbers[0], UNITS[units[0]]) if whole else None


def amounts(items: list[Item]) -> list[tuple[int, str, object]]:
    """(count, unit, plant) of every amount with a plant: the one that follows it, else the one before it. A number without a unit right
    before a plant has that of the amount before it (`12 stems of fennel and 8 of dill`)."""
    marks: list[tuple[int, int, str]] = []
    for at in range(len(items)):
        count, unit, _ = amount_of_plant(items[at : at + 4]) if _starts(items, at) else (None, "", frozenset())
        if count is None and marks and _bare(items, at):
            count, unit = int(items[at].span.value), marks[-1][2]
        if count is not None:
            marks.append((at, count, unit))
    found = []
    for place, (at, count, unit) in enumerate(marks):
        end = marks[place + 1][0] if place + 1 < len(marks) else len(items)
        start = marks[place - 1][0] + 1 if place else 0
        host = next((item.span.value for item in items[at:end] if item.word == "PLANT"), None)
        host = host or next((item.span.value for item in reversed(items[start:at]) if item.word == "PLANT"), None)
        if host is not None:
            found.append((count, unit, host))
    return found


def _bare(items: list[Item], at: int) -> bool:
    """Whether a whole number stands right before a plant, or before `of` and a plant."""
    behind = at + 2 if word_at(items, at + 1) == "of" else at + 1
    return items[at].word == "NUMBER" and items[at].span.value == int(items[at].span.value) and word_at(items, behind) == "PLANT"


def _for_whom(items) -> str:
    """The one cohort that a plant is said to be for (`6 stems of fennel for A`); "" where none is."""
    named = [at for at, item in enumerate(items) if item.word == "COHORT"]
    if len(named) != 1 or not named[0] or items[named[0] - 1].raw.casefold() != "for":
        return ""
    return items[named[0]].span.value


def _starts(items: list[Item], at: int) -> bool:
    return items[at].word == "NUMBER" or (items[at].word == "AMOUNT" and items[at].span.value.kind == "mass")


def stock(items, whole: bool, now: datetime) -> Draft | None:
    """`I have 6 pots of kale in`: plants on hand. `whole` is True where the line also says that this is all there is."""
    plant = next((item.span.value for item in items if item.word == "PLANT"), None)
    count, unit, _ = amount_of_plant(items)
    words = {item.word for item in items}
    whose = _for_whom(items) if whole else ""
    if plant is None or count is None or not (whole or words & HAVING) or "SPECIES" in words or ("COHORT" in words and not whose):
        return None
    return Draft("stocked", cohort=whose, host=plant, count=count, detail=unit, when=when_of(items, now))


def amount_of_plant(items) -> tuple[int | None, str, frozenset[int]]:
    """(6, "pots", places) of `6 pots of kale`."""
    for at, item in enumerate(items):
        if item.word == "NUMBER":
            for after in (at + 1, at + 2, at + 3):
                if word_at(items, after) in UNITS and item.span.value == int(item.span.value):
                    return int(item.span.value), UNITS[word_at(items, after)], frozenset((at, after))
        if item.word == "AMOUNT" and item.span.value.kind == "mass":
            grams = item.span.value.value * {
                "kilogram": 1000.0,
                "gram": 1.0,
                "milligram": 0.001,
                "ounce": 28.349523125,
                "pound": 453.59237,
            }.get(item.span.value.unit, 1.0)
            return round(grams), "g", frozenset((at,))
    return None, "", frozenset()
