"""Help, explanations, and lines that were not understood."""

from __future__ import annotations

import pytest


def test_help_shows_sentences_with_the_keepers_own_names(ask):
    answer = ask("help", "help")
    assert answer.status == "answered" and len(answer.items) > 15 and "fennel-2" in answer.text and 0 < len(answer.next) <= 3


def test_why_the_first_one(ask):
    previous = ask("hosts-of-species", "what do monarchs eat", species=["Danaus plexippus"])
    answer = ask("explain", "why the first one", previous=previous)
    assert (
        answer.text.startswith("common milkweed")
        and "because" in answer.text
        and answer.working
        and answer.sources == previous.sources
    )


def test_how_it_was_worked_out_is_numbered(ask, keeping):
    tub = keeping.Amount(10, "liter", "volume", "10 L")
    previous = ask("density", "how many fit 10 L", amounts=(tub,))
    answer = ask("explain", "how did you get that", previous=previous)
    assert answer.working == previous.working and "\n1. 10 L / 1 L" in answer.text and "Source" in answer.text


def test_an_answer_without_working_is_explained_by_its_reasons(ask):
    previous = ask("species-on-host", "what eats it", hosts=["Urtica dioica"])
    assert ask("explain", "why", previous=previous).working


def test_nothing_to_explain(ask):
    answer = ask("explain", "why")
    assert answer.status == "clarify" and answer.options


@pytest.mark.parametrize("text", ["asdf qwer", "write me a poem", "..."])
def test_a_line_that_is_not_understood(ask, text):
    answer = ask("", text)
    assert answer.status == "unknown" and answer.next


def test_an_unknown_cohort_lists_those_there_are(ask):
    answer = ask("", "when will zulu-9 hatch", unknown_names=("zulu-9",))
    assert (
        answer.status == "clarify"
        and "fennel-2" in answer.text
        and answer.options
        and all("cohort" in option for option in answer.options)
    )


@pytest.mark.parametrize(
    ("text", "topic", "event", "option"),
    [
        ("where are they", "headcount", "", "where are cohort"),
        ("when will those hatch", "stage-forecast", "hatch", "when will cohort fennel-2 hatch"),
    ],
)
def test_nobody_in_particular_is_asked_back(ask, text, topic, event, option):
    answer = ask(topic, text, event=event, layer="dangling")
    assert (answer.status, answer.topic) == ("clarify", topic)
    assert answer.options[0].startswith(option)


def test_a_kind_of_place_that_there_are_several_of_is_asked_back(ask):
    answer = ask("headcount", "how many in the cage", layer="dangling")
    assert answer.status == "clarify"
    assert set(answer.options) >= {"how many in big cage", "how many in flight cage"}
