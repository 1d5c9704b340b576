"""Which recorded words point to something that is traced."""

from __future__ import annotations

import pytest

from nurserytui.answers.agents import kind_of_words, kinds_said, suspect


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
    from nurserytui.answers.agents import kind_of_agent
    from nurserytui.knowledge.base import load

    knowledge = load()
    kinds = {agent.name: kind_of_agent(agent) for agent in knowledge.all_agents()}
    assert kinds["nuclear polyhedrosis virus"] == "virus" and kinds["Pteromalus puparum"] == "wasp"
    assert kinds["Bacillus thuringiensis"] == kinds["mould"] == kinds["predators"] == ""
