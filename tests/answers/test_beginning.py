"""The three things to do first in an empty nursery."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.answers.beginning import choices, steps, told
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store


@pytest.fixture
def assistant(tmp_path):
    with Store.open(tmp_path / "new.db") as store:
        yield Assistant(Nursery(store, load(), datetime(2026, 6, 18, 7, 30)))


def done(assistant) -> list[bool]:
    return [step.done for step in steps(assistant.nursery)]


@pytest.mark.parametrize("order", [(1, 2, 3), (3, 2, 1), (2, 3, 1)])
def test_every_example_does_its_step_in_any_order(assistant, order):
    left = {1, 2, 3}
    for number in order:
        before = steps(assistant.nursery)
        assert set(choices(before)) == left
        assert assistant.reply(choices(before)[number]).status == "recorded"
        left -= {number}
        after = steps(assistant.nursery)
        assert told(after, before).startswith(f"Done: {before[number - 1].past}.")
    assert done(assistant) == [True] * 3 and "all there is to begin with" in told(after, before)


def test_only_what_is_lacking_is_asked_for(assistant):
    assistant.reply("we are in Quillmere")
    assert done(assistant) == [False] * 3 and choices(steps(assistant.nursery))[1] == "units: C"
    assistant.reply("units: F")
    assert done(assistant) == [True, False, False] and choices(steps(assistant.nursery))[2] == "the room is 72 F"


def test_what_is_taken_back_is_to_do_again(assistant):
    assistant.reply("the room is 22 C")
    assistant.reply("undo")
    assert done(assistant) == [False] * 3


def test_nothing_new_is_told_where_nothing_changed(assistant):
    before = steps(assistant.nursery)
    assistant.reply("what do monarchs eat")
    assert told(steps(assistant.nursery), before) == "" and "Three things" in told(before)


@pytest.mark.parametrize(
    ("line", "place", "units"),
    [
        ("we are in Quillmere, units C", "Quillmere", "C"),
        ("we are in Little Fen and Wood, and use fahrenheit", "Little Fen and Wood", "F"),
        ("our nursery is in Quillmere, temperatures in Celsius", "Quillmere", "C"),
        ("place: Quillmere; units F", "Quillmere", "F"),
        ("we are in Quillmere and measure in C", "Quillmere", "C"),
        ("we are in Vitamin C", "Vitamin C", ""),
    ],
)
def test_place_and_units_in_one_line(assistant, line, place, units):
    assert assistant.reply(line).status == "recorded"
    said = dict(event.detail.split("=") for event in assistant.nursery.events)
    assert said == {"place": place, **({"units": units} if units else {})}


def test_the_help_page_of_an_empty_nursery_begins_with_them(assistant):
    page = assistant.reply("help")
    assert "To begin with" in page.text and assistant.choices()[1] == "we are in Quillmere, units C"
