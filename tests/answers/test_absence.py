"""Going away: until when, what cannot wait, what to do before, what happens meanwhile."""

from __future__ import annotations

from datetime import date

import pytest

from nurserytui.answers.absence import absence_of

NOW = "2031-07-20T09:00"  # a Sunday
HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
EGGS = "2031-07-17T10:00,laid,A,,Papilio polyxenes,egg,,9,jar 2,,Foeniculum vulgare,,,\n"
LARVAE = "2031-07-10,found,B,,Papilio polyxenes,larva,2,5,tub 9,,Foeniculum vulgare,,,\n2031-07-20T08:00,fed,,,,,,,tub 9,,,,,\n"
RESTING = "2031-01-10,found,K,,Hyalophora cecropia,pupa,,6,cold box,,,,,\n2031-07-19,checked,K,,,,,,cold box,,,,,\n"


@pytest.mark.parametrize(
    ("line", "start", "end"),
    [
        ("I'm away until the 23rd", "2031-07-20", "2031-07-23"),
        ("we are gone from friday to monday", "2031-07-25", "2031-07-28"),
        ("going away friday to monday", "2031-07-25", "2031-07-28"),
        ("I leave tomorrow and come back on Thursday", "2031-07-21", "2031-07-24"),
        ("on holiday until 2 August", "2031-07-20", "2031-08-02"),
        ("i am off for the weekend", "2031-07-20", "2031-07-20"),
    ],
)
def test_from_when_to_when(keeping, line, start, end):
    nursery = keeping.nursery(HEAD + EGGS, now=NOW)
    found = absence_of(keeping.request(line, "round"), nursery)
    assert (found.start, found.until.date()) == (date.fromisoformat(start), date.fromisoformat(end))


@pytest.fixture
def away(ask, keeping):
    def asked(rows, text="i'm away until the 24th"):
        return ask("round", text, nursery=keeping.nursery(HEAD + rows, now=NOW))

    return asked


def test_larvae_and_hatchlings_cannot_wait(away):
    answer = away(EGGS + LARVAE)
    assert answer.text.startswith("Away until Thu 24 July (2031-07-24), 4 days: 2 things cannot wait")
    assert "Leaf every day for 5 larvae in 1 enclosure: tub 9" in answer.text
    assert "Eggs of A" in answer.text and "tender leaf within a day" in answer.text
    assert answer.values["days"].value == 4


def test_pupae_that_rest_need_nobody(away):
    answer = away(RESTING)
    assert "nothing needs anyone while you are gone" in answer.text


def test_whether_stems_last_is_told_from_the_card(away):
    # fennel keeps 3-5 days by its card: not surely four, surely three
    assert "Cut fennel will not last: 3-5 days" in away(LARVAE).text
    assert "Cut fennel on the day you leave: it keeps 3-5 days" in away(LARVAE, "i'm away until the 23rd").text


def test_the_meanwhile_has_the_changes_in_their_order(away):
    answer = away(EGGS + LARVAE)
    changes = [item for item in answer.items if item["kind"] == "due"]
    assert changes and [item["due"] for item in changes] == sorted(item["due"] for item in changes)


def test_a_day_that_is_over_is_no_absence_to_come(ask, keeping):
    nursery = keeping.nursery(HEAD + EGGS, now=NOW)
    assert absence_of(keeping.request("what happened while i was away", "round"), nursery) is None
