"""Lines that lean on the lines before them, slot by slot."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from conversation import converse, nursery

from nurserytui.language import merging
from nurserytui.language.context import Context
from nurserytui.language.request import Amount, Request
from nurserytui.language.understand import understand


def volume(value: float) -> Amount:
    return Amount(value, "milliliter", "volume", f"{value} ml")


def percent(value: float) -> Amount:
    return Amount(value, "percent", "percent", f"{value} %")


def ppm(value: float) -> Amount:
    return Amount(value, "ppm", "ppm", f"{value} ppm")


TENTH = Amount(0.1, "ratio", "ratio", "1:10")


@pytest.mark.parametrize(
    ("before", "new", "stock", "after"),
    [
        ((TENTH, volume(500)), (volume(300),), False, (TENTH, volume(300))),
        ((percent(6), ppm(1000), volume(600)), (percent(8.25),), True, (percent(8.25), ppm(1000), volume(600))),
        ((ppm(1000), volume(900)), (percent(6),), True, (ppm(1000), volume(900), percent(6))),
        ((percent(10), volume(500)), (percent(20),), False, (percent(20), volume(500))),
        ((percent(5), percent(0.5), volume(1)), (percent(0.1),), False, (percent(5), percent(0.1), volume(1))),
        ((percent(5), percent(0.5), volume(1)), (percent(8),), True, (percent(8), percent(0.5), volume(1))),
        ((percent(6), ppm(1000), volume(1)), (ppm(500),), False, (percent(6), ppm(500), volume(1))),
        ((TENTH, volume(500)), (ppm(1000),), False, (ppm(1000), volume(500))),
        ((percent(10), volume(500)), (percent(6),), True, (percent(10), volume(500), percent(6))),
    ],
)
def test_amounts_take_the_place_of_their_kind(before, new, stock, after):
    assert merging.amounts(before, new, stock) == after


def test_the_bottle_changes_and_the_target_stays():
    request = converse(["how much 6% bleach for 1000 ppm in 600 ml", "and if the bleach is 8.25%?"])
    assert request.topic == "dilution"
    assert [(amount.kind, amount.value) for amount in request.amounts] == [("percent", 8.25), ("ppm", 1000), ("volume", 600)]
    assert "8.25" in request.plain and "6%" not in request.plain.replace(" ", "").replace("8.25%", "")


@pytest.mark.parametrize(
    ("lines", "slots"),
    [
        (["how many in tub 9", "and in the big tent?"], {"enclosures": ("big tent",), "cohorts": (), "cues": "how-many"}),
        (["how many card-8 eggs are left", "and how many caterpillars"], {"cohorts": ("card-8",), "stages": ("larva",)}),
        (["where is fennel-3", "who else is in there"], {"enclosures": ("shelf tub",), "cohorts": (), "topic": "headcount"}),
        (["what is in the big tent", "which instar are they"], {"enclosures": ("big tent",), "topic": "headcount"}),
        (["when will card-8 hatch", "and pupate?"], {"cohorts": ("card-8",), "event": "pupate"}),
        (
            ["when did fennel-3 pupate", "so when is it due out"],
            {"cohorts": ("fennel-3",), "event": "emerge", "topic": "stage-forecast"},
        ),
        (
            ["when did willow-1 pupate", "and when did they come out"],
            {"cohorts": ("willow-1",), "event": "emerged", "topic": "history"},
        ),
        (["what eats fennel", "and nettle?"], {"topic": "species-on-host"}),
        (["survival of willow-1", "same for luna-5"], {"cohorts": ("luna-5",), "topic": "survival"}),
        (["what happened in tub 9 this month", "just the deaths please"], {"enclosures": ("tub 9",), "event": "died"}),
        (
            ["who was in contact with B2", "until when should i keep watching them"],
            {"cohorts": ("B",), "mark": "2", "topic": "exposure"},
        ),
        (["70 F in C", "and 60 F"], {"target_unit": "degC", "topic": "convert"}),
    ],
)
def test_what_is_kept_and_what_is_replaced(lines, slots):
    request = converse(lines)
    for slot, value in slots.items():
        got = getattr(request, slot)
        assert value in got if slot == "cues" else got == value, (slot, got)


@pytest.mark.parametrize(
    "lines",
    [
        ["how many in tub 9", "how many caterpillars altogether"],
        ["when will card-8 hatch", "what needs doing today"],
        ["survival of willow-1", "how many animals are there in all"],
    ],
)
def test_a_full_question_takes_nothing_from_before(lines):
    request = converse(lines)
    assert (request.cohorts, request.enclosures) == ((), ())


def test_context_fades():
    lines = ["where is fennel-3", "hosts of the comma", "75 F in C", "tell me about the viceroy"]
    assert converse([*lines, "how many are they"]).cohorts == ()


def ask_back(options: tuple[str, ...], request: Request) -> Context:
    context = Context()
    context.remember(request, SimpleNamespace(status="clarify", about={}, items=(), options=options))
    return context


OPTIONS = ("when will card-8 hatch", "when will fennel-3 emerge")


@pytest.mark.parametrize(
    ("said", "cohort"),
    [
        ("2", "fennel-3"),
        ("the first one", "card-8"),
        ("the last", "fennel-3"),
        ("When will card-8 hatch?", "card-8"),
        ("fennel-3", "fennel-3"),
    ],
)
def test_options_can_be_chosen(said, cohort):
    context = ask_back(OPTIONS, Request("when will they hatch", "stage-forecast", plain="when will they hatch"))
    request = understand(said, nursery(), context)
    assert (request.topic, request.cohorts) == ("stage-forecast", (cohort,))
    assert request.text == said


def test_a_new_question_drops_the_open_one():
    context = ask_back(OPTIONS, Request("when will they hatch", "stage-forecast", plain="when will they hatch"))
    assert understand("how many in tub 9", nursery(), context).topic == "headcount"


def test_a_record_drops_the_open_question():
    context = ask_back(OPTIONS, Request("when will they hatch", "stage-forecast", plain="when will they hatch"))
    assert understand("fed tub 9", nursery(), context).topic == "record"


def test_explain_needs_an_answer_to_explain():
    assert converse(["why"]).topic == ""
    request = converse(["how many in tub 9", "why"])
    assert request.topic == "explain" and request.previous.topic == "headcount"


def test_what_tells_eggs_apart_asks_about_the_eggs_just_named():
    request = converse(["single pale yellow ball on dill", "how do i tell them apart"])
    assert request.topic == "egg-identification" and "apart" in request.cues and request.hosts
