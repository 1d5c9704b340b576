"""Numbers as words and figures, and units by their names."""

from __future__ import annotations

import pytest

from nurserytui.language import numbers, units
from nurserytui.language.normalise import normalise, tokenise


@pytest.mark.parametrize(
    ("text", "value"),
    [("12", 12), ("twelve", 12), ("two dozen", 24), ("a couple", 2), ("half", 0.5), ("twenty five", 25), ("2.5", 2.5)],
)
def test_numbers(text, value):
    words = [token.text for token in tokenise(text)]
    last, read = numbers.read(words, 0)
    assert (last, read) == (len(words) - 1, value)


@pytest.mark.parametrize("text", ["leaf", "tub", "%", "x12y"])
def test_no_number(text):
    assert numbers.read([token.text for token in tokenise(text)], 0) is None


@pytest.mark.parametrize(("word", "value"), [("2nd", 2), ("third", 3), ("21st", 21), ("egg", None)])
def test_ordinals(word, value):
    assert numbers.ordinal(word) == value


@pytest.mark.parametrize("text", ["ml", "litres", "tbsp", "imperial pints", "fl oz", "inches"])
def test_units_are_read_to_their_end(text):
    words = [token.text for token in tokenise(text)]
    assert units.read(words, 0)[0] == len(words) - 1


@pytest.mark.parametrize(
    ("text", "plain"), [("900ml", "900 ml"), ("It’s FINE", "it's fine"), ("dill-26", "dill-26"), ("1:10", "1:10")]
)
def test_lines_are_made_plain(text, plain):
    assert normalise(text) == plain
