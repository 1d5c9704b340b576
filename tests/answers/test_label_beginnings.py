"""Cohorts named by the beginning of their label, where it is the only one that lives and the word means nothing else."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import MemoryStore  # noqa: E402

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402

KNOWLEDGE = load()
NOW = datetime(2025, 7, 1, 18, 0)
EVENTS = (
    Event("2025-06-20", "found", "atta-3", species="Attacus atlas", stage="egg", count=12, enclosure="bin 1"),
    Event("2025-06-20", "found", "lady-2", species="Vanessa cardui", stage="larva", instar=5, count=6, enclosure="bin 2"),
    Event("2025-06-20", "found", "big-4", species="Pieris rapae", stage="larva", instar=4, count=5, enclosure="bin 3"),
    Event("2025-06-20", "found", "ram-1", species="Gonepteryx rhamni", stage="larva", instar=4, count=5, enclosure="bin 4"),
    Event("2025-06-20", "found", "ram-2", species="Gonepteryx rhamni", stage="larva", instar=4, count=5, enclosure="bin 5"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("said", "cohort", "count"),
    [
        ("first atta egg hatched", "atta-3", 1),
        ("gave 4 atta eggs to my niece", "atta-3", 4),
        ("2 of the lady caterpillars hung up", "lady-2", 2),
        ("the lady one died", "lady-2", 1),
    ],
)
def test_the_beginning_of_a_label_names_its_cohort(said, cohort, count):
    answer = Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW)).reply(said)
    assert (answer.status, answer.about.get("cohort"), answer.values["count"].value) == ("recorded", cohort, count), answer.text


@pytest.mark.parametrize("said", ["2 big caterpillars died", "one ram larva died"])
def test_an_ordinary_word_and_the_beginning_of_two_labels_name_nobody(said):
    answer = Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW)).reply(said)
    assert answer.status != "recorded"
