"""What a stocktake does where animals are missing: they are back as something they can have become, and as many stand there as counted."""

from __future__ import annotations

import pytest

from nurserytui.records.events import Event
from nurserytui.records.ledger import replay

SPECIES = "Pieris rapae"
SOME = Event("2031-05-01", "found", "A", species=SPECIES, stage="larva", instar=3, count=3, enclosure="jar")
PUPA = SOME._replace(stage="pupa", instar=None, count=1, enclosure="box")
MARKED = SOME._replace(mark="1", count=1)


def lost(stage, **more):
    return Event("2031-05-02", "missing", "A", count=1, stage=stage, **more)


def counted(count, **more):
    return Event("2031-05-03", "counted", "A", count=count, **more)


def heads(ledger):
    return {(key.mark, key.stage, key.instar, key.enclosure): count for key, count in ledger.heads.items()}


@pytest.mark.parametrize(
    ("before", "event", "after"),
    [
        pytest.param([SOME, lost("larva")], counted(3), {("", "larva", 3, "jar"): 3}, id="the one that was missing is back"),
        pytest.param(
            [SOME, MARKED, lost("larva", mark="1"), lost("larva")],
            counted(3),
            {("", "larva", 3, "jar"): 3},
            id="one without a mark is back before one that has a mark",
        ),
        pytest.param(
            [SOME, lost("larva")],
            counted(1, stage="pupa"),
            {("", "larva", 3, "jar"): 2, ("", "pupa", None, "jar"): 1},
            id="the missing one is back in the stage that was counted",
        ),
        pytest.param(
            [SOME, lost("larva")],
            counted(1, enclosure="box"),
            {("", "larva", 3, "jar"): 2, ("", "larva", 3, "box"): 1},
            id="the missing one is back in the enclosure that was counted",
        ),
    ],
)
def test_who_is_back(before, event, after):
    ledger = replay([*before, event])
    assert not ledger.faults
    assert heads(ledger) == after


@pytest.mark.parametrize(
    ("before", "event", "reason"),
    [
        pytest.param(
            [SOME, PUPA, lost("pupa")],
            counted(4),
            "cohort A has 3 larvae in jar, not 4, and the missing are 1 pupa in box: say which are back",
            id="a missing pupa is not back as a larva",
        ),
    ],
)
def test_who_cannot_be_back(before, event, reason):
    ledger = replay([*before, event])
    assert [fault.reason for fault in ledger.faults] == [reason]


def test_counting_one_marked_animal_says_nothing_of_the_others_that_were_guessed():
    guessed = SOME._replace(count=30, estimate=True)
    one = Event("2031-05-02", "checked", "A", mark="1")
    assert replay([guessed, one, counted(1, mark="1")]).cohorts["A"].estimate
    assert not replay([guessed, one, counted(30)]).cohorts["A"].estimate
