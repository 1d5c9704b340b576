"""Which recorded words point to something that is traced."""

from __future__ import annotations

import pytest

from nurserytui.answers.agents import all_caught, kind_of_agent, kind_of_words, kinds_said, suspect, suspect_of_sign


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Pteromalus wasp", "wasp"),
        ("tiny wasps came out", "wasp"),
        ("tachinid fly", "fly"),
        ("maggots on strings", "fly"),
        ("virus", "virus"),
        ("NPV", "virus"),
        ("OE", "OE"),
        ("bacterial", "bacteria"),
        ("drowned", ""),
        ("taken by a paper wasp", ""),
        ("caught in the zip", ""),
        ("infertile", ""),
    ],
)
def test_causes(small, text, kind):
    found = suspect(text, small.knowledge)
    assert (found.kind if found else "") == kind == kind_of_words(text)


def test_the_agent_known_best_stands_in_for_its_kind(small):
    assert suspect("wasps", small.knowledge, "pupa").agent.name == "Pteromalus puparum"


def test_general_words_stand_for_several():
    assert set(kinds_said("any parasites about")) == {"wasp", "fly"}
    assert "virus" in kinds_said("disease contacts")


def test_a_word_inside_another_is_no_agent(small):
    assert suspect("its antennae were bent", small.knowledge) is None


def test_only_what_spreads_is_traced():
    from nurserytui.knowledge.base import load

    knowledge = load()
    kinds = {agent.name: kind_of_agent(agent) for agent in knowledge.all_agents()}
    assert kinds["nuclear polyhedrosis virus"] == "virus" and kinds["Pteromalus puparum"] == "wasp"
    assert kinds["Bacillus thuringiensis"] == kinds["mould"] == kinds["predators"] == ""


@pytest.mark.parametrize(
    ("text", "kind", "told"),
    [
        ("no wasps", "wasp", True),
        ("no more wasps about", "wasp", True),
        ("caught all the little wasps", "wasp", True),
        ("killed the last of the wasps", "wasp", True),
        ("the loose wasps in tub 2 were caught", "wasp", True),
        ("all the wasps are gone", "wasp", True),
        ("removed all the maggots", "fly", True),
        ("no flies", "wasp", False),
        ("not all the wasps are caught", "wasp", False),
        ("caught some of the wasps", "wasp", False),
        ("caught 3 wasps", "wasp", False),
        ("all the wasps came out", "wasp", False),
        ("removed all the pupae with wasps", "wasp", False),
        ("no wasps yet", "wasp", False),
        ("tiny wasps in the cage", "wasp", False),
    ],
)
def test_what_says_that_the_last_one_is_caught(text, kind, told):
    assert all_caught(text, kind) is told


def test_a_note_of_the_catch_is_no_new_case(small):
    assert suspect_of_sign("the loose wasps in tub 2 were caught", small.knowledge) is None
    assert suspect_of_sign("tiny wasps in the cage", small.knowledge).kind == "wasp"
