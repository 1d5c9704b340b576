"""Lines of other hands, each left out of what is fitted: floors of what is understood, by topic, and that chances are worth what they say.

The floors lie a little under what one tenth of the lines gave when they were set; tests/language/measure.py prints all of it.
"""

from __future__ import annotations

from collections import Counter, defaultdict

import measure
import pytest

RIGHT, WRONG = 0.83, 0.085
"""Least share of lines that are right, most that are wrong (a line has one topic there, though two would sometimes do)."""
TOPIC_RIGHT, TOPIC_WRONG = 0.7, 0.16
TALK = {"help": 0.65}
"""A lower floor: lines about the talk itself hold hardly a word of the trade, and those with strange words are asked back."""


@pytest.fixture(scope="module")
def found() -> list[measure.Measured]:
    return measure.fold(0, 10)


def test_most_lines_are_understood_and_few_are_mistaken(found):
    every = Counter(one.verdict for one in found)
    assert every["right"] / len(found) >= RIGHT
    assert every["wrong"] / len(found) <= WRONG


def test_no_topic_is_poor(found):
    topics: dict[str, Counter] = defaultdict(Counter)
    for one in found:
        topics[one.wanted][one.verdict] += 1
    poor = {
        topic: dict(counts)
        for topic, counts in topics.items()
        if counts["right"] / counts.total() < TALK.get(topic, TOPIC_RIGHT) or counts["wrong"] / counts.total() > TOPIC_WRONG
    }
    assert not poor


def test_what_is_surer_is_oftener_right(found):
    sure = [one for one in found if one.chance >= 0.9]
    fair = [one for one in found if 0.6 <= one.chance < 0.9]
    doubtful = [one for one in found if one.chance < 0.6]
    shares = [sum(one.weighed == one.wanted for one in part) / len(part) for part in (sure, fair, doubtful)]
    assert shares[0] >= 0.95 and shares == sorted(shares, reverse=True)


def test_chances_are_calibrated(found):
    off = sum(count * abs(right - (low + 0.05)) for low, count, right in measure.calibration(found)) / len(found)
    assert off <= 0.08


def test_answering_less_is_answering_better(found):
    wrong = [wrong for _, _, wrong in measure.coverage(found)]
    assert wrong == sorted(wrong) and wrong[0] <= 0.05
