"""Lines as keepers type them, on the demo: what is asked for, and that it gets its page and not another."""

from __future__ import annotations

import pytest

from nurserytui.assistant import Assistant
from nurserytui.demo import MOMENT
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.paths import shipped
from nurserytui.records.store import Store


@pytest.fixture(scope="module")
def reply():
    with Store.open(shipped("demo_db") / "demo.db", read_only=True) as store:
        nursery = Nursery(store, load(), MOMENT)
        yield lambda line: Assistant(nursery).reply(line)


@pytest.mark.parametrize(
    ("line", "topic", "starts"),
    [
        # the demo's moment is Thursday 18 June 2026
        ("I'm away until the 20th", "round", "Away until Sat 20 June (2026-06-20), 2 days"),
        ("we are away until saturday, what cannot wait", "round", "Away until Sat 20 June (2026-06-20), 2 days"),
        ("going away friday to monday what do i need to do first", "round", "Away until Mon 22 June (2026-06-22), 3 days"),
        ("what do I have to do before i go on holiday until the 25th", "round", "Away until Thu 25 June (2026-06-25), 7 days"),
        ("we leave on friday and are back on the 25th", "round", "Away until Thu 25 June (2026-06-25), 6 days"),
        ("can they be left alone till monday", "round", "Away until Mon 22 June (2026-06-22), 4 days"),
        ("handover sheet for my neighbour until Monday", "round", "Handover until Mon 22 June (2026-06-22): 5 days"),
        ("handover sheet for a week", "round", "Handover until Thu 25 June (2026-06-25)"),
        ("I'm away for a week", "round", "Away until Thu 25 June (2026-06-25), 7 days"),
        ("handover for the sitter until friday", "round", "Handover until Fri 19 June (2026-06-19): 2 days"),
        ("instructions for whoever covers till sunday", "round", "Handover until Sun 21 June (2026-06-21): 4 days"),
        ("what will happen by Monday", "round", "Handover until Mon 22 June (2026-06-22): 5 days"),
        ("labels for the cages", "headcount", "8 labels, 32 characters wide"),
        ("print labels", "headcount", "8 labels"),
        ("label for tub 2", "headcount", "1 label"),
        ("what do I write on the label of tub 1", "headcount", "1 label"),
        ("labels for cohort A", "headcount", "1 label"),
        ("anything due by Monday", "round", ""),
        ("which ones must I leave alone today", "round", ""),
        ("who should not be disturbed", "round", ""),
        ("any water to change", "round", ""),
        ("do any cages need cleaning", "round", "Yes: tub 1"),
        ("what can wait", "round", ""),
    ],
)
def test_what_is_typed_gets_its_page(reply, line, topic, starts):
    answer = reply(line)
    assert (answer.status, answer.topic) == ("answered", topic)
    assert answer.text.startswith(starts)


@pytest.mark.parametrize(
    "line", ["what happened while I was away", "what did I record until Monday", "what happened by last Monday"]
)
def test_what_is_over_is_history(reply, line):
    assert reply(line).topic == "history"
