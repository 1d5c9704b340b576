"""Cards of enemies and diseases: what was asked stands first, days come with bounds, a test's classes are told, enemies are listed."""

from __future__ import annotations

import pytest

from nurserytui.answers.about_agent import about_agent
from nurserytui.answers.agent_parts import OFFERED, days_at, parts_asked
from nurserytui.knowledge.base import load
from nurserytui.language.request import Amount, Named, Request


@pytest.fixture(autouse=True)
def whole(small):
    """The small nursery with the shipped knowledge."""
    small.knowledge = load()


def warm(celsius: float) -> dict:
    return {"amounts": (Amount(celsius, "degC", "temperature", f"{celsius:g} °C"),)}


FIRST = [
    # asked, agent, part of the first line
    ("what mesh keeps them out", "Pteromalus puparum", "0.6 mm"),
    ("what netting stops it", "Trichogramma", "0.2 mm"),
    ("is it catching", "nuclear polyhedrosis virus", "Contagious: yes"),
    ("does it spread from one caterpillar to the next", "Bacillus thuringiensis", "Contagious: no"),
    ("can it live on the cage", "Ophryocystis elektroscirrha", "years in the cool"),
    ("how long does it survive on a net", "nuclear polyhedrosis virus", "months to years"),
    ("does it infect people", "Ophryocystis elektroscirrha", "not known to infect people"),
    ("is it dangerous to my dog", "insecticide", "poison service"),
    ("how many wasps come out of one", "Cotesia glomerata", "20-60"),
    ("how do i recognise it", "tachinid fly", "white silky strings"),
    ("how do i get rid of them", "predators", "torch"),
    ("how long until they come out", "Cotesia glomerata", "15-20 days"),
    ("what is it", "Trogus", "is a parasitoid wasp"),
    ("which stage does it attack", "Sturmia bella", "attacks the larva"),
    ("what mesh keeps it out", "bacterial infection", "no mesh width"),
]


@pytest.mark.parametrize(("text", "agent", "told"), FIRST)
def test_what_was_asked_stands_first(ask, text, agent, told):
    answer = ask("about-agent", text, agents=[agent])
    assert answer.status == "answered" and answer.about["agent"] == agent and answer.sources
    assert told.casefold() in answer.text.split("\n")[0].casefold()


DAYS = [
    # agent, °C, days
    ("Pteromalus puparum", 18, 36.8),
    ("Pteromalus puparum", 22, 21.8),
    ("Pteromalus puparum", 25, 16.7),
    ("Trichogramma", 22, 13.0),
    ("Trichogramma", 26, 9.3),
]


@pytest.mark.parametrize(("agent", "celsius", "days"), DAYS)
def test_days_at_a_temperature_with_bounds(ask, agent, celsius, days):
    answer = ask("about-agent", f"how many days at {celsius} c", agents=[agent], **warm(celsius))
    value = answer.values["days"]
    assert value.value == days and value.low < days < value.high and value.level == 0.9
    assert f"{days}" in answer.text.split("\n")[0] and any(f"= {days} days" in step for step in answer.working)


def test_without_a_temperature_three_are_offered(ask):
    line = next(
        line
        for line in ask("about-agent", "how long does it take", agents=["Pteromalus puparum"]).text.split("\n")
        if "21.8" in line
    )
    assert all(f"{celsius:g} °C" in line for celsius in OFFERED)


def test_cold_stops_it(ask):
    answer = ask("about-agent", "how long at 10 c", agents=["Pteromalus puparum"], **warm(10))
    assert answer.values["days"].value is None and "12.2" in answer.values["days"].reason and "waits" in answer.text


def test_one_without_a_rule_says_so(ask):
    answer = ask("about-agent", "how many days at 22 c", agents=["Brachymeria"], **warm(22))
    assert answer.values["days"].low == 12 and answer.values["days"].high == 20 and "no rule by temperature" in answer.text


def test_the_bounds_cover_what_other_stocks_were_published_to_take(knowledge_whole):
    """T. pretiosum 134.55 degree-days above 10.82 °C; T. principium 145-150 above 11.8 °C; T. kaykai 127.7-132.1 above 12.0 °C."""
    agent = knowledge_whole.agent("Trichogramma")
    for celsius in (18, 22, 26, 30):
        span = days_at(agent, celsius)
        for base, degree_days in ((10.82, 134.55), (11.8, 147.5), (12.0, 127.71), (12.0, 132.10)):
            assert span.low <= degree_days / (celsius - base) <= span.high


@pytest.fixture
def knowledge_whole():
    return load()


SPORES = [
    ("what does heavy mean on an oe test", "more than 100 spores", None),
    ("what does a light result mean", "1-100 spores", None),
    ("what does clear mean", "no spore", None),
    ("what does 1500 spores mean", "class 5, heavy", 5),
    ("is 20 oe spores bad", "class 2, light", 2),
    ("1 spore on the tape, what does that mean", "class 1, light", 1),
    ("what does spore class 4 mean", "101-1,000 spores", 4),
    ("what are the oe spore classes", "six classes", None),
]


@pytest.mark.parametrize("topic", ["about-agent", "health-sign"])
@pytest.mark.parametrize(("text", "told", "grade"), SPORES)
def test_what_a_spore_test_means(ask, topic, text, told, grade):
    answer = ask(topic, text)
    assert answer.status == "answered" and answer.topic == topic and told in answer.text.split("\n")[0]
    assert answer.cautions and answer.about["agent"] == "Ophryocystis elektroscirrha"
    if grade is not None:
        assert answer.values["class"].value == grade


def test_the_classes_leave_no_count_out(knowledge_whole):
    agent = knowledge_whole.agent("Ophryocystis elektroscirrha")
    for names in (("clear", "light", "heavy"), tuple(f"class {n}" for n in range(6))):
        grades = [next(one for one in agent.grades if one.name == name) for name in names]
        assert grades[0].low == 0 and grades[-1].high is None
        assert all(after.low == before.high + 1 for before, after in zip(grades, grades[1:]))


ENEMIES = [
    ("what attacks chrysalises", {"stages": ("pupa",)}, "Pteromalus puparum", "Trichogramma"),
    ("what attacks eggs", {"stages": ("egg",)}, "Trichogramma", "Trogus"),
    ("what parasites do cabbage whites get", {"species": ["Pieris rapae"]}, "Cotesia rubecula", "Trogus"),
    ("what diseases do monarchs get", {"species": ["Danaus plexippus"]}, "Ophryocystis elektroscirrha", "tachinid fly"),
    ("what eats caterpillars", {"stages": ("larva",)}, "Polistes wasps", "Trogus"),
]


@pytest.mark.parametrize(("text", "slots", "named", "left_out"), ENEMIES)
def test_enemies_of_a_stage_or_species(ask, text, slots, named, left_out):
    answer = ask("about-agent", text, **slots)
    names = [item["name"] for item in answer.items]
    assert answer.status == "answered" and named in names and left_out not in names and answer.sources


def test_a_name_of_several_species_is_taken_for_its_usual_one(small):
    text = "what parasites do cabbage whites get"
    whites = Named("cabbage whites", ("Pieris rapae", "Pieris brassicae"))
    answer = about_agent(Request(text, "about-agent", plain=text, species=(whites,)), small)
    assert answer.about["species"] == "Pieris rapae" and "Cotesia glomerata" in [item["name"] for item in answer.items]


def test_a_kind_without_a_name_is_taken_as_the_usual_one_and_says_so(ask):
    answer = ask("about-agent", "how many wasps come out of one chrysalis", stages=("pupa",))
    assert answer.about["agent"] == "Pteromalus puparum" and "No kind is named" in answer.text


def test_an_unknown_name_is_not_guessed_at(ask):
    assert ask("about-agent", "what is a zorbo", unknown_names=("zorbo",)).status == "unknown"
    assert ask("about-agent", "tell me about it").status == "clarify"


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("keep them out of the tent", "mesh"),
        ("how long does it stay on a net", "stays"),
        ("how long does it survive on leaves", "stays"),
        ("what is it", ""),
    ],
)
def test_parts_asked(text, part):
    assert (parts_asked(text) or [""])[0] == part
