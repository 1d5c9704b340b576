"""The changes to come against what the conversation answers: the same dates, for every cohort and every change."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from oracle.shelf import NAMED, known, nursery

from nurserytui.answers.board import board
from nurserytui.assistant import Assistant
from nurserytui.pages.calendar import begin, look_ahead, read
from nurserytui.pages.coming_changes import Change, Rest, Wave, foreseen, waves_of
from nurserytui.records.events import Event

PLURAL = {"egg": "eggs", "larva": "larvae", "prepupa": "prepupae", "pupa": "pupae"}
NOW = datetime(2031, 7, 20, 12)


def kept(*events, now=NOW):
    found = nursery([event._replace(id=str(number)) for number, event in enumerate(events)], now)
    assert not found.ledger.faults, found.ledger.faults
    return found


def days(change: Change) -> tuple:
    return tuple(one and one.date().isoformat() for one in (change.first, change.middle, change.last))


def answered(nursery, row, wave: Wave, event: str) -> tuple | None:
    """First, middle and last as the conversation says them; of one animal, the bounds of its day."""
    label = row.label
    whose = label if len(row.waves) == 1 else f"the {PLURAL[wave.stage]} of {label}"
    line = f"how long until {whose} {event}{'es' if event == 'hatch' else 's'}"
    answer = Assistant(nursery).reply(line)
    assert (answer.topic, answer.about.get("cohort"), answer.about.get("event")) == ("stage-forecast", label, event), line
    values = answer.values
    if answer.items[0]["count"] == 1:
        return values["median"].low, values["median"].value, values["median"].high
    assert answer.items[0]["count"] == wave.count, line
    return values["first"].value, values["median"].value, values["last"].value


@pytest.mark.parametrize("name", NAMED)
def test_every_date_is_the_one_that_the_conversation_answers(name):
    nursery, compared = known(name), 0
    for row in read(nursery).rows:
        for wave in row.waves:
            for change in wave.changes:
                # Of larvae with prepupae, the conversation speaks together of pupating only; and eggs that emerge are those that hatch.
                together = change.event == "pupate" or len(wave.counts) == 1
                if together and (len(row.waves) == 1 or (wave.stage, change.event) != ("egg", "emerge")):
                    assert days(change) == answered(nursery, row, wave, change.event), (row.label, change.event)
                    compared += 1
    assert compared >= 14


def test_the_next_change_is_the_one_on_the_board():
    nursery = known("demo")
    rows = {(row.cohort, row.stage): row for row in board(nursery)}
    compared = 0
    for row in read(nursery).rows:
        for wave in row.waves:
            shown = rows[row.label, wave.stage]
            if not wave.changes:
                assert shown.median is None
            elif len(wave.counts) == 1:
                assert (wave.changes[0].event, wave.changes[0].middle) == (shown.next_event, shown.median)
                assert wave.changes[0].overdue is shown.overdue
                compared += 1
    assert compared == 7


def test_changes_come_in_their_order_and_only_the_next_can_be_overdue():
    for name in NAMED:
        for row in read(known(name)).rows:
            for wave in row.waves:
                middles = [change.middle for change in wave.changes]
                assert middles == sorted(middles)
                assert not any(change.overdue for change in wave.changes[1:])
                assert all(change.first <= change.middle <= (change.last or change.middle) for change in wave.changes)


@pytest.mark.parametrize(
    ("species", "stage", "why"),
    [
        ("unknown", "larva", "its species is not known"),
        ("Danaus plexippus", "adult", ""),
    ],
)
def test_what_cannot_be_forecast_says_why(species, stage, why):
    there = kept(Event("2031-07-18", "found", "U", species=species, stage=stage, count=2, enclosure="tub"))
    wave = foreseen(there, "U", *waves_of(there, "U"))
    assert (wave.changes, wave.why) == ((), why)


def test_what_stands_still_in_the_cold_says_so():
    there = kept(
        Event("2031-07-10", "temperature", enclosure="fridge", detail="3 C"),
        Event("2031-07-18", "found", "U", species="Danaus plexippus", stage="egg", count=2, enclosure="fridge"),
    )
    wave = foreseen(there, "U", *waves_of(there, "U"))
    assert wave.changes == () and wave.why == "at the temperatures there hardly anything grows"


def test_eggs_and_larvae_of_one_cohort_go_on_by_themselves_and_prepupae_with_the_larvae():
    there = kept(
        Event("2031-07-10T09:00", "laid", "B", species="Danaus plexippus", stage="egg", count=9, enclosure="jar"),
        Event("2031-07-14", "hatched", "B", count=5),
        Event("2031-07-19", "prepupated", "B", count=1),
    )
    larvae, eggs = waves_of(there, "B")
    assert larvae.counts == (("larva", 4), ("prepupa", 1)) and larvae.stage == "larva" and larvae.changes is None
    assert eggs.counts == (("egg", 4),)
    assert [change.event for change in foreseen(there, "B", larvae).changes] == ["pupate", "emerge"]
    # Ten days old, the others hatched within four: past their day to give up, they have no dates as fresh ones have.
    left = foreseen(there, "B", eggs)
    assert [change.event for change in left.changes] == ["hatch"] and left.changes[0].overdue
    assert left.why.startswith("their day to give up was ")


def test_pupae_in_the_cold_come_out_after_it_and_rest_until_then():
    """98 days of cold are taken: from 1 November they are over on 7 February; the adults come after that."""
    there = kept(
        Event("2030-08-20", "found", "W", species="Papilio troilus", stage="pupa", count=3, enclosure="tub"),
        Event("2030-11-01", "moved", "W", stage="pupa", count=3, enclosure="tub", to="fridge"),
        now=datetime(2030, 12, 1, 9),
    )
    wave = foreseen(there, "W", *waves_of(there, "W"))
    answer = Assistant(there).reply("when can the overwintering pupae of W come out of the fridge")
    assert wave.rest.until == date.fromisoformat(answer.values["warm_up"].value) == date(2031, 2, 7)
    due = answer.values["due"]
    assert [change.event for change in wave.changes] == ["emerge"] and wave.woken
    assert days(wave.changes[0]) == (due.low, due.value, due.high)


def test_pupae_of_one_brood_a_year_rest_and_their_emergence_is_held_back():
    there = kept(
        Event("2031-07-18", "found", "M", species="Hyalophora cecropia", stage="larva", instar=4, count=3, enclosure="sleeve")
    )
    wave = foreseen(there, "M", *waves_of(there, "M"))
    assert wave.rest.stage == "pupa" and wave.rest.sure and wave.rest.until == date(2032, 5, 1)
    assert [change.event for change in wave.free] == ["pupate"] and [change.event for change in wave.held] == ["emerge"]


@pytest.mark.parametrize(
    ("origin", "when", "rests"), [("laid", "2031-07-15", True), ("laid", "2031-04-15", False), ("found", "2031-07-15", False)]
)
def test_larvae_that_winter_rest_only_where_they_are_known_to_be_this_seasons(origin, when, rests):
    there = kept(
        Event(when, origin, "S", species="Speyeria cybele", stage="egg", count=6, enclosure="box"), now=datetime(2031, 7, 16, 9)
    )
    wave = foreseen(there, "S", *waves_of(there, "S"))
    assert bool(wave.rest) is rests and bool(wave.note) is not rests
    late = wave.changes[0].overdue  # eggs of three months
    assert [change.event for change in wave.free] == (["hatch"] if rests or late else ["hatch", "pupate", "emerge"])
    assert late is (when == "2031-04-15") is wave.why.startswith("their day to give up was ")


def test_pupae_of_two_months_are_resting_not_overdue():
    there = kept(Event("2031-03-01", "found", "R", species="Papilio polyxenes", stage="pupa", count=2, enclosure="cold box"))
    wave = foreseen(there, "R", *waves_of(there, "R"))
    assert wave.rest.long and wave.rest.sure and not wave.free and not wave.held[0].overdue


def test_cohorts_are_worked_out_one_by_one():
    there = known("demo")
    page = begin(there)
    assert set(page.waiting) == {"A", "B", "C", "D", "E", "F", "G", "H", "K"}
    further = look_ahead(there, page, ("B",))
    assert set(page.waiting) - set(further.waiting) == {"B"}
    assert [row.label for row in further.rows] == [row.label for row in page.rows]


def test_a_chance_is_likely_from_a_half_and_sure_from_nine_in_ten():
    def rest(low, high, long=False):
        return Rest("pupa", low, high, date(2032, 5, 1), long)

    assert [rest(0.1, 0.49).likely, rest(0.1, 0.5).likely, rest(0.0, 0.1, True).likely] == [False, True, True]
    assert [rest(0.89, 1.0).sure, rest(0.9, 0.9).sure, rest(0.0, 0.1, True).sure] == [False, True, True]
