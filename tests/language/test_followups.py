"""Lines that lean on the lines before them, slot by slot."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from conversation import converse, nursery

from nurserytui.language import mixes
from nurserytui.language.context import Context
from nurserytui.language.request import DANGLING, Amount, Request
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
    assert mixes.amounts(before, new, stock) == after


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
        (["where is fennel-3", "is anything else in with them"], {"topic": "headcount", "cohorts": ("fennel-3",)}),
        (["did any of A die", "how many of them"], {"topic": "survival", "cohorts": ("A",)}),
        (["how many in tub 9", "only the ones that are still eggs"], {"topic": "headcount", "stages": ("egg",)}),
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


@pytest.mark.parametrize(
    ("line", "stage"),
    [("eggs?", "egg"), ("and the caterpillars", "larva"), ("eggs left in there", "egg")],
)
def test_a_stage_alone_after_a_record_asks_of_its_animals(line, stage):
    context = Context()
    told = understand("3 card-8 eggs hatched", nursery(), context)
    about = {"cohort": "card-8", "enclosure": "jar 4"}
    context.remember(told, SimpleNamespace(status="recorded", about=about, items=(), options=()))
    request = understand(line, nursery(), context)
    assert (request.topic, request.cohorts, request.stages) == ("headcount", ("card-8",), (stage,))


def test_those_exposed_are_spoken_of_not_those_that_were_sick():
    context = Context()
    items = ({"cohort": "A", "class": "likely", "count": 3}, {"cohort": "fennel-3", "class": "unlikely", "count": 9})
    answer = SimpleNamespace(status="answered", about={"cohort": "B"}, items=items, options=())
    context.remember(understand("who was exposed to the virus", nursery(), context), answer)
    assert understand("where are they now", nursery(), context).cohorts == ("A",)


@pytest.mark.parametrize(
    ("line", "topic"),
    [
        ("which ones were exposed to the virus", "exposure"),
        ("who sat beside the sick ones", "exposure"),
        ("did I ever write about that mesh", "history"),
    ],
)
def test_a_word_beside_its_noun_refers_to_nobody(line, topic):
    request = converse([line])
    assert request.topic == topic and request.layer != DANGLING


@pytest.mark.parametrize("line", ["when do they hatch", "how long before those come out", "how many of the ones hatched"])
def test_a_word_that_stands_alone_does(line):
    assert converse([line]).layer == DANGLING


@pytest.mark.parametrize("asked", ["found 2 eggs", "2 died in the big tent"])
@pytest.mark.parametrize(("line", "topic"), [("adults?", "headcount"), ("card-8 eggs?", "headcount"), ("todo?", "round")])
def test_what_is_asked_back_swallows_no_short_question(asked, line, topic):
    context = Context()
    request = understand(asked, nursery(), context)
    assert request.topic == "record"
    context.remember(request, SimpleNamespace(status="clarify", about={}, items=(), options=()))
    assert understand(line, nursery(), context).topic == topic


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
