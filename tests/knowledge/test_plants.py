"""The shipped plants: each can be known by its card, each that is offered has a word on cutting, and what kills is never offered first."""

from __future__ import annotations

from nurserytui.answers.host_words import deadly
from nurserytui.knowledge.layout import RANKS

OFFERED = RANKS[:4]


def test_every_plant_has_names_a_family_and_looks(knowledge):
    lacking = [plant.scientific for plant in knowledge.all_plants() if not (plant.common and plant.family and plant.looks)]
    assert lacking == []


def test_looks_are_short_and_tell_something(knowledge):
    for plant in knowledge.all_plants():
        assert 5 <= len(plant.looks.split()) <= 45, (plant.scientific, plant.looks)


def test_every_host_that_is_offered_has_a_cutting_card_of_its_own_or_its_genus(knowledge):
    offered = {
        pairing.plant
        for species in knowledge.all_species()
        for pairing in knowledge.pairings_of(species.scientific)
        if pairing.rank in OFFERED
    }
    assert [plant for plant in sorted(offered) if knowledge.cutting(plant) is None] == []


def test_every_plant_that_is_like_hemlock_says_so(knowledge):
    for name in ("Daucus carota", "Anthriscus sylvestris", "Angelica sylvestris", "Oenanthe sarmentosa", "Foeniculum vulgare"):
        assert "hemlock" in knowledge.plant(name).looks.casefold(), name


def test_what_kills_is_on_record_as_deadly(knowledge):
    for name in ("Conium maculatum", "Cicuta maculata", "Atropa belladonna", "Datura stramonium"):
        assert deadly(name, knowledge), name


def test_what_is_eaten_at_home_is_not(knowledge):
    for name in ("Foeniculum vulgare", "Petroselinum crispum", "Daucus carota", "Angelica sylvestris", "Solanum lycopersicum"):
        assert not deadly(name, knowledge), name
