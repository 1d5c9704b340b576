"""What is offered as food, over every species and plant of the shipped knowledge: never a trap, a refused plant or one that kills people."""

from __future__ import annotations

import pytest

from nurserytui.answers import naming
from nurserytui.answers.acceptance import judge
from nurserytui.answers.host_words import ORDER, deadly

NEVER = ("trap", "no")
KEPT = 40
"""The kept species are at least so many: a test over none would say nothing."""


@pytest.fixture
def kept(small):
    found = [one.scientific for one in small.knowledge.all_species() if small.knowledge.pairings_of(one.scientific)]
    assert len(found) > KEPT
    return found


def labels(pairings, knowledge):
    return [f"({one.plant})" for one in pairings]


@pytest.mark.parametrize("text", ["what do they eat", "out of food, what else"])
def test_no_species_is_offered_what_it_must_not_eat(ask, small, kept, text):
    knowledge = small.knowledge
    for species in kept:
        answer = ask("hosts-of-species", text, species=[species])
        lines = answer.text.split("\n")
        ranks = [item["rank"] for item in answer.items]
        never = [rank in NEVER for rank in ranks]
        assert answer.status == "answered" and answer.items and never == sorted(never), species
        food = [
            ORDER.index(item["rank"])
            for item in answer.items
            if item["rank"] not in NEVER and not deadly(item["name"], knowledge)
        ]
        assert food == sorted(food), species
        assert not deadly(answer.items[0]["name"], knowledge) and ranks[0] in ORDER[:2], species
        pairings = knowledge.pairings_of(species)
        bad = [one for one in pairings if one.rank in NEVER or deadly(one.plant, knowledge)]
        for line in lines:
            if not line.startswith(("Never leave them", "Known not", "Eaten too, but deadly", "I took")):
                assert not [name for name in labels(bad, knowledge) if name in line], (species, line)
        for item in answer.items:
            assert item["label"] and ": " in item["reason"], item


def test_food_and_cards_name_no_trap_as_a_host(ask, small, kept):
    knowledge = small.knowledge
    for species in kept:
        bad = [one for one in knowledge.pairings_of(species) if one.rank in NEVER or deadly(one.plant, knowledge)]
        card = ask("about-species", "tell me about it", species=[species])
        food = ask("food-supply", "how much do they eat", species=[species], count=10)
        for line in (*card.text.split("\n"), *food.text.split("\n")):
            if not line.startswith("Trap plants"):
                assert not [name for name in labels(bad, knowledge) if name in line], (species, line)
        assert not [item for item in food.items if item.get("name") in {one.plant for one in bad}], species


def test_no_needs_evidence_for_every_species_and_plant(small, kept):
    knowledge = small.knowledge
    plants = {plant.scientific: plant.family for plant in knowledge.all_plants()}
    counts: dict[str, int] = {}
    for species in kept:
        known, pairings = knowledge.species(species), knowledge.pairings_of(species)
        fed = {plants[one.plant] for one in pairings if one.rank not in NEVER}
        for plant, family in plants.items():
            verdict = judge(species, (plant,), knowledge)
            counts[verdict.accepts] = counts.get(verdict.accepts, 0) + 1
            pairing = knowledge.pairing(species, plant)
            if verdict.accepts == "no":
                told = pairing is not None and pairing.rank == "no"
                assert told or (known.specialist and family and family not in fed | set(known.host_families)), (species, plant)
                assert verdict.reason and verdict.sources, (species, plant)
            assert (pairing is None) == (verdict.accepts == "unrecorded" or (verdict.accepts == "no" and not verdict.rank))
    assert set(counts) == {"yes", "poor", "emergency", "trap", "no", "unrecorded"}


def test_both_questions_on_a_pairing_agree(ask, small, kept):
    knowledge = small.knowledge
    for species in kept[::3]:
        for one in knowledge.pairings_of(species):
            verdict = judge(species, (one.plant,), knowledge)
            who = ask("species-on-host", "what eats it", hosts=[one.plant])
            item = next(item for item in who.items if item["name"] == species)
            assert verdict.rank == one.rank
            assert item["rank"] == one.rank or naming.is_genus(one.plant), one


def test_what_kills_people_is_said_with_what_eats_it(ask):
    answer = ask("species-on-host", "what eats hemlock", hosts=["Conium maculatum"])
    assert "deadly to people: never gather it" in answer.text.split("\n")[1]
