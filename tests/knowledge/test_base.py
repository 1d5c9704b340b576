"""Look-ups: what eats what in both directions, whole genera, cards, rules and sources."""

from __future__ import annotations

import pytest

from nurserytui.knowledge.layout import RANKS


def test_pairings_agree_in_both_directions(knowledge):
    for species in knowledge.all_species():
        for pairing in knowledge.pairings_of(species.scientific):
            (held,) = [one for one in knowledge.pairings_on(pairing.plant) if one.species == pairing.species]
            whole = pairing.plant.endswith(" spp.")
            assert held == pairing or (whole and RANKS.index(held.rank) <= RANKS.index(pairing.rank)), pairing
            assert knowledge.pairing(species.scientific, pairing.plant) == pairing


def test_what_is_no_food_stands_last(knowledge):
    places = {"primary": 0, "accepted": 1, "poor": 2, "emergency": 3, "trap": 4, "no": 5}
    lists = [knowledge.pairings_of(species.scientific) for species in knowledge.all_species()]
    lists += [knowledge.pairings_on(plant.scientific) for plant in knowledge.all_plants()]
    for pairings in lists:
        ranks = [places[pairing.rank] for pairing in pairings]
        assert ranks == sorted(ranks)


@pytest.mark.parametrize(
    ("species", "plant", "rank", "on"),
    [
        ("Danaus plexippus", "Vincetoxicum nigrum", "trap", "Vincetoxicum nigrum"),
        ("Danaus plexippus", "Asclepias spp.", "primary", "Asclepias syriaca"),
        ("Danaus plexippus", "Cucurbita pepo", "emergency", "Cucurbita pepo"),
        ("Nymphalis antiopa", "Salix nigra", "primary", "Salix spp."),
        ("Battus philenor", "Aristolochia elegans", "trap", "Aristolochia elegans"),
        ("Battus polydamas", "Aristolochia elegans", "primary", "Aristolochia elegans"),
        ("Papilio glaucus", "Populus tremuloides", "trap", "Populus tremuloides"),
        ("Pieris virginiensis", "Alliaria petiolata", "trap", "Alliaria petiolata"),
        ("Anthocharis cardamines", "Alliaria petiolata", "primary", "Alliaria petiolata"),
        ("Papilio troilus", "Liriodendron tulipifera", "no", "Liriodendron tulipifera"),
    ],
)
def test_a_pairing_by_plant_or_genus(knowledge, species, plant, rank, on):
    pairing = knowledge.pairing(species, plant)
    assert (pairing.rank, pairing.plant) == (rank, on)


def test_no_pairing_is_made_up(knowledge):
    assert knowledge.pairing("Vanessa atalanta", "Anethum graveolens") is None
    assert knowledge.pairing("Danaus plexippus", "Asclepias nova") is None
    assert knowledge.pairing("Nobody here", "Salix nigra") is None
    assert knowledge.pairings_of("Nobody here") == () == knowledge.pairings_on("Nothing grows")


def test_a_genus_gives_one_pairing_a_species(knowledge):
    names = [pairing.species for pairing in knowledge.pairings_on("Salix spp.")]
    assert len(names) == len(set(names)) > 5


def test_a_specialist_has_its_plants_in_its_families(knowledge):
    for species in knowledge.all_species():
        if species.specialist:
            for pairing in knowledge.pairings_of(species.scientific):
                if pairing.rank in ("primary", "accepted"):
                    assert knowledge.plant(pairing.plant).family in species.host_families, pairing


@pytest.mark.parametrize(
    ("plant", "of", "low", "high"),
    [
        ("willow", "Salix spp.", 7, 14),
        ("Salix nigra", "Salix spp.", 7, 14),
        ("parsley", "Petroselinum crispum", 4, 7),
        ("milkweed", "Asclepias syriaca", 1, 4),
        ("stinging nettle", "Urtica dioica", 1, 2),
    ],
)
def test_a_cutting_card_of_the_plant_or_its_genus(knowledge, plant, of, low, high):
    name, card = knowledge.cutting(plant)
    assert (name, card.days_low, card.days_high) == (of, low, high)


def test_no_cutting_card_is_made_up(knowledge):
    assert knowledge.cutting("Saintpaulia ionantha") is None
    assert "plug" in knowledge.general_cutting().how


def test_hazards_of_the_genus_stand_with_the_plant(knowledge):
    assert any("cornea" in hazard.what for hazard in knowledge.plant("Asclepias incarnata").hazards)
    assert any("ristolochic" in hazard.what for hazard in knowledge.plant("Dutchman's pipe").hazards)
    assert any("eadly" in hazard.what for hazard in knowledge.plant("Conium maculatum").hazards)


def test_common_names(knowledge):
    assert knowledge.common("Danaus plexippus") == "monarch"
    assert knowledge.common("Salix spp.") == "willow"
    assert knowledge.common("Ophryocystis elektroscirrha") == "OE"
    assert knowledge.common("Nobody here") == "Nobody here"


def test_old_names_and_plants(knowledge):
    assert knowledge.species("Eurytides marcellus").scientific == "Protographium marcellus"
    assert knowledge.species("nobody") is None
    assert knowledge.plant("Mimulus guttatus").scientific == "Erythranthe guttata"


def test_signs_by_stage_and_agents(knowledge):
    assert {sign.stage for sign in knowledge.signs("egg")} == {"egg"}
    assert len(knowledge.signs()) == sum(len(knowledge.signs(stage)) for stage in ("egg", "larva", "prepupa", "pupa", "adult"))
    assert knowledge.agent("OE").type == "protozoan"
    assert knowledge.agent("egg wasp").attacks == ("egg",)


def test_rules_by_topic_and_id(knowledge):
    assert knowledge.rule("keeping-time").value == 24
    assert all(rule.topic == "law" for rule in knowledge.rules("law"))
    assert knowledge.rules("cookery") == ()


def test_every_source_cited_can_be_shown(knowledge):
    sources = knowledge.cite(["memory", "practice", "memory", "takagi-1976"])
    assert [source.kind for source in sources] == ["memory", "practice", "published"]


def test_what_is_not_there_is_empty(knowledge):
    assert knowledge.thermal("Nobody here") == () == knowledge.durations("Nobody here")
    assert knowledge.prior("nobody") is None and knowledge.agent("nobody") is None and knowledge.rule("nothing") is None
