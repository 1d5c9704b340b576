"""What a clause tells only as planned, nearly done, thought of or possible: nothing of it is written."""

from __future__ import annotations

import re

from nurserytui.language.clause import STAGES, Clause, Item
from nurserytui.language.record_words import ALL_WORDS, FUTURE, FUTURE_PAIRS, NEARLY, NEGATIONS, PERHAPS, UNREAL

ANCHORS = frozenset(["COHORT", "SPECIES", "ENCLOSURE", "PLANT", "INSTAR"]) | STAGES


NOT_DENYING = frozenset("idea clue sure doubt longer find see locate spot trace".split())
"""Words behind a denial that deny nothing of what was told (`2 gone walkabout, cannot find them`)."""


def negated(clause: Clause) -> bool:
    """True if the clause says that its verb did not happen; a `not` inside the phrase itself does not count."""
    verb = clause.verb
    if verb is None:
        return False
    for at, item in enumerate(clause.items):
        if item.word in NEGATIONS and not item.span and at not in verb.taken:
            following = clause.items[at + 1].word if at + 1 < len(clause.items) else ""
            if following in NOT_DENYING or (item.word == "no" and item.stop):
                continue
            if item.word == "not" and following == "NUMBER" and any(one.word == "NUMBER" for one in clause.items[:at]):
                continue  # `2 not 3 died`
            if following == "more" and not _no_others(clause.words()[at:], verb.first - at):
                continue
            if at < verb.first or at <= verb.last + 1:
                return True
    return False


def _no_others(words: list[str], verb: int) -> bool:
    """Whether `no more …` in front of a verb denies that it happened to others, too (`no more hatched`, not `no more than 3 hatched`)."""
    return verb > 0 and words[2] != "than" and "all" not in words[:verb]


CHANGES = frozenset("hatched moulted prepupated pupated emerged died escaped missing checked found sign counted".split())
"""Events of which a denial tells something, too."""
OWN = frozenset(("COHORT", "SPECIES", "ENCLOSURE", "NUMBER")) | STAGES
"""What a clause is about that stands by itself."""


NAMINGS = frozenset(("identified", "renamed"))
"""Events that are told by what something is not, too (`B is an anise swallowtail, not a black one`)."""


LABELS = frozenset(("renamed", "merged"))
"""What is done by being written down."""
WISHES = frozenset("want would let's lets should shall must need".split())
"""Words by which a keeper asks for what is done by being written down (`I want to rename B to hazel-b`)."""


SOON = frozenset("soon shortly imminently".split())
"""Behind a verb these tell of what is still to come (`hatching soon`)."""


def planned(clauses: list[Clause]) -> bool:
    """True if a clause tells of what shall be done, or of what was not done: nothing of such a line is written."""
    return any(map(_is_unreal, clauses)) or _imagined(clauses)


def real(clauses: list[Clause]) -> list[Clause]:
    """The clauses of a line that tell of what happened. What is planned, feared or was nearly done behind something told (`2 B emerged,
    will release them tomorrow`) takes nothing from it; in front of everything else it makes the whole line one of plans."""
    unreal = next((at for at, clause in enumerate(clauses) if _is_unreal(clause)), None)
    if _imagined(clauses):
        return []
    if unreal is None:
        return clauses
    ahead = clauses[:unreal]
    told = any(clause.verb and not OWN.isdisjoint(clause.words()) for clause in ahead)
    if not told or not OPENING.isdisjoint(clauses[unreal].words()[:2]):
        return []
    return [*ahead, *(clause for clause in clauses[unreal + 1 :] if _stands_alone(clause) and not _is_unreal(clause))]


OPENING = frozenset("if unless provided suppose supposing in".split())
"""First words of a condition, which holds for what stands in front of it as well."""


def _stands_alone(clause: Clause) -> bool:
    return clause.verb is not None and not {"COHORT", "ENCLOSURE", "SPECIES"}.isdisjoint(clause.words())


def _is_unreal(clause: Clause) -> bool:
    verb = clause.verb
    if verb is None:
        return False
    ahead = [
        item.raw.casefold() if item.raw.casefold() in FUTURE else item.word
        for item in clause.items[: verb.first + 1]
        if not item.span or item.word == "NUMBER" or item.raw.casefold() in FUTURE
    ]
    wished = WISHES if verb.what in LABELS else frozenset()
    if (FUTURE - wished) & set(ahead[:-1]) and not ("must" in ahead and "have" in ahead):
        return True
    if any((one, two) in FUTURE_PAIRS for one, two in zip(ahead, ahead[1:])) and not (
        verb.what == "prepupated" and "ready" in ahead
    ):
        return True
    if verb.last + 1 < len(clause.items) and clause.items[verb.last + 1].word in SOON:
        return True
    if any(word in NEARLY and ahead[at + 1 : at + 2] != ["NUMBER"] for at, word in enumerate(ahead[:-1])):
        return True
    return verb.what not in CHANGES | NAMINGS and negated(clause) and not unmoving(clause)


def unmoving(clause: Clause) -> bool:
    """Whether animals are told not to move by themselves (`B4 has not moved since Friday`), which is a sign of theirs."""
    words = clause.words()
    if clause.verb is None or clause.verb.what != "moved" or not {"move", "moved"} & set(words):
        return False
    ahead, behind = words[: clause.verb.first], words[clause.verb.first :]
    alone = {"ENCLOSURE", "COHORT", "SPECIES", "to", "into", *STAGES}.isdisjoint(behind)
    return "COHORT" in ahead and alone and {"was", "were", "been", "i", "we"}.isdisjoint(ahead) and negated(clause)


def _imagined(clauses: list[Clause]) -> bool:
    """Whether a line tells of a dream or gives an example."""
    words = " ".join(item.word for clause in clauses for item in clause.items if not item.span)
    if UNREAL & set(OWN_BOOK.sub("", words).split()):
        return True
    first = clauses[0].items if clauses else ()
    if len(first) == 1 and first[0].word in ("example", "test", "demo"):
        return True
    return len(first) > 1 and first[0].word == "say" and first[1].word in ANCHORS | ALL_WORDS | {"NUMBER", "the", "my", "that"}


OWN_BOOK = re.compile(r"\bwith (?:the|my|our) books?\b")
"""The keeper's own records (`11, which agrees with the book`)."""


def intended(items: list[Item]) -> bool:
    """True where a line without a phrase of an event holds any word of what is to come or only thought of."""
    words = [item.raw.casefold().replace("'", "") for item in items if not item.span]
    pairs = any(pair in FUTURE_PAIRS for pair in zip(words, words[1:]))
    return pairs or not (FUTURE - {"must", "should"} | NEARLY | UNREAL).isdisjoint(words)


def doubted(clauses: list[Clause]) -> bool:
    """True where a clause tells of its verb as no more than possible (`maybe 3 of B pupated`); a number that is only guessed is an
    estimate of the animals that come in."""
    for clause in clauses:
        verb = clause.verb
        if verb and verb.what not in ("laid", "found") and any(item.word in PERHAPS for item in clause.items[: verb.first]):
            return True
    return False
