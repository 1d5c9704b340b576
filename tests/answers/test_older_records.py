"""Wishes to delete or rewrite older records: nothing is written but the taking back of a find that was named and stands alone."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store

KNOWLEDGE = load()


@pytest.fixture
def talk(tmp_path):
    with Store.open(tmp_path / "nursery.db") as store:
        talk = Assistant(Nursery(store, KNOWLEDGE, datetime(2026, 6, 10, 9, 0)))
        talk.reply("found 6 Papilio machaon eggs on fennel, jar 1")
        talk.reply("found 3 Aglais io larvae on nettle, jar 2", datetime(2026, 6, 18, 9, 0))
        talk.new_conversation()
        yield talk


def asked(talk: Assistant, line: str):
    before = talk.nursery.store.events()
    answer = talk.reply(line)
    assert (answer.status, answer.topic) == ("clarify", "undo"), answer.text
    assert talk.nursery.store.events() == before
    return answer


@pytest.mark.parametrize(
    "line", ["delete A", "remove A", "please delete cohort A", "erase all of A", "get rid of A", "delete the records of A"]
)
def test_a_cohort_is_never_deleted(talk, line):
    answer = asked(talk, line)
    assert "never deleted" in answer.text and "6 Old World swallowtail" in answer.text
    assert not any(option.startswith("undo") for option in answer.options) and any("died" in option for option in answer.options)


def test_the_newest_find_may_be_taken_back_instead(talk):
    assert asked(talk, "delete B").options[0] == "undo the find of B"
    assert "Taken back: 3 European peacock" in talk.reply("1").text
    assert list(talk.nursery.ledger.cohorts) == ["A"]


def test_what_became_of_the_animals_may_be_told_instead(talk):
    for number, option in enumerate(asked(talk, "delete A").options, 1):
        talk.new_conversation()
        asked(talk, "delete A")
        told = talk.reply(str(number))
        assert told.status == "recorded" and told.about["cohort"] == "A" and told.values["count"].value == 6, option
        talk.reply("undo")


def test_a_find_that_is_named_is_taken_back_and_no_other(talk):
    asked(talk, "delete B")
    assert "Taken back: 6 Old World swallowtail" in talk.reply("undo the find of A").text
    assert list(talk.nursery.ledger.cohorts) == ["B"]


def test_a_find_that_something_rests_on_stays(talk):
    talk.reply("2 of A hatched")
    answer = asked(talk, "undo the find of A")
    assert "2 of A hatched" in answer.text and "rests on it" in answer.text


def test_a_find_written_with_another_stays(talk):
    talk.reply("found 2 Vanessa cardui larvae on thistle, jar 3 and 4 Danaus plexippus eggs on milkweed, jar 4")
    talk.new_conversation()
    asked(talk, "undo the find of C")


def test_an_older_number_is_put_right_by_sentences_that_are_offered(talk):
    answer = asked(talk, "correct: A had 5 eggs")
    assert answer.options == ("undo the find of A", "counted 5 A eggs in jar 1, the 6 was an estimate")
    assert talk.reply("2").status == "recorded" and talk.nursery.heads(cohort="A")[0][1] == 5


def test_the_last_record_of_the_conversation_is_corrected_at_once(talk):
    talk.reply("found 6 Vanessa cardui larvae on thistle, jar 3")
    assert talk.reply("correct: 5").status == "recorded"
    assert talk.nursery.heads(cohort="C")[0][1] == 5


def test_a_typing_error_is_told_how_to_put_right(talk):
    answer = asked(talk, "I mistyped")
    assert "3 European peacock" in answer.text and answer.options == ("undo",)


@pytest.mark.parametrize(
    ("line", "note"),
    [
        ("note: 7", "7"),
        (
            "note that Peter comes on Sunday to feed A and looks after jar 1",
            "Peter comes on Sunday to feed A and looks after jar 1",
        ),
        (
            "note jar 9 was open for 2 hours at noon yesterday, 3 flies in it",
            "jar 9 was open for 2 hours at noon yesterday, 3 flies in it",
        ),
        (
            "note that the 3 larvae in jar 1 looked limp and Peter saw a wasp",
            "the 3 larvae in jar 1 looked limp and Peter saw a wasp",
        ),
    ],
)
def test_a_note_is_kept_whole(talk, line, note):
    answer = talk.reply(line)
    assert answer.status == "recorded", answer.text
    assert [(item["what"], item["note"]) for item in answer.items] == [("note", note)]


def test_a_number_alone_is_asked_about_as_the_note_it_would_be(talk):
    answer = talk.reply("note 7")
    assert (answer.status, answer.options) == ("clarify", ("note: 7",))
