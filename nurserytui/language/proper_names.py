"""Cohorts called by a name of their own (`Olive`, `Dot`): where such a word is the label, and which label a mistyped one was meant for."""

from __future__ import annotations

from nurserytui.language import figure_labels, slips
from nurserytui.language.letters import AFTER_MANY
from nurserytui.language.normalise import said
from nurserytui.language.ordinary import (
    COHORT_WORDS,
    EVENT_WORDS,
    HEADS,
    NAME_HEADS,
    ORDINARY,
    STAGES,
    SURE_EVENT_WORDS,
    ordinary,
)
from nurserytui.language.reading import Reading

OF_ONE = frozenset("is was has looks seems came and both".split())
"""Words behind a name at the beginning of a line."""
LONG = 5
"""Letters from which a name is known with a slip in it."""


def suits(line: Reading, first: int, last: int, words: list[str], cued: bool) -> bool:
    """A label that is also an ordinary word or a name needs a cue: `cohort`, or an event right after it."""
    if len(words) == 1 and words[0].isdecimal():
        return figure_labels.cohort_meant(line, first, cued)
    if cued or any(character.isdigit() for word in words for character in word):
        return True
    phrase = " ".join(words)
    if (
        phrase in ORDINARY
        or phrase in STAGES
        or line.vocabulary.names.find([line.keys[place] for place in range(first, last + 1)])
    ):
        counted = line.word(first - 1) in ("many", "are", "is", "about") and (
            last + 1 == len(line) or line.word(last + 1) in (*AFTER_MANY, "r")
        )
        told = counted or line.word(last + 1) in SURE_EVENT_WORDS or line.word(first - 1) in COHORT_WORDS
        return told or meant(line, first, last)
    return True


def meant(line: Reading, first: int, last: int) -> bool:
    """Whether a word that is ordinary too is typed as the name of a cohort is: with its capital, inside a sentence or in front of what one is."""
    raw = said(line.text, line.tokens, first, last)
    label = line.vocabulary.cohort(line.words[first : last + 1]) or ""
    if raw.removesuffix("'s") != label or label == label.casefold() or line.text.isupper():
        return False
    inside = first > 0 and first - 1 not in line.clauses
    return inside or raw != label or line.word(last + 1) in OF_ONE


def near(line: Reading, at: int) -> str:
    """The only cohort of letters alone whose label is one slip away from a word that is nothing else; "" for none."""
    word = line.word(at)
    known = ordinary(word) or any(
        word in words for words in (STAGES, EVENT_WORDS, HEADS, NAME_HEADS, line.vocabulary.names.words)
    )
    if len(word) < LONG or not word.isalpha() or known or line.vocabulary.names.find((line.keys[at],)):
        return ""
    found = {
        label
        for folded, label in line.vocabulary.cohorts.items()
        if folded.isalpha() and len(folded) >= LONG and folded[0] == word[0] and slips.within(folded, word)
    }
    return found.pop() if len(found) == 1 else ""
