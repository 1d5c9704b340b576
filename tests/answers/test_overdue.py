"""Overdue is one judgement: the board, the strip above the page and the round count the same groups."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from oracle.nurseries import random_events

from nurserytui.answers.board import board
from nurserytui.answers.overdue import overdue
from nurserytui.answers.tasks import tasks
from nurserytui.assistant import Assistant
from nurserytui.exports.calendar_file import calendar
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.pages.coming_changes import foreseen, waves_of
from nurserytui.records.events import Event
from nurserytui.records.store import Store

KNOWLEDGE = load()
NOON = datetime(2031, 7, 20, 12)
WHITE = Event(
    "2031-07-01T12:00", "laid", "W", species="Pieris rapae", stage="egg", count=10, enclosure="jar", host="Brassica oleracea"
)
"""Eggs that hatch within a week in a room: nineteen days later they are overdue."""
TWIN = WHITE._replace(cohort="X")
PUPA = Event("2031-03-01", "found", "R", species="Papilio polyxenes", stage="pupa", count=2, enclosure="cold box")
"""Pupae since March: by July they rest, by the rule of two months."""


def nursery(store, *events: Event, now: datetime = NOON) -> Nursery:
    assert not store.append(events).faults
    return Nursery(store, KNOWLEDGE, now)


def late(kept: Nursery) -> list:
    return [task for task in tasks(kept, kept.now.replace(hour=23, minute=59)) if task.kind == "late"]


def groups_on_the_board(kept: Nursery) -> set[tuple]:
    return {(row.cohort, row.enclosure, row.stage) for row in board(kept) if row.overdue}


def test_two_cohorts_in_one_enclosure_are_two_groups_and_one_look():
    kept = nursery(Store.memory(), WHITE, TWIN)
    assert [(one.cohort, one.count) for one in overdue(kept)] == [("W", 10), ("X", 10)]
    assert groups_on_the_board(kept) == {("W", "jar", "egg"), ("X", "jar", "egg")}
    assert [task.cohorts for task in late(kept)] == [("W", "X")]


def test_a_look_today_does_the_work_but_they_are_overdue_still():
    kept = nursery(Store.memory(), WHITE)
    assert late(kept)
    kept.write([Event("2031-07-20T11:00", "checked", "W", enclosure="jar")])
    assert not late(kept) and len(overdue(kept)) == len(groups_on_the_board(kept)) == 1


def test_pupae_that_rest_are_overdue_nowhere():
    kept = nursery(Store.memory(), PUPA)
    (row,) = board(kept)
    assert row.resting and not row.overdue and row.median is None
    assert not overdue(kept) and not late(kept)
    assert "R: 2 pupa" not in calendar(kept)[0]  # no day is made up for them


@pytest.mark.parametrize("when", ["2030-07-01T12:00", "2028-07-01T12:00"])
def test_eggs_of_years_ago_are_more_overdue_than_those_of_this_month(when):
    old = TWIN._replace(when=when)
    kept = nursery(Store.memory(), WHITE, old)
    assert [row.cohort for row in board(kept) if row.overdue] == ["X", "W"]
    assert {one.cohort for one in overdue(kept)} == {"X", "W"}
    (task,) = late(kept)
    assert set(task.cohorts) == {"X", "W"} and "X: its day to give up was" in task.reason
    answer = Assistant(kept).reply("how long until X hatches")
    assert answer.text.startswith("X (10 eggs") and "overdue to hatch" in answer.text
    assert "The day to give up has passed" in answer.text and answer.values["give_up"].value[:7] == when[:7]
    wave = foreseen(kept, "X", *waves_of(kept, "X"))
    assert wave.changes[0].overdue and "give up" in wave.why


@pytest.mark.parametrize(("species", "rests"), [("Danaus plexippus", False), ("Papilio polyxenes", True)])
def test_only_pupae_of_a_kind_that_may_rest_are_taken_to_rest(species, rests):
    kept = nursery(Store.memory(), PUPA._replace(when="2030-07-01", species=species, enclosure="cage"))
    (row,) = board(kept)
    assert (row.resting, row.overdue, bool(overdue(kept)), bool(late(kept))) == (rests, not rests, not rests, not rests)


@pytest.mark.parametrize("seed", range(8))
def test_everywhere_the_same_in_any_nursery(seed):
    events = random_events(seed)
    store = Store.memory()
    assert not store.append(events).faults
    days = sorted({event.day for event in events})
    for day in days[:: max(len(days) // 6, 1)]:
        kept = Nursery(store, KNOWLEDGE, datetime.fromisoformat(day) + timedelta(hours=23))
        found = overdue(kept)
        assert groups_on_the_board(kept) == {(one.cohort, one.enclosure, one.stage) for one in found}
        told = {(cohort, task.enclosure) for task in late(kept) for cohort in task.cohorts}
        assert told <= {(one.cohort, one.enclosure) for one in found}
