"""Release and overwintering."""

from __future__ import annotations

import pytest

from nurserytui.language.request import Named, Request

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"


@pytest.mark.parametrize(
    ("value", "unit", "said", "words"),
    [
        (50, "degF", "50 F", "too cold"),
        (14, "degC", "14 C", "cold side"),
        (60.5, "degF", "60.5 F", "sunny, calm"),
        (22, "degC", "22 C", "warm enough"),
        (38, "degC", "38 C", "very hot"),
    ],
)
def test_temperature_for_a_release(ask, keeping, value, unit, said, words):
    answer = ask("release", f"is {said} ok", amounts=(keeping.Amount(value, unit, "temperature", said),))
    assert words in answer.text.split("\n")[0] and answer.sources and answer.cautions


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("raining all day release or keep it in", "Keep it in"),
        ("what can I feed one I am holding back", "Sugar or honey"),
        ("can I let it go at dusk", "wait for the morning"),
        ("it can't fly should I release it", "Do not release"),
        ("how long after it comes out", "4 hours"),
    ],
)
def test_reasons_for_and_against(ask, text, words):
    assert words in ask("release", text).text.split("\n")[0]


def test_ready_when_the_wings_are_dry(ask, keeping):
    rows = "2031-08-01,found,Z,,Vanessa cardui,pupa,,2,box,,,,,\n2031-08-10T07:30,emerged,Z,,,,,2,box,,,,,\n"
    ready = ask("release", "can I release Z", nursery=keeping.nursery(HEAD + rows), cohorts=("Z",)).values["ready_at"]
    assert (ready.value, ready.low, ready.high) == ("2031-08-10T11:30", "2031-08-10T08:30", "2031-08-11T07:30")


def test_not_ready_where_none_has_emerged(ask):
    answer = ask("release", "can I release Q", cohorts=("Q",))
    assert answer.values["ready_at"].value is None and "None of cohort Q has emerged" in answer.text


@pytest.mark.parametrize(
    ("species", "text", "stages", "first"),
    [
        ("Danaus plexippus", "do monarchs overwinter as a chrysalis", ("pupa",), "No: monarch"),
        ("Speyeria cybele", "what stage does it winter in", (), "Great spangled fritillary (Speyeria cybele) winters as a larva"),
        ("Papilio polyxenes", "does it winter as a pupa", ("pupa",), "Yes: eastern black swallowtail"),
        ("Vanessa cardui", "how does it winter", (), "Painted lady (Vanessa cardui) does not rest"),
    ],
)
def test_the_stage_that_winters(ask, species, text, stages, first):
    answer = ask("overwintering", text, species=[species], stages=stages)
    assert answer.text.startswith(first) and answer.sources and answer.cautions


def test_several_meanings_that_winter_alike_are_answered_together(small):
    from nurserytui import answers

    named = Named("swallowtail", ("Papilio polyxenes", "Papilio troilus"), usual=False)
    kept = Request(
        "how do I keep swallowtail pupae over winter", "overwintering", species=(named,), plain="how do i keep them over winter"
    )
    small.ledger.cohorts.clear()
    answer = answers.respond(kept, small)
    assert answer.status == "answered" and "winters as a pupa" in answer.text


def test_day_length_needs_a_latitude(ask):
    answer = ask("overwintering", "will they diapause", species=["Papilio troilus"])
    assert (
        answer.values["daylength"].value is None
        and answer.values["daylength"].reason
        and answer.values["probability"].value is None
    )


@pytest.mark.parametrize(("month", "low", "high"), [(6, 0.0, 0.15), (9, 0.9, 1.0), (11, 0.9, 1.0)])
def test_shorter_days_make_rest_likelier(ask, month, low, high):
    answer = ask(
        "overwintering",
        "will they diapause at 40 north",
        species=["Papilio troilus"],
        period=(f"2031-{month:02}-15", f"2031-{month:02}-16"),
    )
    chance = answer.values["probability"]
    assert low <= chance.value <= high and chance.low <= chance.value <= chance.high and answer.values["daylength"].unit == "hour"


def test_a_species_without_resting_stage_is_never_to_be_chilled(ask):
    answer = ask("overwintering", "can I put it in the fridge", species=["Danaus plexippus"])
    assert answer.values["probability"].value <= 0.05 and "Do not chill" in answer.cautions[0]


def test_hours_of_daylight_stand_first_where_they_are_asked_for(ask):
    answer = ask("overwintering", "how many hours of daylight at latitude 40")
    hours = answer.values["daylength"].value
    assert answer.text.startswith(f"{int(hours)} h ") and "latitude 40°" in answer.text.split("\n")[0]
