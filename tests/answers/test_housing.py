"""Cleaning, day by day and between batches."""

from __future__ import annotations

import pytest


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
