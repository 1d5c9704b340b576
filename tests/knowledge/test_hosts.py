"""Pairings of species and plant over the whole shipped knowledge: both ways, with reasons, and no specialist without evidence."""

from __future__ import annotations

from nurserytui.knowledge.layout import RANKS

NEVER = ("trap", "no")
EATEN = ("primary", "accepted", "poor", "emergency")


def test_every_pairing_is_found_from_the_species_and_from_the_plant(knowledge):
    known = {(one.species, one.plant) for each in knowledge.all_species() for one in knowledge.pairings_of(each.scientific)}
    found = {(one.species, one.plant) for plant in knowledge.all_plants() for one in knowledge.pairings_on(plant.scientific)}
    assert found <= known
    for species, plant in known:
        ours = knowledge.pairing(species, plant)
        (theirs,) = [one for one in knowledge.pairings_on(plant) if one.species == species]
        assert theirs == ours or (plant.endswith(" spp.") and RANKS.index(theirs.rank) <= RANKS.index(ours.rank)), (
            species,
            plant,
        )


def test_every_pairing_says_why_and_from_where(shipped):
    for key, pairing in shipped.sections["hosts"].items():
        assert len(pairing.reason.split()) >= 2 and pairing.sources, key
        assert len(pairing.reason.split()) <= 60, key


def test_reasons_are_not_the_same_words_over_and_over(shipped):
    reasons: dict[str, int] = {}
    for pairing in shipped.sections["hosts"].values():
        reasons[pairing.reason] = reasons.get(pairing.reason, 0) + 1
    assert max(reasons.values()) <= 6, max(reasons, key=reasons.get)


def test_what_is_no_food_stands_last_and_what_kills_people_is_no_main_host(knowledge):
    for species in knowledge.all_species():
        never = [one.rank in NEVER for one in knowledge.pairings_of(species.scientific)]
        assert never == sorted(never), species.scientific
        for one in knowledge.pairings_of(species.scientific):
            hazards = knowledge.plant(one.plant).hazards
            if any("deadly" in hazard.what.casefold() and "people" in hazard.who for hazard in hazards):
                assert one.rank != "primary", one


def test_a_specialist_has_evidence_and_eats_within_its_families(knowledge):
    for species in knowledge.all_species():
        if not species.specialist:
            continue
        told = [note for note in species.notes if "feed" in note.text and note.sources]
        assert species.host_families and told, species.scientific
        for one in knowledge.pairings_of(species.scientific):
            if one.rank in ("primary", "accepted"):
                assert knowledge.plant(one.plant).family in species.host_families, one


def test_the_families_of_all_good_hosts_are_among_the_host_families(knowledge):
    for species in knowledge.all_species():
        good = [one for one in knowledge.pairings_of(species.scientific) if one.rank in ("primary", "accepted")]
        families = {knowledge.plant(one.plant).family for one in good}
        assert families <= set(species.host_families), (species.scientific, families - set(species.host_families))


def test_a_plant_of_some_regions_only_is_of_regions_where_the_species_lives(knowledge):
    for species in knowledge.all_species():
        for one in knowledge.pairings_of(species.scientific):
            assert set(one.regions) <= set(species.regions), one


def test_emergency_food_says_where_it_fails(shipped):
    for key, pairing in shipped.sections["hosts"].items():
        if pairing.rank == "emergency":
            assert "last instar" in pairing.reason, key
