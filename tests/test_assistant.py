"""The one door: a line is read whole before it is written down."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.language.normalise import LONGEST
from nurserytui.nursery import Nursery
from nurserytui.pages.show import show
from nurserytui.records.store import Store

NOW = datetime(2031, 6, 10, 8)
FIND = "found 4 monarch eggs on milkweed, jar 4"


@pytest.fixture
def assistant() -> Assistant:
    return Assistant(Nursery(Store.memory(), load(), NOW))


@pytest.mark.parametrize(
    "sequence", ["\x1b[2J", "\x9b12m", "\x1b]0;7 larvae\x07", "\x1b]8;;http://x.test/9\x1b\\\\", "\x1b7", "\x00\x07", "\x1bOA"]
)
@pytest.mark.parametrize(
    "where", ["{0} {1}", "{1}{0}", "found {0}4 monarch eggs on milkweed, jar 4", "found 4{0} monarch eggs on milkweed, jar 4"]
)
def test_the_number_read_is_the_one_typed_whatever_steers_a_terminal_beside_it(assistant, sequence, where):
    answer = assistant.reply(where.format(sequence, FIND))
    event = assistant.nursery.store.events()[0]
    assert answer.status == "recorded" and (event.count, event.enclosure) == (4, "jar 4")


@pytest.mark.parametrize(
    "line", ["found 3 monarch eggs " * 500, f"{FIND} {'x' * LONGEST}", f"{FIND}{' .' * 1100} no, 5", f"undo{' ' * LONGEST}. no"]
)
def test_a_record_that_is_longer_than_is_read_is_not_written(assistant, line):
    assistant.reply("found 2 monarch eggs on milkweed, jar 1")
    answer = assistant.reply(line)
    assert answer.status == "clarify" and "The line is longer than" in answer.text and "nothing was written" in answer.text
    assert [event.count for event in assistant.nursery.store.events()] == [2]


def test_a_question_that_is_longer_than_is_read_is_answered_with_a_remark(assistant):
    answer = assistant.reply("how many animals do I have" + "?" * LONGEST)
    assert answer.topic == "headcount" and "characters of the line were read" in answer.text


def test_a_sign_that_begins_with_its_cohort_names_it_once(assistant):
    assistant.reply("found 3 monarch larvae on milkweed, jar 1")
    answer = assistant.reply("A: one larva is black and limp")
    assert "sign on A in jar 1: one larva is black and limp" in answer.text


def test_a_cohort_that_is_not_there_where_none_is(assistant):
    answer = assistant.reply("2 of Z hatched")
    assert "are none" not in answer.text and "There is no cohort Z, nor any other" in answer.text


def test_up_to_one_day_is_told_as_one(assistant):
    assistant.reply("found 30 monarch larvae on milkweed, jar 1", NOW)
    assistant.nursery.at(datetime(2031, 6, 11, 8))
    assert "over up to 1 day:" in " ".join(" ".join(show("season", assistant.nursery, "2031")).split())
