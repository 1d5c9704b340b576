"""Readings, means and degree-days, in the unit asked for."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.answers.measured_sums import heat_sum, weighted_mean
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store

ASKED = [
    ("mean temperature in the jar", {}, "mean", 23.2, "°C"),
    ("mean temperature in the jar in fahrenheit", {}, "mean", 73.8, "°F"),
    ("how hot did the jar get", {}, "highest", 30.0, "°C"),
    ("lowest in the jar in F", {}, "lowest", 68.0, "°F"),
    ("latest reading in the jar", {}, "latest", 24.0, "°C"),
]


@pytest.mark.parametrize(("text", "slots", "name", "value", "unit"), ASKED)
def test_readings_of_an_enclosure(ask, text, slots, name, value, unit):
    answer = ask("temperature", text, enclosures=("jar",), **slots)
    assert answer.values[name].value == pytest.approx(value, abs=0.06)
    assert answer.values[name].unit == unit
    assert f"{answer.values[name].value:.1f}".removesuffix(".0") in answer.text.splitlines()[0]


def test_the_keepers_unit_holds_where_none_is_said(ask, keeping):
    warm = keeping.nursery(keeping.EVENTS + "2031-08-01,setting,,,,,,,,,,units=F,,\n")
    assert ask("temperature", "mean in the jar", nursery=warm, enclosures=("jar",)).values["mean"].unit == "°F"


def test_degree_days_of_days_with_readings(ask, keeping):
    ten = (keeping.Amount(10, "degC", "temperature", "10 C"),)
    answer = ask("temperature", "degree days above 10 C in the jar", enclosures=("jar",), amounts=ten)
    # 7 August from 20 to 30: 15; 8 August from 20 to 24: 12
    assert answer.values["degree_days"].value == pytest.approx(27, abs=0.01)
    fifty = (keeping.Amount(50, "degF", "temperature", "50 F"),)
    answer = ask("temperature", "degree days above 50 F in the jar", enclosures=("jar",), amounts=fifty)
    assert answer.values["degree_days"].value == pytest.approx(27 * 1.8, abs=0.06)


@pytest.mark.parametrize("words", ["day degrees above", "how many day-degrees over", "accumulated heat over", "heat units above"])
def test_degree_days_in_other_words(ask, keeping, words):
    ten = (keeping.Amount(10, "degC", "temperature", "10 C"),)
    answer = ask("temperature", f"{words} 10 C in the jar", enclosures=("jar",), amounts=ten)
    assert answer.values["degree_days"].value == pytest.approx(27, abs=0.01)


def test_days_without_readings_are_left_out_and_said(ask, keeping):
    ten = (keeping.Amount(10, "degC", "temperature", "10 C"),)
    answer = ask(
        "temperature",
        "degree days above 10 C since 6 August",
        enclosures=("jar",),
        amounts=ten,
        period=("2031-08-06", "2031-08-10T09:00"),
    )
    assert answer.values["degree_days"].value == pytest.approx(27, abs=0.01)
    assert "2 days without readings left out" in answer.text


def test_the_species_gives_the_base(ask):
    answer = ask("temperature", "degree days for fennel-2", cohorts=("fennel-2",))
    assert answer.values["base"].value > 0 and "base" in " ".join(answer.working).casefold()
    assert any(source.kind != "own records" for source in answer.sources)


def test_without_a_base_it_asks(ask):
    answer = ask("temperature", "degree days so far")
    assert answer.status == "clarify" and answer.options


def test_where_nothing_was_measured(ask):
    answer = ask("temperature", "how warm is box D", enclosures=("box D",))
    assert answer.status == "unknown" and "jar" in answer.text
    assert ask("temperature", "mean in 2030", enclosures=("jar",), period=("2030-01-01", "2031-01-01")).status == "unknown"


START = datetime(2031, 8, 1)


def at(hours: float, celsius: float) -> Reading:
    return Reading(START + timedelta(hours=hours), "jar", celsius, celsius)


def test_the_mean_weighs_by_time():
    assert weighted_mean([at(0, 10), at(1, 10), at(2, 10), at(4, 20)]) == pytest.approx(
        (10 * 1 + 10 * 1 + 10 * 1.5 + 20 * 2) / 5.5
    )
    assert weighted_mean([at(0, 21)]) == 21


def test_dense_readings_follow_the_readings():
    readings = [at(hour, 20) for hour in range(25)]
    total, _ = heat_sum(readings, 12)
    assert total == pytest.approx(8, rel=0.01)


def test_a_place_that_only_a_logger_names_is_found(keeping):
    """Places of logger files were once asked for under a name that the store does not have, and never listed."""
    from datetime import datetime

    from nurserytui.answers.temperature import measured_places
    from nurserytui.knowledge.base import load
    from nurserytui.nursery import Nursery
    from nurserytui.records.readings import Reading
    from nurserytui.records.store import Store

    with Store.memory() as store:
        store.add_readings([Reading(datetime(2031, 8, 1, 10), "greenhouse", 24.0, 24.0)])
        assert measured_places(Nursery(store, load(), datetime(2031, 8, 2))) == ("greenhouse",)


def two(keeping, low: float, high: float):
    return (keeping.Amount(low, "degC", "temperature", f"{low} C"), keeping.Amount(high, "degC", "temperature", f"{high} C"))


def test_an_upper_threshold_that_is_stated_counts(ask, keeping):
    both = two(keeping, 10, 22)
    answer = ask("temperature", "degree days above 10 C, upper threshold 22 C in the jar", enclosures=("jar",), amounts=both)
    plain = ask("temperature", "degree days above 10 C in the jar", enclosures=("jar",), amounts=both[:1])
    assert answer.values["ceiling"].value == 22 and "no faster above 22 °C" in answer.text
    assert answer.values["degree_days"].value < plain.values["degree_days"].value <= 27.01
    span = (both[0]._replace(high=22.0),)
    asked = ask("temperature", "degree days between 10 and 22 C in the jar", enclosures=("jar",), amounts=span)
    assert asked.values["degree_days"] == answer.values["degree_days"]


def test_a_threshold_above_its_ceiling_is_asked_about(ask, keeping):
    answer = ask("temperature", "degree days base 30 C, upper threshold 10 C", enclosures=("jar",), amounts=two(keeping, 30, 10))
    assert answer.status == "clarify" and "10 °C does not lie above the base 30 °C" in answer.text and answer.options


def test_gaps_are_named_in_the_working(ask, keeping):
    far = keeping.nursery(keeping.EVENTS + "2031-08-01T08:00,temperature,,,,,,,jar,,,22 C,,\n")
    named = ask("temperature", "mean in the jar", nursery=far, enclosures=("jar",)).working
    assert any("2031-08-01 08:00 to 2031-08-07 12:00" in step for step in named)
    assert not any("Without a reading" in step for step in ask("temperature", "mean in the jar", enclosures=("jar",)).working)


def test_degree_days_of_animals_are_of_the_days_they_were_there(ask, keeping):
    answer = ask("temperature", "degree days for fennel-2", cohorts=("fennel-2",))
    # Laid on 20 July, 22 days with today, 10 August; the jar has readings on two: 20 to 30 °C, and 20 to 24 °C.
    low = answer.values["base"].value
    assert answer.text.startswith("Not known for fennel-2 as a whole: of 22 days since Sun 20 July")
    assert answer.values["degree_days"].value == pytest.approx(25 - low + 22 - low, abs=0.06)
    assert (answer.values["days"].value, answer.values["days_lacking"].value) == (2, 20)
    assert "2031-07-20 to 2031-08-06 and 2031-08-09" in answer.text and "box A" in answer.text


def test_degree_days_do_not_count_what_was_measured_before_an_animal_came(ask, keeping):
    events = keeping.EVENTS + "2031-08-08,found,Z,,Papilio polyxenes,larva,,2,jar,,,,,\n"
    answer = ask("temperature", "degree days for Z", cohorts=("Z",), nursery=keeping.nursery(events))
    low = answer.values["base"].value
    assert answer.values["degree_days"].value == pytest.approx(22 - low, abs=0.06) and answer.values["days"].value == 1


def test_every_day_measured_is_known(ask, keeping):
    events = (
        keeping.EVENTS
        + "2031-08-07,found,Z,,Papilio polyxenes,larva,,2,jar,,,,,\n2031-08-08T20:00,released,Z,,,larva,,2,jar,,,,,\n"
    )
    answer = ask("temperature", "degree days for Z", cohorts=("Z",), nursery=keeping.nursery(events))
    assert "every one measured" in answer.text and answer.values["days_lacking"].value == 0


@pytest.mark.parametrize("line", ["mean temperature of shelf 1 in June", "how warm was the greenhouse in June"])
def test_a_line_may_ask_about_a_place_that_only_a_logger_names(line):
    from nurserytui.assistant import Assistant
    from nurserytui.knowledge import base
    from nurserytui.nursery import Nursery
    from nurserytui.records.events import Event
    from nurserytui.records.store import Store

    with Store.memory() as store:
        store.append([Event("2031-06-01", "laid", "A", species="Pieris rapae", count=9, enclosure="jar")])
        store.add_readings(
            Reading(datetime(2031, 6, day, 12), place, celsius, celsius)
            for place, celsius in (("shelf 1", 21.0), ("greenhouse", 21.0), ("attic", 30.0))
            for day in range(1, 9)
        )
        answer = Assistant(Nursery(store, base.load(), datetime(2031, 6, 20, 9))).reply(line)
        assert answer.status == "answered" and answer.values["mean"].value == 21.0 and "attic" not in answer.text.casefold()
        assert (
            "shelf 1" not in Assistant(Nursery(store, base.load(), datetime(2031, 6, 20, 9))).reply("which cages are empty").text
        )


def test_a_place_that_only_a_logger_tells_of_is_answered_before_any_event_is_recorded(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.add_readings([Reading(datetime(2031, 5, 1, hour), "jar 9", 20.0, 20.0) for hour in (8, 9)])
        assistant = Assistant(Nursery(store, load(), datetime(2031, 5, 2, 8)))
        assert assistant.reply("mean temperature in jar 9").values["mean"].value == 20
        assert "nothing has been recorded" in assistant.reply("how many animals are there").text
