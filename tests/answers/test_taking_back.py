"""One record taken back, whatever was written since: exactly that one, or nothing and what rests on it."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from random import Random

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import NOW, MemoryStore  # noqa: E402

from nurserytui.answers.taking_back import take_back  # noqa: E402
from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402
from nurserytui.records.ledger import replay  # noqa: E402
from nurserytui.records.order import standing  # noqa: E402
from nurserytui.records.store import Store  # noqa: E402

KNOWLEDGE = load()


@pytest.fixture
def talk() -> Assistant:
    return Assistant(Nursery(MemoryStore(), KNOWLEDGE, NOW))


def written(talk: Assistant, line: str) -> str:
    """Say the line; the group that it was written in."""
    answer = talk.reply(line)
    assert answer.status == "recorded", answer.text
    return answer.items[0]["group"]


def told(talk: Assistant) -> list[tuple]:
    """What stands on record beyond the nursery's beginning: kind, cohort, count, enclosure."""
    fresh = standing(talk.nursery.store.events())[13:]
    return [(event.what, event.cohort, event.count, event.enclosure) for event in fresh]


def test_a_record_is_taken_back_after_others_were_made_since(talk):
    fed, hatched = written(talk, "fed blue cage"), written(talk, "3 A hatched")
    cleaned = written(talk, "cleaned tank 2")
    answer = take_back(talk.nursery, hatched)
    assert answer.status == "recorded" and answer.topic == "undo" and "3 of A hatched" in answer.text
    assert told(talk) == [("fed", "", None, "blue cage"), ("cleaned", "", None, "tank 2")]
    # 30 eggs were laid and 12 had hatched before.
    assert sum(count for _, count in talk.nursery.heads("A", "egg")) == 18
    for which in (fed, cleaned):
        assert take_back(talk.nursery, which).status == "recorded"
    assert told(talk) == []


def test_all_events_of_the_line_go_and_no_others(talk):
    group = written(talk, "cleaned jar 1, one A larva died")
    written(talk, "fed jar 1")
    take_back(talk.nursery, group)
    assert told(talk) == [("fed", "", None, "jar 1")]


def test_what_later_records_rest_on_stays_and_they_are_named(talk):
    hatched = written(talk, "all A hatched")
    written(talk, "25 A larvae died")  # 12 + 18 are larvae: without the hatching there would be 12
    before = talk.nursery.store.events()
    answer = take_back(talk.nursery, hatched)
    assert answer.status == "clarify" and "25 A larvae died" in answer.text and "Nothing was changed" in answer.text
    assert talk.nursery.store.events() == before
    assert [item["what"] for item in answer.items] == ["died"]


def test_a_correction_taken_back_lets_stand_what_it_had_replaced(talk):
    moved = written(talk, "moved S to tub 9")
    again = written(talk, "make that tub 8")
    written(talk, "fed jar 1")
    assert "Already taken back" in (answer := take_back(talk.nursery, moved)).text and "tub 8" in answer.text
    assert "tub 9" in take_back(talk.nursery, again).text
    assert {key.enclosure for key, _ in talk.nursery.heads("S")} == {"tub 9"}
    take_back(talk.nursery, moved)
    assert {key.enclosure for key, _ in talk.nursery.heads("S")} == {"pop tent"}


def test_twice_or_never_written_changes_nothing(talk):
    group = written(talk, "fed jar 1")
    take_back(talk.nursery, group)
    before = talk.nursery.store.events()
    for which in (group, "no such group", ""):
        answer = take_back(talk.nursery, which)
        assert answer.status == "answered" and talk.nursery.store.events() == before


def test_an_event_written_alone_is_taken_back_by_its_id(tmp_path):
    with Store.open(tmp_path / "alone.db") as store:
        store.append([Event("2025-08-19", "found", "Q", species="Pieris rapae", stage="egg", count=2, enclosure="cup")])
        one = store.append([Event("2025-08-20", "fed", enclosure="cup")]).events[0]
        nursery = Nursery(store, KNOWLEDGE, datetime(2025, 8, 20, 9))
        assert take_back(nursery, one.id).status == "recorded"
        assert [event.what for event in nursery.events] == ["found"]


LINES = ("2 A hatched", "1 A larva died", "fed blue cage", "moved 1 fennel-2 larva from blue cage to tank 2", "1 fennel-2 larva died in tank 2",
         "cleaned jar 1", "one S emerged", "released 1 S", "split 2 A eggs off as A-2", "1 A-2 hatched")  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_the_headcount_is_that_of_the_records_without_it(talk, seed):
    """Each group in turn, in any order: either the rest replays without a fault and is what stands, or nothing changes."""
    rng, groups = Random(seed), []
    for line in rng.choices(LINES, k=8):
        answer = talk.reply(line)
        if answer.status == "recorded":
            groups.append(answer.items[0]["group"])
    for group in rng.sample(groups, k=len(groups)):
        before = talk.nursery.store.events()
        without = [event for event in standing(before) if event.group != group]
        possible = replay(without, until=NOW)
        answer = take_back(talk.nursery, group)
        if possible.faults:
            assert answer.status == "clarify" and talk.nursery.store.events() == before
        else:
            assert answer.status == "recorded"
            assert dict(talk.nursery.heads()) == {key: count for key, count in possible.heads.items() if count}


def test_more_than_were_typed_are_not_taken_back_by_halves(talk):
    """`undo the last three` after a single line took that one back."""
    before = told(talk)
    written(talk, "fed crate 1")
    answer = talk.reply("undo the last three")
    assert answer.status == "clarify" and len(told(talk)) == len(before) + 1
