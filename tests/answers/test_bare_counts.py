"""Headcounts asked in a word or two: names of the keeper's own, with or without a word for counting."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import NOW, MemoryStore  # noqa: E402

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402

KNOWLEDGE = load()
EVENTS = (
    Event(
        "2025-08-01", "found", "J", species="Pieris rapae", stage="larva", count=6, enclosure="tub 2", host="Brassica oleracea"
    ),
    Event(
        "2025-08-01", "found", "J", species="Pieris rapae", stage="larva", count=2, enclosure="tub 7", host="Brassica oleracea"
    ),
    Event(
        "2025-08-01", "laid", "cab-4", species="Pieris rapae", stage="egg", count=18, enclosure="jar 6", host="Brassica oleracea"
    ),
    Event("2025-08-02", "found", "N", species="Vanessa cardui", stage="pupa", count=3, enclosure="net"),
    Event("2025-08-02", "found", "N", species="Vanessa cardui", stage="adult", count=2, enclosure="net"),
    Event("2025-08-03", "found", "W", species="Actias luna", stage="pupa", count=4, enclosure="shelf box"),
)


def said(dialogue: str):
    talk = Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW))
    return [talk.reply(line) for line in dialogue.split(" / ")][-1]


@pytest.mark.parametrize(
    "row",
    """\
J count | 8
J total | 8
J in tub 2 | 6
J in tub 7, caterpillars only | 2
J caterpillars | 8
J caterpillars left | 8
N adults now | 2
N balance | 5
adults in net? | 2
pupae in net | 3
painted lady adults | 2
small white eggs | 18
small whites alive | 26
cab-4 outstanding | 18
eggs on hand | 18
catterpillars alltogether how many | 8
caterpillars and pupae total | 15
net total | 5
total animals in all the boxes | 35
cab-4 now, eggs and all | 18
tub 2 tally | 6
nos. in jar 6 | 18
when will W emerge / N adults now? | 2
will release the 2 N butterflies after school / adults in net? | 2
one J died in tub 7 / J total | 7
one J died in tub 7 / caterpillars left? | 1
one J died in tub 7 / how many caterpillars in total | 7
moved 1 of J from tub 2 to tub 7 / tub 7 count | 3
one emerged / N adults left? | 2
how many J / pupae in net | 3
""".splitlines(),
)
def test_counted(row):
    dialogue, count = row.split(" | ")
    answer = said(dialogue)
    assert (answer.status, answer.topic) == ("answered", "headcount"), answer.text
    assert answer.values["count"].value == int(count), answer.text


@pytest.mark.parametrize(
    ("dialogue", "status", "topic"),
    [
        ("tub total", "clarify", "headcount"),  # two are called so
        ("how many eggs in grn jar", "clarify", "headcount"),  # a place that nobody knows
        ("J now in jar 6", "recorded", "record"),
        ("are the cab-4 eggs alive", "answered", "egg-viability"),
        ("monarch eggs", "answered", "about-species"),  # none are kept
        ("when will W emerge / N pupae in net?", "answered", "stage-forecast"),
        ("one emerged / the N pupae", "recorded", "record"),
    ],
)
def test_what_is_no_count(dialogue, status, topic):
    answer = said(dialogue)
    assert (answer.status, answer.topic) == (status, topic), answer.text


def test_the_places_that_are_offered_name_one_each():
    assert said("tub total").options == ("tub 2 total", "tub 7 total")


@pytest.mark.parametrize(
    ("dialogue", "count"),
    [
        ("one J died in tub 7, one cab-4 hatched / eggs left?", 17),
        ("2 cab-4 hatched, 1 N emerged / how many of them are adult?", 3),
        ("how many in tub 2 / and tub 7 / and the two together", 8),
        ("pupae of N / and adults / both", 5),
        ("who is in tub 7 / and how many is that in total", 2),
        ("pupae on hand / caterpillars likewise", 8),
        ("pupae, every one of them wherever they are, number?", 7),
        ("how many painted ladies counting the old cocoons too", 5),
        ("Locate W / how many is that", 4),
        ("how many in tub 2 / and 7?", 2),
        ("moved 2 of J from tub 2 to tub 7 / how many stayed in tub 2", 4),
        ("can I let the N ones go at 12 C / how many of them are there as adults", 2),
        ("whole attic total", 35),
    ],
)
def test_what_goes_on_from_a_count(dialogue, count):
    answer = said(dialogue)
    assert (answer.status, answer.topic) == ("answered", "headcount"), answer.text
    assert answer.values["count"].value == count, answer.text
