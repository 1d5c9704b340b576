"""What a line would be taken for before it is sent, and that looking changes nothing."""

from __future__ import annotations

import copy

import pytest

from nurserytui.assistant import Assistant
from nurserytui.demo import MOMENT, private_copy
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store


@pytest.fixture
def assistant(tmp_path):
    with Store.open(private_copy(tmp_path)) as store:
        yield Assistant(Nursery(store, load(), MOMENT))


QUESTIONS = [
    ("how long until B hatches at 20 C", "when it hatches · cohort B · at 20 °C"),
    ("will B hatch by Sunday", "when it hatches · cohort B · by Sunday (Sun 21 June)"),
    ("how many D since monday", "how many there are · cohort D · since monday (Mon 15 June to Thu 18 June)"),
    ("how much bleach for a 2 cup dish at 10%", "how to mix a disinfectant · 2 cup · 10%"),
    ("what do monarch larvae eat", "what it eats · monarch · larva"),
    ("72F in C?", "a sum · at 72 °F"),
    ("convert 20 C to F", "a sum · at 20 °C"),
    ("when did I last clean jar 2", "when and how to clean · in jar 2"),
]
RECORDS = [
    ("2 of B hatched", "would note: 2 of B hatched in jar 2"),
    ("fed tub 2", "would note: tub 2 fed"),
    ("2 of B hatched yesterday", "would note: 2 of B hatched in jar 2 · on Wed 17 June"),
    ("2 of B hatched, fed tub 2", "would note: 2 of B hatched in jar 2 · tub 2 fed"),
]
UNSURE = [
    ("20 of B hatched", "not sure: B has 12 eggs, not 20. Which number is right?"),
    ("one C died", "not sure: which one do you mean?"),
    ("found 3 eggs", "not sure: which species are the 3 eggs?"),
    ("F9", "not sure: which cohort?"),
    ("how many are they", "not sure: which animals or which place do you mean?"),
    ("how many in cohort zulu-9", "not sure: “zulu-9” is not known here"),
]


@pytest.mark.parametrize(("text", "line"), QUESTIONS + RECORDS)
def test_what_is_certain_is_told_whole(assistant, text, line):
    assert assistant.understood(text).line == line


@pytest.mark.parametrize("text", ["found 3 monarch eggs on milkweed, jar 1", "i may have found 3 monarch eggs in jar 1"])
def test_species_are_called_by_their_usual_name_alone(assistant, text):
    line = assistant.understood(text).line
    assert "3 monarch eggs" in line and "Danaus" not in line


@pytest.mark.parametrize(("text", "line"), UNSURE)
def test_what_is_not_certain_is_told_as_that(assistant, text, line):
    heard = assistant.understood(text)
    assert heard.kind == "unsure" and heard.line.startswith(line)


@pytest.mark.parametrize("text", ["", "  ", "florb wibble", "how l", "2 of B ha", "x" * 5000, "\u202e[/b]", "\x00"])
def test_where_there_is_nothing_to_say_nothing_is_said(assistant, text):
    assert assistant.understood(text).line == ""


@pytest.mark.parametrize("text", [text for text, _ in QUESTIONS + RECORDS + UNSURE] + ["undo", "1", "no, 3", "why", "help"])
def test_looking_changes_neither_the_conversation_nor_the_records(assistant, text):
    for before in ("how many D", "2 of B hatched", "one C died"):
        assistant.reply(before)
    context, events, version = copy.copy(vars(assistant.context)), assistant.nursery.store.events(), assistant.nursery.version
    choices = assistant.choices()
    assistant.understood(text)
    assert vars(assistant.context) == context and assistant.nursery.store.events() == events
    assert assistant.nursery.version == version and assistant.choices() == choices


@pytest.mark.parametrize("text", [text for text, _ in RECORDS])
def test_what_it_would_note_is_what_it_notes(assistant, text):
    would = assistant.understood(text)
    noted = assistant.reply(text)
    labels = [item["label"] for item in noted.items]
    assert would.words == f"would note: {labels[0]}" and list(would.parts[: len(labels) - 1]) == labels[1:]


def test_what_undo_would_take_back_is_what_it_takes_back(assistant):
    assistant.reply("2 of B hatched")
    would = assistant.understood("undo")
    assert would.line == "would take back: 2 of B hatched in jar 2"
    assert "2 of B hatched in jar 2" in assistant.reply("undo").text


def test_an_answer_to_what_was_asked_back_is_told_as_the_record_it_makes(assistant):
    assistant.reply("20 of B hatched")
    assert assistant.understood("9").line == "would note: 9 of B hatched in jar 2"
    assert assistant.choices() == {}
    assistant.reply("9")
    assistant.reply("one C died")
    assert assistant.choices() == {1: "1 C larva died", 2: "1 C prepupa died"}
    assert assistant.understood("1").line == "would note: 1 C larva died in tub 1"


def test_help_in_a_conversation_is_chosen_from_by_number(assistant):
    page = assistant.reply("help")
    choices = assistant.choices()
    assert list(choices) == list(range(1, len(page.items) + 1)) and all(
        f"{number:2}  {choices[number]}" in page.text for number in choices
    )
    assert assistant.reply("2").topic == page.items[1]["name"] == "headcount"


def test_a_number_never_writes_down_an_example(assistant):
    page = assistant.reply("help")
    records = assistant.to_edit()
    events = len(assistant.nursery.store.events())
    assert records == {at for at, item in enumerate(page.items, 1) if item["name"] == "record"} and len(records) > 4
    for number in sorted(records):
        assert assistant.reply(str(number)).status != "recorded"
        assistant.reply("help")
    assert len(assistant.nursery.store.events()) == events


def test_every_sentence_of_the_help_page_is_taken_for_what_it_stands_under(assistant):
    page = assistant.reply("help")
    for item in page.items:
        assistant.new_conversation()
        heard = assistant.understood(item["reason"])
        assert heard.topic == item["name"] and heard.kind != "unsure", item["reason"]
