"""What larvae eat, who eats a plant, and whether this one eats that: each promise as a table over the shipped knowledge."""

from __future__ import annotations

import pytest

from nurserytui.answers import naming
from nurserytui.answers.acceptance import judge
from nurserytui.answers.hosts import hosts_of_species, species_on_host
from nurserytui.language.request import Named

GOOD = ("primary", "accepted")


def names(answer):
    return [item["name"] for item in answer.items]


@pytest.mark.parametrize(
    ("species", "plant"),
    [
        ("Danaus plexippus", "Asclepias incarnata"),
        ("Papilio troilus", "Lindera benzoin"),
        ("Aglais io", "Urtica dioica"),
        ("Limenitis archippus", "Salix nigra"),
    ],
)
def test_the_host_is_listed_with_rank_and_source(ask, species, plant):
    answer = ask("hosts-of-species", "what do they eat", species=[species])
    item = next(item for item in answer.items if item["name"] == plant)
    assert answer.status == "answered" and item["rank"] in GOOD and item["label"] != plant and item["reason"]
    assert answer.sources and plant in answer.text.split("\n")[0]


def test_traps_stand_last_and_say_why(ask):
    ranks = [item["rank"] for item in ask("hosts-of-species", "what do monarchs eat", species=["Danaus plexippus"]).items]
    assert "trap" in ranks and ranks.index("trap") == len(ranks) - ranks.count("trap")
    order = ["primary", "accepted", "poor", "emergency", "no", "trap"]
    assert ranks == sorted(ranks, key=order.index)


def test_what_has_run_out_is_not_offered_again(ask):
    answer = ask("hosts-of-species", "out of fennel what else", species=["Papilio zelicaon"], hosts=["Foeniculum vulgare"])
    assert answer.items and "Foeniculum vulgare" not in names(answer)


def test_emergency_food_comes_first_in_the_words_and_says_last_instar_only(ask):
    said = ask(
        "hosts-of-species",
        "run out of milkweed is there any emergency food",
        species=["Danaus plexippus"],
        hosts=["Asclepias spp."],
    )
    first = said.text.split("\n")[0]
    assert first.startswith("Emergency food") and "last-instar" in first and "Cucurbita pepo" in first
    assert not any(name.startswith("Asclepias") for name in names(said))


def test_a_plant_that_kills_people_is_named_but_never_offered(ask):
    answer = ask("hosts-of-species", "out of dill what else", species=["Papilio polyxenes"], hosts=["Anethum graveolens"])
    assert "Conium" not in answer.text.split("\n")[0]
    assert any("deadly" in line and "never gather" in line and "Conium maculatum" in line for line in answer.text.split("\n"))
    reason = next(item["reason"] for item in answer.items if item["name"] == "Conium maculatum")
    assert reason.startswith("DEADLY") and any("deadly" in caution.casefold() for caution in answer.cautions)


@pytest.mark.parametrize(
    ("species", "plant", "accepts", "first"),
    [
        ("Danaus plexippus", "Asclepias tuberosa", "yes", "Yes"),
        ("Papilio polyxenes", "Ruta graveolens", "yes", "Yes"),
        ("Danaus plexippus", "Vincetoxicum nigrum", "trap", "No, it is a trap"),
        ("Battus philenor", "Aristolochia elegans", "trap", "No, it is a trap"),
        ("Papilio glaucus", "Populus tremuloides", "trap", "No, it is a trap"),
        ("Danaus plexippus", "Asclepias hirtella", "poor", "Only poorly"),
        ("Danaus plexippus", "Cucurbita moschata", "emergency", "Only in an emergency"),
        ("Danaus plexippus", "Nerium oleander", "no", "No"),
        ("Pieris rapae", "Asclepias syriaca", "no", "No"),
    ],
)
def test_accepts(ask, species, plant, accepts, first):
    answer = ask("species-on-host", "does it eat it", species=[species], hosts=[plant])
    assert answer.values["accepts"].value == accepts and answer.text.startswith(first)
    assert answer.about == {"species": species, "host": plant} and answer.sources


def test_absence_of_a_record_is_no_evidence_for_a_generalist(ask, small):
    assert not small.knowledge.species("Actias luna").specialist
    answer = ask("species-on-host", "does it eat parsley", species=["Actias luna"], hosts=["Petroselinum crispum"])
    assert answer.values["accepts"].value == "unrecorded" and answer.text.startswith("No record")


@pytest.mark.parametrize(
    ("plant", "eaters"),
    [
        ("Urtica dioica", {"Vanessa atalanta", "Aglais io"}),
        ("Salix spp.", {"Limenitis archippus", "Nymphalis antiopa"}),
        ("Viola sororia", {"Speyeria cybele", "Euptoieta claudia"}),
    ],
)
def test_who_eats_a_plant_best_first(ask, plant, eaters):
    answer = ask("species-on-host", "what eats it", hosts=[plant])
    ranks = [["primary", "accepted", "poor", "emergency", "no", "trap"].index(item["rank"]) for item in answer.items]
    assert eaters <= set(names(answer)) and ranks == sorted(ranks)


def test_the_host_of_a_cohort_is_asked_for_by_its_label(ask):
    answer = ask("hosts-of-species", "what can I give fennel-2", cohorts=("fennel-2",))
    assert answer.about == {"species": "Papilio polyxenes", "cohort": "fennel-2"}


def test_an_unknown_name_is_not_guessed(ask):
    answer = ask("hosts-of-species", "what does the blue glimmerwing eat", unknown_names=("blue glimmerwing",))
    assert answer.status == "unknown" and "glimmerwing" in answer.text and not answer.items


def test_a_name_nearly_right_is_offered(ask):
    answer = ask("hosts-of-species", "what does the spicebush swalowtale eat", unknown_names=("spicebush swalowtale",))
    assert answer.status == "clarify" and answer.options == ("What do spicebush swallowtail larvae eat?",)


@pytest.mark.parametrize(
    ("species", "text", "hosts", "accepts", "first"),
    [
        (
            "Pieris rapae",
            "out of cabbage, would nasturtium do",
            ["Brassica oleracea", "Tropaeolum majus"],
            "no",
            "Not for larvae that",
        ),
        ("Papilio polyxenes", "no more dill, can they have fennel", ["Anethum graveolens", "Foeniculum vulgare"], "yes", "Yes"),
        (
            "Hyalophora cecropia",
            "can they be moved from lilac to box elder",
            ["Syringa vulgaris", "Acer negundo"],
            "poor",
            "Not for larvae that",
        ),
        ("Hyalophora cecropia", "can they be moved from cherry to box elder", ["Prunus avium", "Acer negundo"], "yes", "Yes"),
        ("Limenitis archippus", "willow is gone, will oak do", ["Salix nigra", "Quercus alba"], "unrecorded", "No record"),
    ],
)
def test_a_plant_asked_about_in_place_of_one_that_ran_out(keeping, ask, small, species, text, hosts, accepts, first):
    words = {"Brassica oleracea": "cabbage", "Tropaeolum majus": "nasturtium", "Anethum graveolens": "dill"}
    words |= {"Syringa vulgaris": "lilac", "Acer negundo": "box elder", "Prunus avium": "cherry"}
    words |= {"Foeniculum vulgare": "fennel", "Salix nigra": "willow", "Quercus alba": "oak"}
    line = keeping.request(text, "hosts-of-species", species=[species])
    line = line._replace(hosts=tuple(Named(words[name], (name,)) for name in hosts))
    answer = hosts_of_species(line, small)
    assert answer.values["accepts"].value == accepts and answer.text.startswith(first)
    assert answer.about["host"] == hosts[1] and hosts[0] not in answer.text


@pytest.mark.parametrize(
    ("text", "word", "plant", "accepts"),
    [
        ("would oak be a substitute", "oak", "Quercus alba", "unrecorded"),
        ("is poplar an alternative", "poplar", "Populus deltoides", "yes"),
        ("is willow gone, what else", "willow", "Salix nigra", ""),
    ],
)
def test_a_plant_that_is_tried_as_a_substitute_has_not_run_out(keeping, small, text, word, plant, accepts):
    line = keeping.request(text, "hosts-of-species", species=["Limenitis archippus"])
    answer = hosts_of_species(line._replace(hosts=(Named(word, (plant,)),)), small)
    verdict = answer.values.get("accepts")
    assert (verdict.value if verdict else "") == accepts


def test_a_whole_genus_with_traps_in_it_says_so_in_the_first_line(ask):
    answer = ask("species-on-host", "do they eat pipevine", species=["Battus philenor"], hosts=["Aristolochia spp."])
    assert answer.values["accepts"].value == "yes"
    assert "not all kinds" in answer.text.split("\n")[0] and "Aristolochia elegans" in answer.text.split("\n")[0]


def test_a_plant_of_the_family_of_a_substitute_is_not_called_refused(small):
    taken = {naming.genus(one.plant) for one in small.knowledge.pairings_of("Manduca sexta")}
    others = [one.scientific for one in small.knowledge.all_plants() if one.family == "Cucurbitaceae"]
    assert {judge("Danaus plexippus", (plant,), small.knowledge).accepts for plant in others} <= {"emergency", "unrecorded"}
    assert "Vigna" in taken and judge("Manduca sexta", ("Phaseolus vulgaris",), small.knowledge).accepts == "unrecorded"


def test_an_unknown_plant_is_no_record_and_no_list(ask):
    answer = ask("hosts-of-species", "can monarchs eat quibbleweed", species=["Danaus plexippus"])
    assert answer.status == "unknown" and "quibbleweed" in answer.text and answer.values["accepts"].value == "unrecorded"


@pytest.mark.parametrize(
    ("species", "text", "line", "words"),
    [
        ("Danaus plexippus", "which plants are traps for them", 0, ("Never leave them", "Vincetoxicum nigrum")),
        ("Papilio cresphontes", "what can i buy at the garden centre", 1, ("untreated",)),
        ("Protographium marcellus", "pawpaw is all gone what now", -1, ("No emergency food", "Annonaceae")),
        ("Vanessa atalanta", "what do they eat in england", 0, ("Urtica dioica", "Parietaria judaica")),
    ],
)
def test_the_line_that_was_asked_for_is_there(ask, species, text, line, words):
    lines = ask("hosts-of-species", text, species=[species]).text.split("\n")
    assert all(word in lines[line] for word in words), lines


def test_what_grows_elsewhere_only_is_not_the_first_thing_offered(ask):
    first, *rest = ask("hosts-of-species", "what do they eat in england", species=["Vanessa atalanta"]).text.split("\n")
    assert "Boehmeria" not in first and any("In other regions" in line and "Boehmeria" in line for line in rest)
    assert "Boehmeria" in ask("hosts-of-species", "what do they eat", species=["Vanessa atalanta"]).text.split("\n")[0]


def test_what_the_keeper_used_before_comes_first_within_its_rank(ask):
    answer = ask("hosts-of-species", "what do they eat", species=["Papilio polyxenes"])
    assert names(answer)[0] == "Foeniculum vulgare" and "In your records already: fennel" in answer.text
    assert [source.kind for source in answer.sources][-1] == "own records"


def test_two_plants_that_ran_out_together_are_both_gone_and_a_specialist_has_nothing_else(keeping, small):
    line = keeping.request("out of nettles and hops, what else", "hosts-of-species", species=["Aglais io"])
    line = line._replace(hosts=(Named("nettles", ("Urtica dioica",)), Named("hops", ("Humulus lupulus",))))
    answer = hosts_of_species(line, small)
    assert answer.text.startswith("Nothing on record takes the place of nettles or hops") and "Urticaceae" in answer.text


def test_emergency_food_does_not_come_first_while_a_main_host_is_left(ask):
    answer = ask("hosts-of-species", "out of fennel, what else", species=["Danaus plexippus"], hosts=["Foeniculum vulgare"])
    lines = answer.text.split("\n")
    assert not lines[0].startswith("Emergency") and "Asclepias syriaca" in lines[0]
    assert any("No record says" in line and "Foeniculum vulgare" in line for line in lines)


def test_a_name_of_several_species_is_asked_back_with_the_verdict_for_each(keeping, small):
    line = keeping.request("do swallowtails eat parsley", "species-on-host", hosts=["Petroselinum crispum"])
    several = ("Papilio machaon", "Papilio zelicaon", "Papilio cresphontes", "Papilio glaucus")
    answer = species_on_host(line._replace(species=(Named("swallowtails", several, usual=False),)), small)
    told = answer.text.split("\n")[-1]
    assert answer.status == "clarify" and answer.options
    assert "eaten by Old World swallowtail" in told and "not eaten by giant swallowtail" in told
    assert "not on record as eaten by eastern tiger swallowtail" in told


def test_a_record_of_the_genus_is_not_passed_off_as_one_of_the_kind(ask):
    answer = ask("species-on-host", "do they eat it", species=["Limenitis archippus"], hosts=["Prunus laurocerasus"])
    assert answer.text.startswith("Yes, going by its genus") and "Prunus spp." in answer.text and "one larva first" in answer.text
    assert any("cyanide" in caution for caution in answer.cautions)


@pytest.mark.parametrize(
    ("text", "slots", "refused"),
    [
        ("can they have pumpkin, they are second instar", {"instar": 2}, True),
        ("tiny monarchs, pumpkin ok", {}, True),
        ("can they have pumpkin, they are fifth instar", {"instar": 5}, False),
        ("can they have pumpkin", {}, False),
    ],
)
def test_emergency_food_is_refused_to_small_larvae(ask, text, slots, refused):
    answer = ask("species-on-host", text, species=["Danaus plexippus"], hosts=["Cucurbita pepo"], **slots)
    assert answer.values["accepts"].value == "emergency"
    assert answer.text.startswith("Not for larvae this small" if refused else "Only in an emergency")
    line = ask("hosts-of-species", f"run out of food, {text}", species=["Danaus plexippus"], **slots).text.split("\n")[0]
    assert line.startswith("No emergency food carries" if refused else "Emergency food")


def test_out_of_a_plant_is_answered_for_the_animals_kept_that_eat_it(ask):
    """The small nursery keeps one kind that eats fennel; of milkweed none is kept, so the kinds that eat it are asked about."""
    answer = ask("hosts-of-species", "i'm out of fennel", hosts=["Foeniculum vulgare"])
    assert answer.status == "answered" and "instead of" in answer.text.split("\n")[0]
    asked = ask("hosts-of-species", "i'm out of willow", hosts=["Salix spp."])
    assert asked.status == "clarify" and asked.options
    assert all(option.endswith("larvae eat instead of Salix spp.?") for option in asked.options)
