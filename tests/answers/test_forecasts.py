"""When animals change, and how long stages last: promises on a nursery of a few lines."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.answers import respond
from nurserytui.answers.board import board
from nurserytui.answers.development import basis
from nurserytui.answers.outlook import outlook, warmer_days
from nurserytui.answers.warmth import ASSUMED, warmth
from nurserytui.assistant import Assistant

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"
LAID = "2031-07-01T12:00,laid,W,,Pieris rapae,egg,,10,jar,,Brassica oleracea,,,"
FOUND = "2031-07-01T12:00,found,W,,Pieris rapae,egg,,10,jar,,Brassica oleracea,,,"
STEADY = "2031-07-01T00:00,temperature,,,,,,,jar,,,21 C,,"
NOW = "2031-07-02T12:00"


@pytest.fixture
def rows(keeping):
    def nursery(*lines: str, now: str = NOW):
        return keeping.nursery("\n".join([HEAD, *lines]), now)

    return nursery


def median(nursery, cohort="W", event="hatch", **rest) -> datetime:
    return outlook(nursery, cohort, event, **rest).median.at


def width(found) -> float:
    return (found.median.high - found.median.low).total_seconds()


def test_a_found_egg_is_nearer_its_hatch_than_a_laid_one(rows):
    assert median(rows(FOUND, STEADY)) < median(rows(LAID, STEADY))


def test_laid_eggs_hatch_about_the_observed_time_after_laying(rows):
    """Observed means for the egg at 21 °C stand in knowledge/; the forecast made at the laying must agree with them."""
    nursery = rows(LAID, STEADY, now="2031-07-01T12:30")
    expected = basis(nursery.knowledge, "Pieris rapae", "egg").stage.curve.days(21.0)
    found = (median(nursery) - datetime(2031, 7, 1, 12)).total_seconds() / 86400
    assert found == pytest.approx(expected, rel=0.06)


@pytest.mark.parametrize("later", ["2031-07-04T09:00,checked,W,,,,,,jar,,,,,"])
def test_a_look_that_saw_nothing_puts_the_hatch_off_and_narrows_it(rows, later):
    without = rows(FOUND, STEADY, now="2031-07-04T09:01")
    looked = rows(FOUND, STEADY, later, now="2031-07-04T09:01")
    assert median(looked) >= median(without)
    early = outlook(rows(FOUND, STEADY, now="2031-07-01T13:00"), "W", "hatch")
    assert width(outlook(looked, "W", "hatch")) < width(early)


def test_hatched_siblings_bring_the_rest_forward(rows):
    slow = rows(LAID, STEADY, "2031-07-04T09:00,checked,W,,,,,,jar,,,,,", now="2031-07-04T09:30")
    quick = rows(
        LAID,
        STEADY,
        "2031-07-03T20:00,checked,W,,,,,,jar,,,,,",
        "2031-07-04T09:00,hatched,W,,,,,5,jar,,,,,",
        now="2031-07-04T09:30",
    )
    assert median(quick) <= median(slow)


@pytest.mark.parametrize(("cool", "warm"), [(15, 20), (20, 25)])
def test_warmth_asked_for_moves_the_date(rows, cool, warm):
    nursery = rows(LAID, STEADY)
    assert median(nursery, celsius=warm) < median(nursery, celsius=cool)


def test_two_degrees_more_is_never_later(rows):
    nursery = rows(LAID, STEADY)
    assert warmer_days(nursery, outlook(nursery, "W", "hatch")) > 0


def test_stages_follow_each_other(rows):
    nursery = rows(LAID, STEADY)
    assert median(nursery) < median(nursery, event="pupate") < median(nursery, event="emerge")


@pytest.mark.parametrize("instars", [(1, 3), (2, 4), (3, 5)])
def test_a_larva_found_at_a_later_instar_pupates_sooner(rows, instars):
    early, late = (
        rows(f"2031-07-01T12:00,found,W,,Pieris rapae,larva,{instar},4,jar,,Brassica oleracea,,,", STEADY) for instar in instars
    )
    assert median(late, event="pupate") < median(early, event="pupate")


def test_a_recorded_moult_counts_more_than_the_day_of_finding(rows):
    found = "2031-07-01T12:00,found,W,,Pieris rapae,larva,2,4,jar,,Brassica oleracea,,,"
    slow = rows(
        found,
        STEADY,
        "2031-07-09T11:00,checked,W,,,,,,jar,,,,,",
        "2031-07-09T12:00,moulted,W,,,,3,4,jar,,,,,",
        now="2031-07-09T13:00",
    )
    unsaid = rows(found, STEADY, now="2031-07-09T13:00")
    assert median(slow, event="pupate") > median(unsaid, event="pupate")


def test_nothing_is_forecast_before_now(rows):
    found = outlook(rows(LAID, STEADY, now="2031-07-20T08:00"), "W", "hatch")
    assert found.first.at >= datetime(2031, 7, 20, 8) and found.overdue_chance < 0.05


def test_an_unknown_species_is_not_guessed(rows, keeping):
    nursery = rows("2031-07-01,found,W,,unknown,egg,,3,jar,,,,,", STEADY)
    answer = respond(keeping.request("when will W hatch", "stage-forecast", cohorts=("W",), event="hatch"), nursery)
    assert outlook(nursery, "W", "hatch") is None
    assert answer.status == "unknown" and "species" in answer.text


def test_without_a_reading_the_assumption_is_said(rows, keeping):
    nursery = rows(LAID)
    assert warmth(nursery, "jar", nursery.now).ahead == ASSUMED
    answer = respond(keeping.request("when will W hatch", "stage-forecast", cohorts=("W",), event="hatch"), nursery)
    assert answer.status == "answered" and "assum" in answer.text and any("assumed" in step for step in answer.working)


def test_one_reading_of_a_low_and_a_high_stands_for_the_days_after_it(rows):
    nursery = rows(LAID, "2031-06-28,temperature,,,,,,,jar,,,18..26 C,,", now="2031-07-05T12:00")
    timeline = warmth(nursery, "jar", datetime(2031, 7, 1)).timeline
    assert timeline.mean(datetime(2031, 7, 1), datetime(2031, 7, 5)) == pytest.approx(22.0, abs=0.1)
    assert timeline.mean(datetime(2031, 7, 6), datetime(2031, 7, 16)) == pytest.approx(22.0, abs=0.1)


def test_a_steady_temperature_asked_for_holds_only_from_now_on(rows):
    nursery = rows(LAID, STEADY)
    timeline = warmth(nursery, "jar", datetime(2031, 7, 1), 30.0).timeline
    assert timeline.celsius(datetime(2031, 7, 2, 11)) == pytest.approx(21.0)
    assert timeline.celsius(datetime(2031, 7, 3)) == pytest.approx(30.0)


def test_the_board_puts_overdue_groups_first_and_is_kept(rows):
    nursery = rows(LAID, STEADY, "2031-07-19,found,V,,Pieris rapae,egg,,3,tub,,Brassica oleracea,,,", now="2031-07-20T08:00")
    lines = board(nursery)
    assert [(row.cohort, row.overdue) for row in lines] == [("W", True), ("V", False)]
    assert all(one is other for one, other in zip(board(nursery), lines, strict=True))


def test_dates_are_days_and_days_left_is_to_the_median(rows, keeping):
    nursery = rows(LAID, STEADY)
    answer = respond(keeping.request("when will W hatch", "stage-forecast", cohorts=("W",), event="hatch"), nursery)
    for name in ("first", "median", "last"):
        value = answer.values[name]
        assert value.low <= value.value <= value.high and len(value.value) == 10 and value.level == 0.9
    left = (median(nursery) - nursery.now).total_seconds() / 86400
    assert answer.values["days_left"].value == pytest.approx(left, abs=0.01)
    assert answer.about["cohort"] == "W" and answer.about["event"] == "hatch"


@pytest.mark.parametrize(
    ("species", "stage", "celsius", "observed"),
    [
        # Allen & Smith 1958, Table 2 (alfalfa caterpillar, constant temperatures), days
        ("Colias eurytheme", "egg", 20, 6.7),
        ("Colias eurytheme", "larva", 20, 30.5),
        ("Colias eurytheme", "pupa", 20, 11.7),
        ("Colias eurytheme", "larva", 30, 10.9),
        ("Colias eurytheme", "pupa", 32, 4.4),
    ],
)
def test_a_stage_lasts_what_was_published(keeping, rows, species, stage, celsius, observed):
    nursery = rows(LAID)
    temperature = (keeping.Amount(celsius, "degC", "temperature", f"{celsius} C"),)
    answer = respond(
        keeping.request(f"how long {stage}", "stage-duration", species=[species], stages=(stage,), amounts=temperature), nursery
    )
    assert answer.values["days"].value == pytest.approx(observed, rel=0.05)
    assert answer.values["days"].low < observed < answer.values["days"].high
    assert any(source.kind == "published" for source in answer.sources)


def test_below_the_threshold_nothing_develops(keeping, rows):
    temperature = (keeping.Amount(2, "degC", "temperature", "2 C"),)
    answer = respond(
        keeping.request("how long", "stage-duration", species=["Colias eurytheme"], stages=("egg",), amounts=temperature),
        rows(LAID),
    )
    assert answer.values["days"].value is None and answer.values["days"].reason


@pytest.mark.parametrize("event", ["hatch", "pupate", "emerge"])
def test_two_degrees_more_is_the_whole_forecast_at_two_degrees_more(rows, event):
    nursery = rows(LAID, STEADY)
    found = outlook(nursery, "W", event)
    whole = found.days_left - outlook(nursery, "W", event, celsius=23.0).days_left
    assert warmer_days(nursery, found) == pytest.approx(whole, abs=0.05)


def test_larvae_first_seen_again_as_pupae_had_hung_up_before(rows):
    """Half of a cohort pupated when published animals do, no prepupa written down: it runs as published."""
    knowledge = rows(STEADY).knowledge
    days = basis(knowledge, "Pieris rapae", "larva").stage.curve.days(21.0)
    pupation = datetime(2031, 7, 1, 12) + timedelta(days=days)
    nursery = rows(
        "2031-06-25T12:00,laid,W,,Pieris rapae,egg,,20,jar,,Brassica oleracea,,,",
        STEADY.replace("07-01", "06-25"),
        "2031-07-01T11:00,checked,W,,,,,,jar,,,,,",
        "2031-07-01T12:00,hatched,W,,,,,20,jar,,,,,",
        f"{pupation:%Y-%m-%dT%H:%M},pupated,W,,,,,10,jar,,,,,",
        now=f"{pupation + timedelta(minutes=30):%Y-%m-%dT%H:%M}",
    )
    assert outlook(nursery, "W", "pupate", stages=("larva",)).shift == pytest.approx(1.0, abs=0.02)


def test_a_species_that_was_never_kept_is_told_of_in_general(rows):
    """It was "there are no living animals", which answers nothing of what lasts how long."""
    answer = Assistant(rows(LAID, STEADY)).reply("when will a painted lady chrysalis open")
    assert (answer.status, answer.topic, answer.about["species"]) == ("answered", "stage-duration", "Vanessa cardui")
