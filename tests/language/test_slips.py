"""Lines with typing slips made by rule: swapped, dropped, doubled and neighbouring letters keep the topic, or it is asked back, seldom another."""

from __future__ import annotations

import random
import re

import measure
import pytest

from nurserytui.language.context import Context
from nurserytui.language.understand import understand

NEIGHBOURS = {
    one: row[max(0, at - 1) : at] + row[at + 1 : at + 2]
    for row in ("qwertyuiop", "asdfghjkl", "zxcvbnm")
    for at, one in enumerate(row)
}
KEPT, CHANGED = 0.85, 0.05
"""Least share of the lines that keep their topic with one slip, most that get another."""
LEAST = 5
"""Letters of the words in which slips are made: shorter ones turn into other words."""
SAMPLE = 31


def swapped(word: str, at: int) -> str:
    return word[:at] + word[at + 1] + word[at] + word[at + 2 :]


def dropped(word: str, at: int) -> str:
    return word[:at] + word[at + 1 :]


def doubled(word: str, at: int) -> str:
    return word[: at + 1] + word[at:]


def neighbouring(word: str, at: int) -> str:
    return word[:at] + NEIGHBOURS.get(word[at], word[at])[0] + word[at + 1 :]


def slip(line: str, make, chance: random.Random) -> str:
    """The line with one slip inside one of its longer words; as it is where it has none."""
    words = [match for match in re.finditer(r"[a-z]+", line) if len(match[0]) >= LEAST]
    if not words:
        return line
    word = chance.choice(words)
    return line[: word.start()] + make(word[0], chance.randrange(1, len(word[0]) - 2)) + line[word.end() :]


def topic(line: str) -> str:
    return understand(line, measure.place(), Context()).topic


@pytest.fixture(scope="module")
def understood() -> list[tuple[str, str]]:
    """Lines with the topic they are taken for, right or not: what a slip changes is measured here."""
    found = [(line, topic(line)) for wanted, line in measure.lines()[::SAMPLE] if wanted != measure.weighing.OUTSIDE]
    return [(line, said) for line, said in found if said]


@pytest.mark.parametrize("make", [swapped, dropped, doubled, neighbouring], ids=lambda make: make.__name__)
def test_one_slip(make, understood):
    chance = random.Random(3)
    after = [(line, before, topic(slip(line, make, chance))) for line, before in understood]
    kept = sum(before == now for _, before, now in after) / len(after)
    changed = [(line, before, now) for line, before, now in after if now and now != before]
    assert kept >= KEPT
    assert len(changed) / len(after) <= CHANGED, changed


@pytest.mark.parametrize("line", ["frog spawn went white", "a horse walks into a bar"])
def test_plain_words_are_no_slips_of_countries(line):
    assert not {"spain", "wales"} & set(measure.masked(line))
