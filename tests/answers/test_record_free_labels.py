"""The letter that a find gets when the keeper names none: no cohort of any day has it, whatever day the find is told of."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

KNOWLEDGE = load()
NOW = datetime(2026, 6, 20, 9, 0)


@pytest.fixture
def talk(tmp_path):
    with Store.open(tmp_path / "nursery.db") as store:
        talk = Assistant(Nursery(store, KNOWLEDGE, datetime(2026, 6, 10, 9, 0)))
        assert talk.reply("found 6 Papilio machaon eggs on fennel, jar 1").about["cohort"] == "A"
        assert talk.reply("found 3 Aglais io larvae on nettle, tub 1", datetime(2026, 6, 18, 9, 0)).about["cohort"] == "B"
        talk.nursery.at(NOW)
        yield talk


@pytest.mark.parametrize(
    "line",
    [
        "found 4 Papilio machaon eggs on dill, jar 2 on 5 June",
        "found 4 painted lady larvae on thistle, tub 2 on 5 June",
        "found 4 painted lady larvae on thistle, tub 2 on 12 June",
        "20 painted lady eggs laid on thistle, tub 2 on 5 June",
        "found 4 painted lady larvae on thistle, tub 2",
    ],
)
def test_a_find_of_an_earlier_day_joins_no_later_cohort(talk, line):
    answer = talk.reply(line)
    assert (answer.status, answer.about["cohort"]) == ("recorded", "C"), answer.text
    assert {label: cohort.first_when[:10] for label, cohort in talk.nursery.ledger.cohorts.items() if label in "AB"} == {
        "A": "2026-06-10",
        "B": "2026-06-18",
    }


def test_two_finds_of_one_line_get_two_letters(talk):
    answer = talk.reply("found 4 painted lady larvae on thistle, tub 2 on 5 June and 2 peacock larvae on nettle, tub 1")
    assert [item["cohort"] for item in answer.items] == ["C", "D"], answer.text


def test_a_find_joins_no_cohort_that_is_dated_ahead(talk):
    talk.nursery.at(datetime(2026, 6, 3, 9, 0))
    assert talk.reply("found 4 painted lady larvae on thistle, tub 2").about["cohort"] == "C"


def test_a_letter_that_is_free_again_is_given(talk):
    talk.reply("undo")
    assert talk.reply("found 4 painted lady larvae on thistle, tub 2 on 5 June").about["cohort"] == "B"


def test_a_split_of_an_earlier_day_is_offered_a_letter_that_no_later_cohort_has(talk):
    talk.reply("found 5 painted lady larvae on thistle, tub 2 on 5 June")
    answer = talk.reply("split 2 of C off on 7 June")
    assert answer.status == "clarify" and all("off as D" in option for option in answer.options), answer


def test_an_imported_row_without_a_cohort_joins_none_of_a_later_day(talk, tmp_path):
    table = tmp_path / "older.csv"
    table.write_text(
        "when,what,species,stage,count,enclosure\n2026-06-05,found,Papilio machaon,egg,4,jar 2\n2026-06-01,found,Vanessa cardui,larva,2,tub 2\n"
    )
    assert not import_file(table, talk.nursery.store).faults
    talk.nursery.refresh()
    new = {(one.species, one.first_when) for label, one in talk.nursery.ledger.cohorts.items() if label in "CD"}
    assert new == {("Papilio machaon", "2026-06-05"), ("Vanessa cardui", "2026-06-01")}


def test_a_cohort_of_a_later_day_is_told_as_such_however_its_letter_is_typed(talk):
    answer = talk.reply("2 of b died on 12 June")
    assert answer.status == "clarify" and "Cohort B begins on 2026-06-18" in answer.text
