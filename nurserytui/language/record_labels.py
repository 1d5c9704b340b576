"""The labels by which a clause calls its animals, as the keeper typed them."""

from __future__ import annotations

import re

from nurserytui.language.clause import STAGES, Item, word_at
from nurserytui.language.line import Line

LABEL_WORDS = frozenset("cohort group batch label".split())
CALLING = frozenset(
    "start begin lable call called calling name named naming label labelled labeled dub dubbed tag tagged code".split()
)
NOT_LABELS = frozenset(
    """
    the a an of is are in on at them it this these that those one to and with from for all cohort group batch as my new only
    now their its own eggs egg larvae larva pupae pupa so together last please
    """.split()
)
GIVEN_AS = frozenset(("as", "called", "named", "into", "to"))
"""Words of which the label behind is the one given, where a cohort was told before (`5 of cohort B as B-2`)."""
NEWLY = frozenset(("a", "new", "start", "started", "make", "made"))
"""Words right before a cohort that is split off only now."""
SPLITTING = frozenset("split splits splitting divided separated".split())
ANIMALS = STAGES | {"SPECIES"}
PASSED = (
    (CALLING, frozenset("them em it this these those him her the cohort group batch lot as new ones one is".split())),
    (LABEL_WORDS, frozenset("called named number no is of their its own".split())),
    (("as",), frozenset("cohort group batch a new the".split())),
)
"""Words behind which a label stands, each with the words that may stand between."""
LABELLING = ("", "cohort", "mark", "number", "species", "plant", "amount", "instar", "ordinal")
"""Kinds of items that can be a label behind a word for calling or for a cohort."""


def raw_label(line: Line, item: Item) -> str:
    """The label as typed, from the item to the next blank, without the punctuation around it."""
    start = item.start
    while start > 0 and not line.text[start - 1].isspace() and line.text[start - 1] not in "\"'“‘(:,;":
        start -= 1
    end = item.end
    while end < len(line.text) and not line.text[end].isspace():
        end += 1
    label = line.text[start:end].strip(".,;:!?)(\"'“”‘’")
    return label if len(label) <= 40 else ""


def label_in(items, line: Line, known: bool = False) -> tuple[str, frozenset[int]]:
    """The label that a clause gives to animals (`call them H`, `cohort vine-27`, `as group N`), and the places it stands at. Where the animals
    are those of a `known` cohort (`moved cohort B to the tent`) only a label behind a word that gives one is new."""
    for at, item in enumerate(items):
        if item.kind == "cohort" and item.raw.casefold().split()[0] in LABEL_WORDS and not _given_behind(items, at):
            before = word_at(items, at - 1)
            if not known or before in GIVEN_AS | NEWLY or (before == "off" and word_at(items, at - 2) in SPLITTING):
                return item.span.value, frozenset((at,))
        if item.kind == "mark" and item.raw.casefold().split()[0] in LABEL_WORDS:
            return item.raw.split()[-1], frozenset((at,))
        passed = next((between for before, between in PASSED if item.word in before), None)
        if (
            item.span
            or passed is None
            or (item.word in LABEL_WORDS - CALLING and word_at(items, at - 1) in ("one", "same", "a") and item.stop)
        ):
            continue
        place = next((place for place in range(at + 1, len(items)) if items[place].word not in passed), None)
        if place is None:
            continue
        if items[place].word == "NUMBER" and (word_at(items, place - 1) == "of" or word_at(items, place + 1) in ANIMALS):
            continue  # `a batch of 40 peacock eggs`, `new batch: 40 peacock eggs`
        target = items[place]
        label = target.span.value if target.kind == "cohort" else raw_label(line, target)
        if not label or target.word in NOT_LABELS or target.kind in ("period", "enclosure", "agent"):
            continue
        if item.word == "as":
            given = target.kind in ("cohort", "mark") or looks_like_label(label)
        else:
            given = target.kind in LABELLING or target.word in STAGES
        if given:
            return label, frozenset(range(at, place + 1))
    return "", frozenset()


def alone(items, line: Line) -> str:
    """The label that a piece is that holds nothing else; "" for any other piece."""
    label = raw_label(line, items[0]) if len(items) == 1 and items[0].kind in ("", "cohort") else ""
    return label if looks_like_label(label) else ""


def _given_behind(items, at: int) -> bool:
    """Whether the label that is given comes after the cohort at a place."""
    return any(
        one.word in GIVEN_AS
        and next((other.kind for other in items[place + 1 :] if other.word not in NOT_LABELS), "") == "cohort"
        for place, one in enumerate(items)
        if place > at
    )


GOALS = frozenset("to into -> become becomes became are is".split())
"""Words behind which the label of a new cohort stands."""


def goal_in(items, line: Line) -> tuple[str, frozenset[int]]:
    """The label that what is split off goes to (`5 of K -> K2`, `6 pupae become vine-27`), and its place; places and bare numbers are none."""
    for at, item in enumerate(items[1:], 1):
        if items[at - 1].word in GOALS and item.kind not in ("enclosure", "number", "range"):
            label = item.span.value if item.kind == "cohort" else raw_label(line, item)
            if label and (item.kind == "cohort" or looks_like_label(label)):
                return label, frozenset((at,))
    return "", frozenset()


def looks_like_label(raw: str) -> bool:
    """`Q`, `zulu-9`, `b12`: a single capital, or letters with a number."""
    return (
        bool(re.fullmatch(r"[A-Z]|[A-Za-z]+[-_]?\d+[a-z]?|[A-Za-z]+-[A-Za-z0-9-]+", raw))
        and raw not in ("I", "A", "b4")
        and not re.fullmatch(r"(?i)[lj]\d?|pop-up|\w+-\w+ed|re-\w+|x\d+|\d+x", raw)
    )


def unknown_label(items, line: Line) -> str:
    """A word that stands for a cohort and is none of the records'."""
    for at, item in enumerate(items):
        if item.span or not item.raw or item.word == "before":  # `b4 breakfast`
            continue
        raw = raw_label(line, item)
        if looks_like_label(raw) and re.search(r"\d", raw) and not word_at(items, at - 1) == "at":
            return raw
        if len(raw) == 1 and raw.isupper() and raw not in "AICFJ":
            return raw
        if word_at(items, at - 1) in LABEL_WORDS and item.word not in NOT_LABELS and item.word not in ("now", "hatched"):
            return raw
    return ""
