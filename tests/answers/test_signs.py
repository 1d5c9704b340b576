"""Signs from a keeper's own words, with slips of the pen: what they may mean, whether to isolate, and when to ask instead."""

from __future__ import annotations

import pytest

from nurserytui.answers.sign_match import Shown, causes, like, says, words_of
from nurserytui.answers.signs import describe_sign, stages_in
from nurserytui.knowledge.base import load
from nurserytui.knowledge.facts import Cause, Sign


@pytest.fixture(autouse=True)
def whole(small):
    """The small nursery with all agents of the shipped knowledge."""
    small.knowledge = load()


CASES = [
    ("my monarch cat went limp and black and hangs upside down dripping", "nuclear polyhedrosis virus", "yes"),
    ("caterpillar turned to black goo overnight", "bacterial infection", "yes"),
    ("not eating and not moving on the cage wall, plump and shiny", "moulting (normal)", "no"),
    ("swallowtail cat did a big runny splat and is now walking round the cage", "gut purge before pupation (normal)", "no"),
    ("they are throwing up green stuff since the new plants, all shaking", "insecticide", "no"),
    ("a maggot came out of my caterpillar on a thread", "tachinid fly", "yes"),
    ("small yellow fluffy cocoons beside a dead cabbage white caterpillar", "Cotesia glomerata", "yes"),
    ("three caterpillars died in the greenhouse when it got too hot", "heat", "no"),
    ("its filaments are limp and twisted and it hangs in a J", "about to pupate (normal)", "no"),
    ("little black wasp sitting on my J caterpillar", "Pteromalus puparum", "yes"),
    ("crysalis went clear this morning", "about to emerge (normal)", "no"),
    ("chrysalis is dark and I can see the wings", "about to emerge (normal)", "no"),
    ("two tiny holes in the side of the pupa, hollow", "Pteromalus puparum", "yes"),
    ("hole in the chrysalis with a thread and a brown capsule below", "tachinid fly", "yes"),
    ("the pupa wiggles when I poke it", "alive: a healthy reflex (normal)", "no"),
    ("chrysalis dropped to the floor and bleeds green", "injury by a fall", "no"),
    ("reddish drops below the new butterfly", "meconium (normal)", "no"),
    ("tape shows lemon shaped spores", "Ophryocystis elektroscirrha", "yes"),
]


@pytest.mark.parametrize(("text", "cause", "isolate"), CASES)
def test_what_a_sign_means(ask, text, cause, isolate):
    answer = ask("health-sign", text)
    assert answer.status == "answered" and answer.items[0]["name"] == cause and answer.values["isolate"].value == isolate
    assert sum(item["probability"] for item in answer.items) < 1 and answer.about["sign"] and answer.sources and answer.working


@pytest.mark.parametrize("text", ["my caterpillar looks funny", "something is wrong with it", "the caterpillar is green", "help"])
def test_too_little_is_asked_about(ask, text):
    answer = ask("health-sign", text)
    assert answer.status == "clarify" and answer.options and not answer.items and answer.cautions


def test_the_action_or_the_all_clear_comes_first(ask):
    assert ask("health-sign", "white strings hang from the caterpillar").text.startswith(("Keep it apart", "Isolate"))
    assert ask("health-sign", "pupa wiggles when touched").text.startswith("Most likely normal")


def test_words_of_alarm_speak_against_a_healthy_reading(ask):
    assert ask("health-sign", "caterpillar still for a day, firm on its silk pad").values["isolate"].value == "no"
    assert ask("health-sign", "caterpillar still for three days, limp, smells").values["isolate"].value == "yes"


def test_a_disease_of_monarchs_is_not_laid_to_another_species(ask):
    def share(species):
        found = {item["name"]: item["probability"] for item in ask("health-sign", "crumpled wings", species=[species]).items}
        return found.get("Ophryocystis elektroscirrha", 0.0)

    assert share("Danaus plexippus") > 0.2 > 0.05 > share("Vanessa cardui")


def test_describing_a_sign_for_the_record(small):
    assert describe_sign("white strings hanging from the body", "larva", small).items[0]["name"] == "tachinid fly"
    assert describe_sign("a nice day", "larva", small) is None


@pytest.mark.parametrize(
    ("text", "stages"),
    [
        ("the caterpillar", ("larva",)),
        ("hanging caterpillar", ("larva", "prepupa")),
        ("butterfly stuck in its chrysalis", ("pupa",)),
        ("crumpled wings", ("adult",)),
        ("it", ()),
    ],
)
def test_stages_named(text, stages):
    assert stages_in(text) == stages


@pytest.mark.parametrize(
    ("stem", "line", "said"),
    [
        ("mush", "all mushy now", True),
        ("strings", "no strings on it", False),
        ("not move", "it hasn't moved", True),
        ("not move", "it hasnt moved", True),
        ("tachinid", "a tachnid fly", True),
        ("red", "redundant words", False),
    ],
)
def test_words_match_by_stem_slip_and_denial(stem, line, said):
    assert bool(says(stem, words_of(line))) is said


def test_short_stems_do_not_swallow_longer_words():
    assert like("ant", "ants") and not like("ant", "antenna")


def sign(name, shares, **more):
    rest = {
        "words": ((name,),),
        "how_sure": "high",
        "healthy": "",
        "check": "",
        "action": "",
        "isolate": False,
        "spreads": "",
    } | more
    return Sign(name, "larva", name, causes=tuple(Cause(*pair) for pair in shares), **rest)


def test_two_signs_together_favour_the_cause_that_they_share():
    one = Shown(sign("limp", [("virus", 1), ("hunger", 1)]), 1.0, True, 3.0)
    two = Shown(sign("black", [("virus", 1), ("mould", 1)]), 1.0, True, 3.0)
    alone, _ = causes([one])
    both, other = causes([one, two])
    assert alone[0].probability == alone[1].probability
    assert both[0].name == "virus" and both[0].probability > 0.7
    assert sum(cause.probability for cause in both) + other == pytest.approx(1, abs=0.01)
