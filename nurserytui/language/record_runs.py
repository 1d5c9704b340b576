"""Sentences that run on without a stop or a joining word (`C3 emerged C5 pupated tub 1 fed`), parted where the next one begins."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.language.clause import PREPOSITIONS, STAGES, Item
from nurserytui.language.record_verbs import Among, match
from nurserytui.language.record_words import WEAK

SUBJECTS = STAGES | {"NUMBER", "COHORT", "ENCLOSURE", "SPECIES", "INSTAR"}
"""What a sentence may begin with that tells of animals or of their place."""
LABELS = frozenset(["NUMBER", "COHORT", "ENCLOSURE"])
OBJECTS = SUBJECTS | {"PLANT"}
BACK = frozenset("it them him her".split())
BETWEEN = frozenset("of the has have is are was were just all both now got been finally also".split())
"""Small words between a subject and what it did."""
GOING_ON = frozenset("still more others not".split())
"""Words behind a number that begins a sentence of others."""
LEADING = PREPOSITIONS | frozenset(
    "NUMBER i we when while because since after before the a an my our as and or is are was were has have all both only about around than like no not".split()
)
"""Words that belong to what stands behind them: no sentence ends with one."""
BY_KEEPER = frozenset(
    "cleaned fed watered cut tested checked counted moved released given found died stocked merged split".split()
)
"""Events that a keeper tells of with the verb in front (`fed B`, `lost 2 B`)."""
LOOKS = frozenset("dud duds dead infertile drowned squashed crushed".split())
"""Words of deaths that stand in front of the animals as what they look like (`binned 4 dud eggs`)."""
ARTICLES = frozenset("the my our those these a an".split())
DESCRIBING = 3
"""So many words may describe animals between their number or article and their noun."""
IDLE = frozenset("all no nothing everything everyone".split())
"""First words of `all good now`, said at the end of what was done."""


class Hit(NamedTuple):
    """A phrase of an event in a piece of a line, by the places of its first and last word."""

    what: str
    first: int
    last: int


def parted(piece: list[Item]) -> list[list[Item]]:
    """The sentences of a piece of a line between two stops."""
    among = Among(piece)
    hits = [
        Hit(what, at, found[0])
        for at, item in enumerate(piece)
        for what, parts in among.beginning(item.word)
        if what not in WEAK and (found := match(piece, at, parts))
    ]
    if not hits:
        return [piece]  # where nothing happens no sentence ends
    moves = [hit.first for hit in hits if hit.what == "moved"]
    hits = [
        hit for hit in hits if piece[hit.first].word != "back" or not moves or min(moves) >= hit.first
    ]  # `shifted 2 B back to jar 1`
    firsts = {hit.first: hit for hit in hits if piece[hit.first].word not in ("out", "from")}
    begun = 0
    found: list[list[Item]] = []
    for at in range(1, len(piece)):
        if _begins(piece, at, hits, firsts) and _ends(piece, begun, at, hits):
            found.append(piece[begun:at])
            begun = at
    return [*found, piece[begun:]]


def _ends(piece: list[Item], begun: int, at: int, hits: list[Hit]) -> bool:
    """Whether what stands from `begun` up to `at` tells an event and of whom, and leads to nothing behind it."""
    inside = [hit for hit in hits if begun <= hit.first and hit.last < at]
    out = piece[at - 1].word in ("out", "off") and any(hit.last == at - 1 for hit in inside)
    if (piece[at - 1].word in LEADING and not out) or any(begun <= hit.first < at <= hit.last for hit in hits):
        return False
    named = [place for place in range(begun, at) if piece[place].word in OBJECTS]
    if not inside or not named:
        return False
    if any(hit.last == at - 1 for hit in inside):
        # a verb just in front of the names may be theirs (`in crate 1 found C5`): then somebody must stand in front of it
        first = min(hit.first for hit in inside)
        return any(place < first and (place == begun or piece[place - 1].word not in PREPOSITIONS) for place in named)
    return True


def _begins(piece: list[Item], at: int, hits: list[Hit], firsts: dict[int, Hit]) -> bool:
    """Whether a sentence may begin there: somebody and what they did, what the keeper did and to whom, a reading, or `all good`."""
    if piece[at].word == "NUMBER" and at + 1 < len(piece) and piece[at + 1].word in GOING_ON:
        return True  # `3 hung up 2 still eating`
    if piece[at].word in SUBJECTS:
        adjective = not piece[at - 1].span and piece[at - 1].word.endswith("est")
        if (piece[at].word not in LABELS or piece[at].word == "COHORT" and adjective) and _described(piece, at, hits):
            return False  # `3 instar 2 larvae`, `B eggs`, `the two largest monarchs`
        after = at + 1
        while after < len(piece) and (piece[after].word in SUBJECTS or piece[after].word in BETWEEN) and after not in firsts:
            after += 1
        return after in firsts or (piece[at].word == "ENCLOSURE" and _is_reading(piece, at + 1))
    if _is_reading(piece, at) and [item.word for item in piece[at + 1 : at + 4] if item.word != "the"][:2] in (
        ["in", "ENCLOSURE"],
        ["at", "ENCLOSURE"],
    ):
        return True
    hit = firsts.get(at + 1 if piece[at].word in ("i", "we") else at)
    if hit is None or piece[at].span:
        return False
    if hit.what == "checked" and piece[at].word in IDLE:
        return True
    behind = piece[hit.last + 1].word if hit.last + 1 < len(piece) else ""
    if behind in ("the", "my", "all") and hit.last + 2 < len(piece):
        behind = piece[hit.last + 2].word
    then = hit.what in ("released", "given", "moved") and behind == "PERIOD"  # `K out 06:30 released 09:00`
    return hit.what in BY_KEEPER and piece[at].word not in LOOKS and (then or behind in OBJECTS | BACK)


def _described(piece: list[Item], at: int, hits: list[Hit]) -> bool:
    """Whether what stands in front of the animals belongs to them: others that it counts or names, or words behind a number or an article."""
    if piece[at - 1].word in SUBJECTS:
        return True
    first = at - 1
    while first > 0 and at - first <= DESCRIBING and not piece[first].span and piece[first].word not in ARTICLES | LEADING:
        first -= 1
    told = any(hit.first < at and first < hit.last for hit in hits)
    return not told and piece[first].word in ARTICLES | {"NUMBER"} and not piece[at - 1].stop


def _is_reading(piece: list[Item], at: int) -> bool:
    return at < len(piece) and piece[at].kind == "amount" and piece[at].span.value.kind == "temperature"
