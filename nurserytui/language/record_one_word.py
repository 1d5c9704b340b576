"""Clauses in which a single word tells the event of all that is named (`2 more B out`, `tub 3: 1 gone`, `3 B j-hanging`, `hatchlings: 2`)."""

from __future__ import annotations

import re

from nurserytui.language.clause import STAGES, Item, Verb

BEFORE_OUT = frozenset(
    """
    NUMBER COHORT SPECIES PUPA ADULT ENCLOSURE ORDINAL PERIOD the all both more another now just last remaining of first final one other in
    finally rest
    """.split()
)
BEFORE_GONE = BEFORE_OUT | STAGES | {"have", "has", "is", "are"}
AFTER = frozenset("PERIOD now today overnight already NUMBER male female males females boy girl crippled deformed".split())
THERE = AFTER | frozenset("in on from the lid roof ENCLOSURE".split())
HUNG = re.compile(r"j-?(?:hang|hook|')?(?:ing|ed|d)", re.IGNORECASE)
"""A J that is what they do."""
HATCHLINGS = frozenset(("hatchling", "hatchlings"))
AROUND_HATCHLINGS = frozenset(
    "NUMBER COHORT ENCLOSURE SPECIES PERIOD more new another one of from in the today overnight now".split()
)


def of_one_word(items: tuple[Item, ...] | list[Item]) -> Verb | None:
    """The word of such a clause, as the verb of its event; None where anything else is said."""
    for at, item in enumerate(items):
        if item.word in ("out", "gone") and not item.span:
            return _left(items, at) if at else None
        if at and HUNG.fullmatch(item.raw):
            return _verb("prepupated", at) if _hangs(items, at) else None
        if item.raw.casefold() in HATCHLINGS:
            return _verb("hatched", at) if _new(items, at) else None
    return None


def _verb(what: str, at: int) -> Verb:
    return Verb(what, at, at, frozenset((at,)), 1)


def _left(items, at: int) -> Verb | None:
    ahead, behind = {item.word for item in items[:at]}, {item.word for item in items[at + 1 :]}
    gone = items[at].word == "gone"
    animals = not ahead.isdisjoint(("COHORT", "SPECIES", "PUPA", "ADULT")) or {"NUMBER", "more"} <= ahead or ahead == {"NUMBER"}
    if (
        not (animals or gone and not ahead.isdisjoint(STAGES))
        or not ahead <= (BEFORE_GONE if gone else BEFORE_OUT)
        or not behind <= AFTER
    ):
        return None
    return _verb("missing" if gone else "emerged", at)


def _hangs(items, at: int) -> bool:
    ahead, behind = {item.word for item in items[:at]}, {item.word for item in items[at + 1 :]}
    animals = not ahead.isdisjoint(("COHORT", "SPECIES", "LARVA"))
    animals = animals or {"NUMBER", "ENCLOSURE"} <= ahead | behind or {"NUMBER", "more"} <= ahead
    return animals and ahead <= BEFORE_GONE and behind <= THERE


def _new(items, at: int) -> bool:
    words = {item.word for place, item in enumerate(items) if place != at}
    numbered = "NUMBER" in words or "one" in words
    return numbered and words <= AROUND_HATCHLINGS and (at == 0 or not words.isdisjoint(("COHORT", "ENCLOSURE")))
