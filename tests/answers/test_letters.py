"""Letters that are labels and something else as well: the trade's J and a cohort J, litres and a cohort L; and lines that only name animals."""

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
    Event("2025-06-01", "found", "A", species="Vanessa cardui", stage="larva", instar=3, count=4, enclosure="bin 1"),
    Event("2025-06-03", "died", "A", count=4, enclosure="bin 1"),
    Event("2025-06-10", "found", "J", species="Pieris rapae", stage="larva", instar=3, count=9, enclosure="bin 2"),
    Event("2025-06-11", "found", "L", species="Pieris brassicae", stage="larva", instar=3, count=12, enclosure="bin 3"),
    Event("2025-06-12", "moved", "L", count=5, enclosure="bin 3", to="bin 4"),
    Event("2025-06-12", "found", "K", species="Aglais io", stage="larva", instar=4, count=6, enclosure="bin 5"),
    Event("2025-06-20", "pupated", "K", count=4, enclosure="bin 5"),
    Event("2025-06-29", "emerged", "K", count=2, enclosure="bin 5"),
    Event("2025-06-20", "found", "C", species="Vanessa atalanta", stage="pupa", count=9, enclosure="bin 6"),
    Event("2025-06-30", "emerged", "C", count=3, enclosure="bin 6"),
)  # fmt: skip


def talk() -> Assistant:
    return Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW))


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("2 J caterpillars died", "died J 2 stage=larva"),
        ("another J larva got out", "escaped J 1 stage=larva"),
        ("the J caterpillars in bin 2 are limp", "sign J stage=larva"),
        ("moved 3 of the J caterpillars to bin 8", "moved J 3 to=bin_8"),
        ("2 J hung up", "prepupated J 2"),
        ("1 K in J", "prepupated K 1"),
        ("2 L in bin 4 dead", "died L 2 enclosure=bin_4"),
        ("20 past 4, 3 L in bin 4 drowned", "died L 3 enclosure=bin_4 when=2025-07-01T16:20"),
        ("moved 3 L from bin 3 to bin 4", "moved L 3 enclosure=bin_3 to=bin_4"),
        ("lost 2 L in bin 3", "died L 2 enclosure=bin_3"),
        ("5 C came out, let 3 go since", "emerged C 5"),
        ("2 C flew off", "released C 2"),
        ("2 C are out", "emerged C 2"),
        ("2 C just came out", "emerged C 2"),
        ("4 C emergd this am", "emerged C 4"),
        ("3 L in bin 4 drownd in the water pot", "died L 3 enclosure=bin_4"),
        ("31 C in the shed, moved bin 2 to bin 9", "moved enclosure=bin_2 to=bin_9"),
        ("released 1 C at 7 and 2 at 8", "released C 1 when=2025-07-01T07:00"),
        ("bin 6 is 24 C", "temperature detail=24_C"),
        ("it hit 28 C in bin 6, had to shade it", "temperature detail=28_C"),
        ("bin 3 holds 2 L", "setting enclosure=bin_3 detail=volume=2_L"),
    ],
)
def test_told_of_a_letter(said, expected):
    desk = talk()
    answer = desk.reply(said)
    assert answer.status == "recorded", answer.text
    event, wanted = desk.nursery.store.events()[len(EVENTS)], expected_event(expected)
    assert {key: getattr(event, key) for key in wanted} == wanted


@pytest.mark.parametrize(
    ("dialogue", "count"),
    [
        ("J caterpillars", 9),
        ("j caterpillars left", 9),
        ("A caterpillars left?", 0),
        ("J larvae in bin 2", 9),
        ("L in bin 4", 5),
        ("one L in bin 4 died / L in bin 4", 4),
        ("L, bin 3", 7),
        ("K adults now", 2),
        ("one K emerged / K adults now", 3),
        ("when will K emerge / K adults now?", 2),
        ("peacock adults left", 2),
    ],
)
def test_named_where_they_stand_asks_how_many(dialogue, count):
    desk = talk()
    *before, last = dialogue.split(" / ")
    for line in before:
        desk.reply(line)
    written = len(desk.nursery.store.events())
    answer = desk.reply(last)
    assert (answer.status, answer.topic) == ("answered", "headcount"), answer.text
    assert answer.values["count"].value == count
    assert len(desk.nursery.store.events()) == written
