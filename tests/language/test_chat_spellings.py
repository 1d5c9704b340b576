"""Words as thumbs write them, and a clause that asks amid others."""

from __future__ import annotations

import pytest

from nurserytui.language.chat_spellings import spelt
from nurserytui.language.normalise import tokenise


class Labels:
    """A vocabulary with the labels of one keeper."""

    def __init__(self, cohorts=(), marks=None):
        self.letters = {label: label for label in cohorts}
        self.marks = marks or {}

    def cohort(self, words):
        return None

    def enclosure(self, words):
        return "Morn" if list(words) == ["morn"] else None


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        ("jobs b4 lunch", "jobs before lunch"),
        ("what hatches 2day", "what hatches today"),
        ("2day old eggs", "2 day old eggs"),
        ("anything 2nite or tmrw", "anything tonight or tomorrow"),
        ("when'd they hatch", "when did they hatch"),
        ("what'd you do", "what'd you do"),
        ("eggs n larvae", "eggs and larvae"),
        ("40 n", "40 n"),
        ("in morn", "in morn"),
        ("gave 3 2 my friend", "gave 3 to my friend"),
        ("put 2 the left in", "put 2 the left in"),
        ("the count 4 the tent", "the count for the tent"),
        ("fed 4 the first time", "fed 4 the first time"),
        ("died in twenty twenty four", "died in 2024"),
        ("5 pre pupae", "5 prepupae"),
        ("hatched, n=7", "hatched 7"),
        ("larvae ct rn", "larvae count now"),
        ("hx of the tent ytd", "history of the tent this year"),
        ("bin after how many d", "bin after how many days"),
        ("for how many d at rm temp", "for how many days at room temp"),
        ("how many rm and d", "how many rm and d"),
    ],
)
def test_spellings_of_thumbs(typed, plain):
    assert " ".join(token.text for token in spelt(tokenise(typed), Labels())) == plain


@pytest.mark.parametrize(("typed", "plain"), [("b4 died", "b4 died"), ("jobs b4 noon", "jobs before noon")])
def test_an_animal_of_that_label_is_one(typed, plain):
    kept = Labels(("B",), {"B": {"4"}})
    assert " ".join(token.text for token in spelt(tokenise(typed), kept)) == plain
