"""Forecasts lean on what was written down: the instar recorded, the day a larva hung up, the sisters that hatched."""

from __future__ import annotations

import pytest

from nurserytui.answers.outlook import outlook
from nurserytui.answers.tasks import tasks

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"


@pytest.fixture
def nursery(keeping):
    return lambda now, *rows: keeping.nursery("\n".join([HEAD, *rows]), now)


def row(when: str, what: str, stage="", instar="", count="", place="jar", species="", to="") -> str:
    return f"{when},{what},W,,{species},{stage},{instar},{count},{place},{to},,,,"


SLOW = (
    row("2031-06-01T12:00", "laid", "egg", count=8, species="Hyalophora cecropia"),
    row("2031-06-10T12:00", "hatched", count=8),
)


def test_two_instars_ahead_are_not_over_in_three_days(nursery):
    """Twenty days for two instars of five, a third of larval time: the rest takes some forty at that pace."""
    moulted = row("2031-06-30T12:00", "moulted", instar=3, count=8)
    found = outlook(nursery("2031-07-03T09:00", *SLOW, moulted), "W", "pupate")
    assert found.days_left > 20
    assert any(step.startswith("Own pace:") and "slower" in step for step in found.working)
    usual = outlook(nursery("2031-07-03T09:00", *SLOW), "W", "pupate")
    assert found.median.at > usual.median.at


def test_a_moult_in_time_leaves_the_forecast_near_the_published_one(nursery):
    soon = row("2031-06-21T12:00", "moulted", instar=3, count=8)
    found = outlook(nursery("2031-06-22T09:00", *SLOW, soon), "W", "pupate")
    usual = outlook(nursery("2031-06-22T09:00", *SLOW), "W", "pupate")
    assert abs((found.median.at - usual.median.at).days) <= 5


def test_a_prepupa_written_down_yesterday_is_not_overdue_though_nobody_looked_for_a_fortnight(nursery):
    found = (
        row("2031-06-27", "found", "larva", 5, 1, species="Vanessa atalanta"),
        row("2031-07-11", "prepupated", count=1),
    )
    early = outlook(nursery("2031-07-12T08:00", *found), "W", "pupate", stages=("prepupa",))
    assert not early.overdue and early.overdue_chance > 0.2
    late = outlook(nursery("2031-07-17T08:00", *found), "W", "pupate", stages=("prepupa",))
    assert late.overdue


def test_what_was_carried_in_as_a_larva_has_not_pupated_before_it(nursery):
    rows = (
        row("2031-06-20", "found", "larva", 3, 3, place="box", species="Papilio polyxenes"),
        row("2031-07-07", "moved", "larva", count=3, place="box", to="tub"),
        row("2031-07-12", "pupated", count=3, place="tub"),
    )
    (group,) = [one for one in outlook(nursery("2031-07-12T10:00", *rows), "W", "emerge").groups if one.count]
    assert f"{group.entry.after:%Y-%m-%d}" == "2031-07-07"


CLUTCH = (
    row("2031-07-06T11:00", "laid", "egg", count=24, species="Dione vanillae"),
    "2031-07-06T00:00,temperature,,,,,,,jar,,,25 C,,",
    row("2031-07-11", "hatched", count=9),
)


def test_eggs_whose_sisters_hatched_within_a_day_are_not_given_up(nursery):
    early = outlook(nursery("2031-07-12T08:00", *CLUTCH), "W", "hatch", stages=("egg",))
    assert not early.overdue and early.spared is not None
    late = outlook(nursery("2031-07-16T08:00", *CLUTCH), "W", "hatch", stages=("egg",))
    assert late.overdue


@pytest.mark.parametrize("now", ["2031-07-12T08:00", "2031-07-13T08:00"])
def test_the_day_to_give_up_lies_beyond_the_day_after_the_first_hatched(nursery, now):
    from nurserytui.answers.lateness import lateness

    kept = nursery(now, *CLUTCH)
    given = lateness(kept, outlook(kept, "W", "hatch", stages=("egg",))).give_up
    assert given.at is None or f"{given.at:%Y-%m-%d}" >= "2031-07-13"


def test_an_expected_day_is_the_same_whatever_day_is_asked_for(nursery):
    from datetime import datetime

    rows = (row("2031-07-01T12:00", "found", "pupa", count=4, species="Vanessa atalanta"),)
    kept = nursery("2031-07-02T08:00", *rows)
    days = {
        task.due
        for day in range(3, 30)
        for task in tasks(kept, datetime(2031, 7, day, 23, 59, 59))
        if task.event == "emerge" and task.kind == "due"
    }
    assert len(days) == 1
