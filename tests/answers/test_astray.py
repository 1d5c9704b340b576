"""Missing and escaped animals: how many, of which cohort, and how many came back."""

from __future__ import annotations

import pytest

CASES = [
    # topic, text, slots, {value: number}, begins with; fennel-1 lost two on 20 May 2030, one of which came back on the 24th
    ("headcount", "how many are missing", {}, {"count": 1, "returned": 1}, "1 animal missing now: 1 larva of fennel-1 in jar."),
    ("headcount", "which animals are missing", {}, {"missing": 1}, "1 animal missing now"),
    ("headcount", "any missing animals", {"species": ("Vanessa cardui",)}, {"count": 0}, "0 animals of painted lady"),
    (
        "history",
        "how many went missing in 2030",
        {"event": "missing", "period": ("2030-01-01", "2031-01-01")},
        {"count": 2, "returned": 1, "missing": 1},
        "2 animals went missing in 2030; 1 came back since then; 1 of all is missing now.",
    ),
    ("headcount", "did any escape", {}, {"count": 1}, "Yes, 1 escaped."),
    (
        "headcount",
        "how many escaped in 2031",
        {"period": ("2031-01-01", "2032-01-01")},
        {"count": 0},
        "0 animals escaped in 2031",
    ),
]


@pytest.mark.parametrize(("topic", "text", "slots", "values", "begins"), CASES)
def test_astray(ask, topic, text, slots, values, begins):
    answer = ask(topic, text, **slots)
    assert answer.text.startswith(begins)
    assert {name: answer.values[name].value for name in values} == values


def test_a_missing_leg_is_no_missing_animal():
    from nurserytui.answers.astray import asks_missing

    assert not asks_missing("any larva with a leg missing") and asks_missing("how many are missing")


def test_deaths_of_each(ask):
    text = ask("survival", "causes of death by species").text
    # Fennel: 4 infertile; thistle 5 spider and R 2 virus; white P 2 wasp.
    assert "- painted lady (Vanessa cardui): 7 (5 spider and 2 virus)" in text
    assert "- eastern black swallowtail (Papilio polyxenes): 4 (4 infertile)" in text


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("where do I lose most, as eggs or as larvae", "Most died as larvae: 7 of 11 deaths, against 4 eggs."),
        ("causes of death of found larvae", "9 deaths of animals found as larvae: 5 spider, "),
    ],
)
def test_losses_as_they_are_asked(ask, text, begins):
    stages = ("egg", "larva") if "eggs" in text else ("larva",)
    assert ask("survival", text, stages=stages).text.startswith(begins)
