"""Weighing a line against the examples: what is counted, that fitting is steady, and that the shipped examples are in the form that is read."""

from __future__ import annotations

from collections import Counter

import pytest
from conversation import converse, nursery

from nurserytui import paths
from nurserytui.answers import TOPICS
from nurserytui.language import cues, phrases, weighing
from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary

FOLDER = paths.shipped("knowledge") / "phrases" / "examples"
FILES = sorted(FOLDER.glob("*.txt"))
KINDS = frozenset(
    "COHORT SPECIES PLANT AGENT ENCLOSURE STAGE EGG LARVA PREPUPA PUPA ADULT INSTAR NUMBER ORDINAL PERIOD UNIT MARK UNKNOWN-SPECIES "
    "VOLUME LENGTH MASS TEMPERATURE PERCENT PPM RATIO TIME AREA RANGE LATITUDE".split()
)


def shaped(line: str) -> list[str]:
    place = nursery()
    vocabulary = Vocabulary.of(place)
    read = cues.settle(scan(line, vocabulary, place.now, place.settings), vocabulary)
    return weighing.shape(read, cues.find(read, phrases.load(), place).words)


@pytest.mark.parametrize(
    ("line", "shape"),
    [
        ("when will fennel-3 hatch?", "when will COHORT hatch ?"),
        ("monarch eggs at 25 C", "SPECIES EGG at TEMPERATURE"),
        ("how much bleach for 2 litres at 500 ppm", "how much bleach for VOLUME at PPM"),
        ("3 chrysalises in tub 9", "NUMBER PUPA in ENCLOSURE"),
    ],
)
def test_a_line_is_shaped_as_examples_are(line, shape):
    assert " ".join(shaped(line)) == shape


def test_every_topic_has_examples():
    assert {file.stem for file in FILES} == set(TOPICS) | {weighing.OUTSIDE}
    assert min(len(weighing.read(file)) for file in FILES) >= 40


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_examples_are_in_the_form_that_is_read(file):
    lines = [" ".join(words) for words in weighing.read(file)]
    assert [line for line, times in Counter(lines).items() if times > 1] == []
    strange = {word for line in lines for word in line.split() if word.isupper() and word not in KINDS}
    assert not strange


def test_no_example_is_claimed_by_two_topics():
    claims: dict[str, set[str]] = {}
    for file in FILES:
        for words in weighing.read(file):
            claims.setdefault(" ".join(words), set()).add(file.stem)
    assert {line: topics for line, topics in claims.items() if len(topics) > 1} == {}


EXAMPLES = [
    ("greeting", {"good", "day"}),
    ("greeting", {"good", "morning"}),
    ("leaving", {"good", "bye"}),
    ("leaving", {"bye", "now"}),
    ("leaving", {"day", "now", "once"}),
    ("leaving", {"bye", "soon"}),
]


def test_what_is_shipped_is_read_as_fitted_and_only_for_its_own_examples(tmp_path, monkeypatch):
    (tmp_path / "examples").mkdir()
    (tmp_path / "examples" / "headcount.txt").write_text("how many EGG\nhow many LARVA\nhow many PUPA\n", encoding="utf-8")
    (tmp_path / "examples" / "round.txt").write_text("what is due\nwhat needs doing\nwhat now\n", encoding="utf-8")
    monkeypatch.setattr(weighing, "_above", lambda: tmp_path)
    tables = phrases.load()
    weighing.ship(tables, weighing.TOPICS, weighing.features_of)
    stamp = weighing._stamp(weighing.TOPICS, weighing.features_of)
    assert weighing.shipped(weighing.TOPICS, stamp) == weighing.fitted(tables, weighing.TOPICS, weighing.features_of)
    (tmp_path / "examples" / "round.txt").write_text("what is due\n", encoding="utf-8")
    assert weighing.shipped(weighing.TOPICS, weighing._stamp(weighing.TOPICS, weighing.features_of)) is None


def test_fitting_is_steady_and_leaves_out_what_hardly_any_example_holds():
    one, two = weighing.fit(EXAMPLES), weighing.fit(list(EXAMPLES))
    assert one == two
    assert one.topics == ("greeting", "leaving") and {"good", "bye"} == {feature for feature in one.features if feature.isalpha()}


@pytest.mark.parametrize(
    ("words", "known", "shown"),
    [({"big", "cat"}, {"big"}, "?1-"), ({"big", "SPECIES"}, {"big"}, "?0+"), (set("abcdefg"), set(), "?4-")],
)
def test_strange_words_are_counted(words, known, shown):
    assert weighing.strangers(words, known) == shown


def test_chances_are_of_all_topics_and_a_word_moves_them_its_own_way():
    tables = phrases.load()
    weights = weighing.load(tables)
    weighed = weighing.weigh(shaped("how long do milkweed stems last in water"), tables, weights)
    assert weighed.topic == "cutting-care" and sum(weighed.chances.values()) == pytest.approx(1)
    assert weighed.of("no such topic") == 0
    frozen = weighing.weigh(shaped("how long do milkweed stems last"), tables, weights)
    assert frozen.of("safety") < weighing.weigh(shaped("milkweed sap in my eye"), tables, weights).of("safety")


def test_what_no_example_holds_is_not_weighed():
    assert weighing.weigh([], phrases.load(), weighing.Weights(("one",), {})) is None


@pytest.mark.parametrize(
    ("line", "topic"),
    [
        # one word pulls each to another topic: found, toddler, bedroom, office
        (
            "our visitor found a nettle leaf with about forty green eggs heaped on it in the bedroom, whose eggs could these be",
            "egg-identification",
        ),
        ("i carried the jar to the bedroom for warmth, the chrysalis went black overnight and smells, is it dead", "health-sign"),
        ("how many days from egg to adult for a painted lady in an office at 22 c", "stage-duration"),
    ],
)
def test_a_story_is_weighed_by_all_its_words(line, topic):
    assert converse([line]).topic in (topic, "egg-viability")


def test_a_line_that_nothing_is_sure_of_offers_what_it_may_mean():
    request = converse(["is milkweed alright"])
    assert request.topic or request.near


def test_what_was_mixed_is_a_danger_whatever_else_is_asked():
    line = "how much bleach and how much rubbing alcohol for 2 litres of a really strong mix"
    assert converse([line]).topic == "safety"
