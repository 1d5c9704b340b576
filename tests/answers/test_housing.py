"""Room for larvae by the house rule, and cleaning."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("amount", "text", "capacity"),
    [
        ((10, "liter", "10 litre"), "how many big caterpillars fit a 10 litre tub", 10),
        ((10, "liter", "10 litre"), "how many small ones fit a 10 litre tub", 40),
        ((500, "milliliter", "500 ml"), "how many large larvae in 500 ml", 0),
        ((5, "gallon", "5 gallon"), "how many caterpillars in a 5 gallon bucket", 18),
    ],
)
def test_capacity_of_a_volume(ask, keeping, amount, text, capacity):
    value, unit, said = amount
    answer = ask("density", text, amounts=(keeping.Amount(value, unit, "volume", said),))
    assert answer.values["capacity"].value == capacity and answer.working and answer.sources


def test_three_sides_make_a_volume(ask):
    assert ask("density", "how many large larvae in a 20 x 20 x 25 cm box").values["capacity"].value == 10


def test_an_enclosure_of_known_volume_says_who_is_in_it(ask, small):
    small.settings = small.settings._replace(volumes={"jar": 10_000.0})
    answer = ask("density", "is the jar too full", enclosures=("jar",))
    assert (
        answer.values["present"].value == 18
        and answer.values["capacity"].value == 10
        and answer.sources[-1].kind == "own records"
    )


def test_an_enclosure_of_unknown_volume_is_asked_about(ask):
    answer = ask("density", "is the jar too full", enclosures=("jar",))
    assert answer.status == "clarify" and "18 larvae" in answer.text and not answer.values


@pytest.mark.parametrize(("enclosure", "last"), [("jar", "2031-08-03"), ("box A", "2031-08-08T11:00"), ("box D", None)])
def test_when_it_was_cleaned_last(ask, enclosure, last):
    value = ask("hygiene", f"when was {enclosure} cleaned", enclosures=(enclosure,)).values["last"]
    assert value.value == last and (last or value.reason)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("how often should frass be cleaned out", "every day"),
        ("how do I test a monarch for oe", "tape"),
        ("does sun kill oe spores", "No, sun does not kill"),
        ("how long should tubs soak against oe", "4 hours"),
    ],
)
def test_rules_are_picked_by_the_words(ask, text, said):
    answer = ask("hygiene", text)
    assert said in answer.text.split("\n")[0] and answer.sources and answer.cautions


def test_a_life_is_ended_by_cold_after_a_second_look(ask):
    answer = ask("hygiene", "how do I end its life", cues=frozenset({"euthanise"}))
    first, then = answer.text.split("\n")
    assert "-18 °C" in first and "chilled" in then and answer.values["hours"].value == 24
    assert answer.sources and any("vet" in caution for caution in answer.cautions)


@pytest.mark.parametrize("text", ["how tall must the cage be", "do larvae drink water"])
def test_what_no_rule_is_about_is_asked_back(ask, text):
    answer = ask("hygiene", text)
    assert answer.status == "clarify" and answer.options


def test_the_rhythm_is_daily(ask):
    every = ask("hygiene", "how often should I clean").values["every"]
    assert (every.value, every.unit) == (1, "day")


@pytest.mark.parametrize(("count", "litres"), [(1, 1000), (20, 20000), (None, 1000)])
def test_room_is_told_by_the_rule_where_no_enclosure_is_named(ask, count, litres):
    answer = ask("density", "how big a cage for so many caterpillars", count=count)
    assert answer.status == "answered" and answer.values["capacity"].value is None
    assert answer.values["volume"].value == litres and answer.values["volume"].low == litres / 4
