"""Everyday words with a slip of the thumb are put right; words that are right, names and labels stay as they are."""

from __future__ import annotations

import measure
import pytest

from nurserytui.language.mistyped import righted
from nurserytui.language.normalise import tokenise
from nurserytui.language.slip_shapes import SWAPPED, meant
from nurserytui.language.vocabulary import Vocabulary


def plain(line: str) -> str:
    return " ".join(token.text for token in righted(tokenise(line), line, Vocabulary.of(measure.place())))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("lots thre pupae yesterdya evenign", "lots three pupae yesterday evening"),
        ("jsut wathced fuor hatch in the tnet", "just watched four hatch in the tent"),
        ("misted the gadren last nigth", "misted the garden last night"),
        ("counted sevne, thats tow eggs less", "counted seven thats two eggs less"),
        ("the day befroe yesterday one was eatne", "the day before yesterday one was eaten"),
        ("three dyas ago bohth fmales flew", "three days ago both females flew"),
        ("two femals emerged, thre yellwo leaevs cut", "two females emerged three yellow leaves cut"),
        ("swithc to celsuis", "switch to celsius"),
        ("teh pupae hang adn twitch", "the pupae hang and twitch"),
    ],
)
def test_a_slip_is_put_right(typed, said):
    assert plain(typed) == said


@pytest.mark.parametrize(
    "line",
    [
        "moved two to the loft and one to the barn",
        "gave three to dave and his niece nina",
        "the witch hazel by the gate is in flower",
        "renamed M1 to monty",
        "call them brunt",
        "handed four to Tehresa",
        "a sage green pupa in the sixth jar",
        "a fist of nettle",
        "thirsty plants, loose soil, dirty panes",
    ],
)
def test_words_that_are_right_stay(line):
    assert plain(line) == " ".join(token.text for token in tokenise(line))


def test_a_swap_is_the_cheapest_slip():
    costs = dict(meant("nihgt"))
    assert costs["night"] == SWAPPED < min(cost for word, cost in costs.items() if len(word) != 5)
