"""Cohorts whose labels are numbers: told of, asked for, and told apart from how many there are."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_cases import expected_event  # noqa: E402
from record_nursery import MemoryStore  # noqa: E402

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402

KNOWLEDGE = load()
NOW = datetime(2025, 7, 1, 18, 0)
EVENTS = (
    Event("2025-06-20", "laid", "8", species="Aglais io", stage="egg", count=30, enclosure="bin 1"),
    Event("2025-06-20", "found", "15", species="Papilio machaon", stage="larva", instar=4, count=19, enclosure="bin 2"),
    Event("2025-06-21", "found", "5a", species="Vanessa atalanta", stage="larva", instar=3, count=10, enclosure="bin 3"),
    Event("2025-06-21", "found", "K", species="Pieris rapae", stage="larva", instar=3, count=17, enclosure="bin 4"),
)  # fmt: skip


def talk() -> Assistant:
    return Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW))


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("15 of the K larvae died", "died K 15"),
        ("gave 8 K caterpillars away", "given K 8"),
        ("found 8 peacock eggs on nettle, bin 6", "found A 8 stage=egg"),
        ("8 more peacock eggs laid on nettle, bin 6", "laid A 8 stage=egg"),
        ("3 15s pupated", "pupated 15 3"),
        ("8 of 8 hatched", "hatched 8 8"),
        ("8: 4 hatched", "hatched 8 4"),
        ("15 - 2 more pupated", "pupated 15 2"),
        ("4 15 caterpillars died", "died 15 4"),
        ("checked 8 and 15", "checked cohort=8"),
        ("fed 15 fennel", "fed cohort=15"),
        ("lost 2 from 15", "died 15 2"),
        ("5 5a died", "died 5a 5"),
        ("8 caterpillars died in bin 4", "died K 8"),
        ("8 swallowtail caterpillars pupated in bin 2", "pupated 15 8"),
        ("split 4 of the cohort 15 larvae off as 15b", "split 15 4 to=15b"),
        ("split 3 of 5a into 5c", "split 5a 3 to=5c"),
        ("put 3 of cohort K into cohort K2", "split K 3 to=K2"),
        ("rename 15 to 15a", "renamed cohort=15 to=15a"),
        ("moved cohort 15 to bin 7", "moved 15 19 to=bin_7"),
        ("moved 3 of cohort K to bin 7", "moved K 3 to=bin_7"),
    ],
)
def test_numbers_that_are_labels_and_that_count(said, expected):
    desk = talk()
    answer = desk.reply(said)
    assert answer.status == "recorded", answer.text
    event, wanted = desk.nursery.store.events()[len(EVENTS)], expected_event(expected)
    assert {key: getattr(event, key) for key in wanted} == wanted


@pytest.mark.parametrize(
    ("said", "reading", "reply", "count"),
    [
        ("15 died", "all of cohort 15 died", "cohort", 19),
        ("8 hatched", "all of cohort 8 hatched", "8 8 eggs hatched", 8),
        ("moved 15 to bin 7", "moved all of cohort 15 to bin 7", "moved 15 K larvae to bin 7", 15),
    ],
)
def test_a_bare_number_that_is_a_label_too_is_asked_about(said, reading, reply, count):
    desk = talk()
    answer = desk.reply(said)
    assert answer.status == "clarify" and reading in answer.options, answer.options
    assert desk.reply(reply).values["count"].value == count


@pytest.mark.parametrize(
    ("said", "count"), [("how many 15", 19), ("how many 8 eggs left", 30), ("how many in 5a", 10), ("15?", 19)]
)
def test_numbers_are_labels_where_they_are_asked_for(said, count):
    answer = talk().reply(said)
    assert answer.topic == "headcount" and answer.values["count"].value == count, answer.text


def test_moves_of_several_cohorts_are_each_written():
    desk = talk()
    assert desk.reply("moved 4 of K to bin 7, cohort 15 to bin 8 and 5a to bin 9").status == "recorded"
    written = [(event.cohort, event.count, event.to) for event in desk.nursery.store.events()[len(EVENTS) :]]
    assert written == [("K", 4, "bin 7"), ("15", 19, "bin 8"), ("5a", 10, "bin 9")]
