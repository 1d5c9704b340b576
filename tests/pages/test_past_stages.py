"""The stages so far against the events that they come from, and against a nursery that follows every single animal."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from oracle.crowd import Crowd
from oracle.nurseries import nurseries
from oracle.shelf import NAMED, known, nursery

from nurserytui.pages.past_stages import Window, most_of, past_of
from nurserytui.records.events import Event

NOW = datetime(2031, 7, 20, 12)
JULY = {day: datetime(2031, 7, day) for day in range(1, 21)}
MIDNIGHT = timedelta(hours=23, minutes=59, seconds=59)


def kept(*events, now=NOW):
    found = nursery([event._replace(id=str(number)) for number, event in enumerate(events)], now)
    assert not found.ledger.faults, found.ledger.faults
    return found


def day(number: int) -> Window:
    return Window(JULY[number], JULY[number] + MIDNIGHT)


LAID = Event("2031-07-01T09:00", "laid", "B", species="Danaus plexippus", stage="egg", count=10, enclosure="jar")


def test_a_change_lies_between_the_look_before_it_and_its_own():
    past = past_of(
        kept(
            LAID,
            Event("2031-07-03T08:00", "checked", "B", enclosure="jar"),
            Event("2031-07-05", "hatched", "B", count=8),
            Event("2031-07-06T10:00", "died", "B", stage="egg", count=2, detail="dried up"),
        ),
        "B",
    )
    egg, larva = past.stages
    assert [(one.count, one.how, one.window) for one in egg.came] == [(10, "laid", Window(*[datetime(2031, 7, 1, 9)] * 2))]
    assert (egg.still, egg.gone) == (0, Window(*[datetime(2031, 7, 6, 10)] * 2))
    between = Window(datetime(2031, 7, 3, 8), JULY[5] + MIDNIGHT)
    assert [(one.count, one.how, one.window) for one in larva.came] == [(8, "changed", between)]
    assert (larva.still, larva.gone) == (8, None)
    assert [(span.stage, span.since, span.until) for span in past.spans] == [
        ("egg", egg.came[0].window, between),
        ("larva", between, None),
    ]
    assert past.fates == (("died", 2),) and past.end is None


@pytest.mark.parametrize(
    ("last", "mark", "fates"),
    [
        ([Event("2031-07-04", "died", "B", count=10)], "died", (("died", 10),)),
        ([Event("2031-07-03", "died", "B", count=4), Event("2031-07-04", "given", "B", count=6)], "gone", None),
        ([Event("2031-07-04", "missing", "B", count=10)], "gone", (("missing", 10),)),
    ],
)
def test_the_end_is_marked_by_what_befell_most(last, mark, fates):
    past = past_of(kept(LAID, *last), "B")
    assert past.end.mark == mark and past.end.window == day(4)
    assert past.fates == (fates or (("given away", 6), ("died", 4)))


def test_those_that_were_released_are_the_end_though_the_last_died():
    found = Event("2031-07-01", "found", "B", species="Vanessa atalanta", stage="pupa", count=5, enclosure="jar")
    past = past_of(
        kept(
            found,
            Event("2031-07-05", "emerged", "B", count=4),
            Event("2031-07-06", "released", "B", stage="adult", count=4),
            Event("2031-07-09", "died", "B", count=1),
        ),
        "B",
    )
    assert past.end.mark == "released" and past.end.window == day(9)
    assert [span.stage for span in past.spans] == ["pupa", "adult", "pupa"]


def test_animals_split_off_come_from_the_other_cohort_and_those_merged_go_on_there():
    both = kept(
        LAID,
        Event("2031-07-05", "hatched", "B", count=10),
        Event("2031-07-08", "split", "B", stage="larva", count=3, to="K"),
        Event("2031-07-10", "merged", "B", to="K"),
    )
    split, merged = past_of(both, "K").stages[0].came
    assert (split.count, split.how, split.source, split.window) == (3, "joined", "B", day(8))
    assert (merged.count, merged.how, merged.source, merged.window) == (7, "joined", "B", day(10))
    left = past_of(both, "B")
    assert left.end.mark == "gone" and left.end.window == day(10) and left.fates == (("gone on in cohort K", 10),)
    # The look before the hatching was the laying: that is known though all of them belong to K now.
    assert left.stages[1].came[0].window == Window(datetime(2031, 7, 1, 9), JULY[5] + MIDNIGHT)


def test_a_pupa_that_lasted_over_the_shortest_day_is_marked_as_wintering():
    events = (
        Event("2030-08-20", "found", "W", species="Papilio polyxenes", stage="larva", count=2, enclosure="tub"),
        Event("2030-09-01", "pupated", "W", count=2),
        Event("2031-05-01", "emerged", "W", count=2),
    )
    past = past_of(kept(*events), "W")
    assert [(span.stage, span.winter) for span in past.spans] == [("larva", False), ("pupa", True), ("adult", False)]
    assert [(stage.stage, stage.winter) for stage in past.stages] == [("larva", False), ("pupa", True), ("adult", False)]
    south = Event("2030-08-19", "setting", detail="latitude=-37")
    assert not any(span.winter for span in past_of(kept(south, *events), "W").spans)


@pytest.mark.parametrize(
    ("counts", "stage"),
    [
        ({"egg": 3, "larva": 2}, "egg"),
        ({"egg": 3, "larva": 3}, "larva"),
        ({"larva": 4, "prepupa": 3, "pupa": 5}, "larva"),
        ({"larva": 2, "prepupa": 3}, "prepupa"),
        ({"egg": 0}, ""),
        ({}, ""),
    ],
)
def test_the_stage_of_most(counts, stage):
    assert most_of(counts) == stage


def agrees(nursery) -> None:
    """Every stage, count and majority against the life stories of the single animals."""
    crowd = Crowd(nursery.store.events(), nursery.now)
    for label in nursery.ledger.cohorts:
        past = past_of(nursery, label)
        told: dict[str, int] = {}
        here: dict[str, int] = {}
        for animal in crowd.animals:
            stages = [line.stage for line in animal.story if line.cohort.label == label and line.fate == "here"]
            told |= dict.fromkeys(stages, 0)
            if animal.fate == "here" and animal.cohort.label == label:
                here[animal.stage] = here.get(animal.stage, 0) + 1
        assert {stage.stage for stage in past.stages} == set(told)
        assert {stage.stage: stage.still for stage in past.stages if stage.still} == here
        assert (past.end is None) is bool(here)
        assert all(stage.gone is None if stage.still else stage.gone for stage in past.stages)
        assert all(one.until == after.since for one, after in zip(past.spans, past.spans[1:], strict=False) if one.until)
        assert all(one.window.early <= one.window.late for stage in past.stages for one in stage.came)
        if here:
            assert past.spans[-1].until is None and past.spans[-1].stage == most_of(here)


@pytest.mark.parametrize("name", NAMED)
def test_the_nurseries_that_are_known(name):
    agrees(known(name))


@settings(max_examples=25, deadline=None)
@given(nurseries())
def test_any_nursery(events):
    agrees(nursery(events, datetime.fromisoformat(events[-1].when[:10]) + timedelta(hours=23)))
