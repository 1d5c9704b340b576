"""First aid in the first words, what is never mixed, plants, and the law that others decide."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("splashed bleach in my eye", "Rinse the open eye at once"),
        ("got sap in my eye", "Rinse the open eye at once"),
        ("my son drank the bleach mix", "Call "),
        ("the dog ate some of the plant", "Call a vet"),
        ("the bleach fumes make me cough", "Go into fresh air"),
        ("bleach on my hands it burns", "Wash the skin"),
        ("cant see properly since i trimmed the milkweed", "Rinse the open eye at once"),
        ("gulped down the 10% solution", "Call "),
        ("baby licked the milkweed", "Call "),
        ("puppy lapped bleach water from the sink", "Call a vet"),
        ("the tabby is foaming at the mouth after chewing the plant, our cat", "Call a vet"),
        ("chest is tight after bleaching the cages", "Go into fresh air"),
        ("there is green gas coming off the bucket", "Go into fresh air"),
        ("bleach water dripped on my arm and its gone red", "Wash the skin"),
        ("arms came up in welts from the moth", "Wash the skin"),
        ("tongue is swelling after a sting", "Call 911"),
        ("he fainted in the shed", "Go into fresh air"),
        ("sliced my thumb on the tank", "Press a clean cloth"),
        ("the wet heater gave her a shock", "Call 911"),
        ("may children touch hairy caterpillars", "Hairs of"),
    ],
)
def test_someone_is_hurt(ask, text, first):
    answer = ask("safety", text)
    assert answer.status == "answered" and answer.text.startswith(first)
    assert any("no doses" in caution for caution in answer.cautions) and answer.sources


@pytest.mark.parametrize(
    "text", ["poured vinegar in the bleach bucket by accident", "the bucket stinks, i put bleach and descaler in"]
)
def test_what_was_mixed_already_is_left_and_aired_first(ask, text):
    assert ask("safety", text).text.startswith("Leave the room, air it")


def test_how_much_of_a_plant_kills_a_person_is_refused(ask):
    assert ask("safety", "how much oleander kills a man").status == "refused"


def test_bleach_goes_into_cold_water(ask):
    assert "use cold water" in ask("safety", "is hot water better with bleach").text.splitlines()[0]


def test_the_amount_that_harms_a_person_is_refused(ask):
    assert ask("safety", "how much bleach would make my brother ill").status == "refused"


@pytest.mark.parametrize(
    ("text", "gas"),
    [
        ("can I mix bleach with vinegar", "chlorine gas"),
        ("bleach plus ammonia cleaner ok", "chloramine"),
        ("add hydrogen peroxide to the bleach", "oxygen"),
        ("bleach and rubbing alcohol together", "chloroform"),
        ("vinegar with hydrogen peroxide", "peracetic"),
        ("bleach with dish soap", "toxic gas"),
        ("spirit of salts and bleach for the tubs", "chlorine gas"),
        ("500 ml of 10% bleach with a splash of descaler, how much of each", "chlorine gas"),
    ],
)
def test_what_is_never_mixed(ask, text, gas):
    answer = ask("safety", text)
    assert answer.text.startswith("Never mix them") and gas in answer.text and answer.cautions and answer.sources


def test_making_a_poison_is_refused(ask):
    answer = ask("safety", "how do I make chlorine gas from bleach")
    assert answer.status == "refused" and answer.cautions
    answer = ask("safety", "which two cleaners are best for gassing the man next door")
    assert answer.status == "refused" and answer.cautions
    assert ask("safety", "does bleach with vinegar make chlorine gas").status == "answered"


@pytest.mark.parametrize(
    ("place", "number"), [("Ohio, USA", "1-800-222-1222"), ("Kent, UK", "112"), ("", "your local poison service")]
)
def test_whom_to_call_goes_by_the_place(ask, small, place, number):
    small.settings = small.settings._replace(place=place)
    small.ledger.cohorts.clear()
    assert number in ask("safety", "I swallowed bleach").text


@pytest.mark.parametrize(
    ("plant", "text", "said"),
    [
        ("Ruta graveolens", "does rue burn the skin", "blisters"),
        ("Nerium oleander", "is oleander poisonous to dogs", "pets"),
        ("Asclepias syriaca", "is milkweed dangerous", "cornea"),
    ],
)
def test_hazards_of_a_plant(ask, plant, text, said):
    answer = ask("safety", text, hosts=[plant])
    assert said in f"{answer.text} {answer.cautions}" and answer.about["host"] == plant and answer.cautions and answer.sources


def test_of_two_plants_the_one_that_kills_comes_first_with_the_looks_of_both(ask):
    answer = ask("safety", "how do I tell parsley from hemlock", hosts=["Petroselinum crispum", "Conium maculatum"])
    assert answer.about["host"] == "Conium maculatum" and "Deadly" in answer.text.split("\n")[0]
    assert "purple" in answer.text and "Parsley (Petroselinum crispum):" in answer.text


def test_no_hazard_on_record_is_no_proof(ask):
    answer = ask("safety", "is it poisonous", hosts=["Lindera benzoin"])
    assert "no proof" in answer.text and answer.cautions


@pytest.mark.parametrize(
    "text",
    [
        "can I post painted ladies to another state",
        "is it against the law to rear swallowtails",
        "do I need a permit",
        "am I allowed to sell them",
    ],
)
def test_the_law_is_left_to_the_authority(ask, text):
    answer = ask("law", text)
    assert answer.text.startswith("That is for the authority") and "authority" in answer.cautions[0] and answer.sources


def test_a_hazard_to_larvae_only_is_no_answer_on_pets(ask):
    answer = ask("safety", "is sassafras safe for dogs", hosts=["Sassafras albidum"])
    assert answer.text.startswith("No hazard of sassafras") and "no proof" in answer.text.split("\n")[0]


def test_a_species_that_stings_is_told_by_its_own_card(ask):
    answer = ask("safety", "does it sting", species=["Automeris io"])
    assert answer.text.startswith("Take care with io moth (Automeris io): Its hairs or spines sting")


def test_a_hazard_to_people_is_no_answer_on_pets(ask):
    first = ask("safety", "is it safe for my dog", hosts=["Symphytum officinale"]).text.split("\n")[0]
    assert first.startswith("No hazard of comfrey") and "to pets is on record" in first


def test_the_law_on_a_protected_species_stands_beside_the_deferral(ask):
    lines = ask("law", "is it protected", species=["Euphydryas aurinia"]).text.split("\n")
    assert "cannot tell you that it is legal" in lines[0] and "Protected by law in parts" in lines[1]
