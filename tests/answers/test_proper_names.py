"""Cohorts with a name or a word of their own for a label: capitals, slips, articles left out, lists behind one word."""

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
NOW = datetime(2025, 7, 1, 7, 40)
EVENTS = (
    Event("2025-06-10", "found", "Dot", species="Papilio machaon", stage="pupa", count=1, enclosure="crate A"),
    Event("2025-06-10", "found", "Wilma", species="Sphinx ligustri", stage="pupa", count=1, enclosure="crate B"),
    Event("2025-06-12", "found", "the trio", species="Deilephila elpenor", stage="larva", instar=3, count=3, enclosure="crate A"),
    Event("2025-06-13", "found", "Batch 1", species="Aglais io", stage="larva", instar=2, count=20, enclosure="crate C"),
    Event("2025-06-14", "found", "Batch 2", species="Aglais urticae", stage="larva", instar=2, count=9, enclosure="crate D"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Dot is out, a boy", [("emerged", "Dot", 1)]),
        ("Dot and Wilma both emerged today", [("emerged", "Dot", 1), ("emerged", "Wilma", 1)]),
        ("gave Dot to my aunt", [("given", "Dot", 1)]),
        ("Wlima emerged", [("emerged", "Wilma", 1)]),
        ("willma died", [("died", "Wilma", 1)]),
        ("trio moved to crate C", [("moved", "the trio", 3)]),
        ("1 of the trio died", [("died", "the trio", 1)]),
        ("fed batches 1 and 2", [("fed", "Batch 1", None), ("fed", "Batch 2", None)]),
        ("batch 1 and 2 fed", [("fed", "Batch 1", None), ("fed", "Batch 2", None)]),
        ("batch 1 3 died", [("died", "Batch 1", 3)]),
        ("shifted crate C's four cats back to crate B", [("moved", "Batch 1", 4)]),
    ],
)
def test_told_of_names(said, wanted):
    desk = Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW))
    answer = desk.reply(said)
    assert answer.status == "recorded", answer.text
    written = desk.nursery.store.events()[len(EVENTS) :]
    assert [(event.what, event.cohort, event.count) for event in written] == wanted


@pytest.mark.parametrize("said", ["the dot on the egg is black", "one egg has a red dot"])
def test_an_ordinary_word_is_no_name(said):
    assert "cohort" not in Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW)).reply(said).about


@pytest.mark.parametrize("said", ["crates A and B cleaned", "cleaned crates A, B"])
def test_letters_behind_a_word_for_places(said):
    desk = Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW))
    assert desk.reply(said).status == "recorded"
    assert [event.enclosure for event in desk.nursery.store.events()[len(EVENTS) :]] == ["crate A", "crate B"]


def test_an_early_hour_told_the_same_morning_is_of_that_morning():
    desk = Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW))
    assert desk.reply("Wilma emerged at 6").status == "recorded"
    assert desk.nursery.store.events()[-1].when == "2025-07-01T06:00"
