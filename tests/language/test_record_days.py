"""Days in figures as records tell them: with points the day comes first; what can be meant either way, or cannot be read, is asked about."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store

KNOWLEDGE = load()
NOW = datetime(2026, 6, 20, 9, 0)
FIND = "found 3 monarch eggs on milkweed, jar 1"


@pytest.fixture
def talk(tmp_path):
    with Store.open(tmp_path / "nursery.db") as store:
        yield Assistant(Nursery(store, KNOWLEDGE, NOW))


def day_of(talk: Assistant, line: str) -> str:
    answer = talk.reply(line)
    assert answer.status == "recorded", answer.text
    return answer.items[0]["when"]


@pytest.mark.parametrize(
    "said", ["on 3.5.", "on 3.5", "on 03.05.", "on 03.05", "am 3.5.", "on 3.5.2026", "3.5.", "am 3. Mai", "on 3.5. in jar 1"]
)
def test_a_day_with_points_is_day_and_month(talk, said):
    line = f"found 3 monarch eggs on milkweed {said}"
    assert day_of(talk, line) == "2026-05-03"
    event = talk.nursery.events[-1]
    assert (event.count, event.note) == (3, "")


@pytest.mark.parametrize("said", ["on 3.5.", "on 03.05", "on 3.5.2026"])
def test_a_day_with_points_is_read_back_as_such(talk, said):
    answer = talk.reply(f"{FIND} {said}")
    assert "was read as a day and its month" in answer.text and "3 May 2026" in answer.text


def test_a_day_with_points_may_lead_the_line(talk):
    assert day_of(talk, "3.5.: found 3 monarch eggs on milkweed") == "2026-05-03"


@pytest.mark.parametrize("line", ["found 3 monarch eggs on 3.5 stems of milkweed", "found 3 monarch eggs on milkweed at 3.5 C"])
def test_a_number_with_a_point_that_counts_something_is_no_day(talk, line):
    assert day_of(talk, line)[:10] == "2026-06-20"
    assert "3.5" in talk.nursery.events[-1].note


@pytest.mark.parametrize(
    "figures", ["3.15.", "31.6.", "2026/05/03", "3-5-2026", "3-5", "20260503", "2026.05.03", "31/6", "2026-13-01"]
)
def test_what_looks_like_a_date_and_is_none_that_can_be_read_is_asked_about(talk, figures):
    answer = talk.reply(f"{FIND} on {figures}")
    assert answer.status == "clarify" and figures.rstrip(".") in answer.text and not talk.nursery.events
    assert all("note" not in option for option in answer.options)
    assert day_of(talk, "on 3 May") == "2026-05-03"
    assert talk.nursery.events[-1].note == ""


@pytest.mark.parametrize(
    ("said", "first", "second"),
    [("3/5/2026", "2026-05-03", "2026-03-05"), ("3/5", "2026-05-03", "2026-03-05"), ("5/6", "2026-06-05", "2026-05-06")],
)
def test_a_day_that_can_be_meant_either_way_is_asked_about(talk, said, first, second):
    answer = talk.reply(f"{FIND} on {said}")
    assert answer.status == "clarify" and f"“{said}”" in answer.text and not talk.nursery.events
    assert [day in option for day, option in zip((first, second), answer.options, strict=True)] == [True, True]
    for number, day in enumerate((first, second)):
        talk.reply(f"{FIND} on {said}")
        assert day_of(talk, answer.options[number]) == day


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("13/5", "2026-05-13"),
        ("5/13/2026", "2026-05-13"),
        ("5/5", "2026-05-05"),
        ("12/6", "2026-06-12"),
        ("6/12", "2026-06-12"),
        ("7/3/2026", "2026-03-07"),
        ("3/7/2026", "2026-03-07"),
    ],
)
def test_a_day_that_can_be_meant_one_way_only_or_is_by_far_nearer_is_taken(talk, said, day):
    assert day_of(talk, f"{FIND} on {said}") == day


@pytest.mark.parametrize(("order", "day"), [("day", "2026-05-03"), ("month", "2026-03-05")])
def test_the_keepers_own_order_is_never_asked_about(talk, order, day):
    assert talk.reply(f"dates are {order} first").status == "recorded"
    assert day_of(talk, f"{FIND} on 3/5/2026") == day
    assert day_of(talk, f"{FIND} on 3.5.") == "2026-05-03"
