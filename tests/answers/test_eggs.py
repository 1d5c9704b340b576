"""Whose egg it is, by naive Bayes over traits; whether it is alive, and the day to give up."""

from __future__ import annotations

import pytest

from nurserytui.answers import egg_traits
from nurserytui.knowledge.facts import EggTraits


@pytest.fixture
def seen(small):
    return lambda text, *names: egg_traits.read(text, small.knowledge.traits, names)


@pytest.mark.parametrize(
    ("text", "colours", "shapes", "grouping", "count", "places"),
    [
        ("a single cream egg under a leaf", ("cream",), (), ("single",), 1, ("leaf-under",)),
        ("cluster of 15 brick red round eggs on shoot tips", ("red",), ("round",), ("batch",), 15, ("shoot-tip",)),
        ("about 80 green barrels on the underside", ("green",), ("barrel",), ("batch",), 80, ("leaf-under",)),
        ("two dome shaped eggs", (), ("dome",), ("few",), 2, ()),
        ("a collar of 150 eggs round a twig", (), (), ("ring",), 150, ("twig",)),
        ("an orange spindle on the flower stalk", ("orange",), ("spindle",), (), None, ("flower",)),
        ("white oval on a hair thin stalk", ("white",), ("stalked",), (), None, ()),
    ],
)
def test_traits_are_read_from_words(seen, text, colours, shapes, grouping, count, places):
    found = seen(text)
    assert (found.colours, found.shapes, found.grouping, found.count, found.places) == (colours, shapes, grouping, count, places)


def test_the_name_of_a_plant_is_no_trait(seen):
    assert seen("a green egg on an orange tree", "orange tree").colours == ("green",)
    assert "orange" in seen("a green egg on an orange tree").colours


def test_the_size_is_read(seen):
    assert seen("a 1.2 mm egg").size_mm == 1.2


def test_a_closer_trait_is_likelier():
    traits = EggTraits(colours=("green",), shapes=("barrel", "ribbed"), grouping=("batch",), batch_low=60, batch_high=120)
    near = egg_traits.Seen(colours=("green",), grouping=("batch",), count=80)
    far = egg_traits.Seen(colours=("red",), grouping=("batch",), count=450)
    assert egg_traits.fit(near, traits)["colour"] > 5 * egg_traits.fit(far, traits)["colour"]
    assert egg_traits.fit(near, traits)["grouping"] > 2 * egg_traits.fit(far, traits)["grouping"]


def test_the_trait_that_tells_two_apart_is_the_one_that_differs():
    one = EggTraits(colours=("white",), shapes=("round",), places=("leaf-under",))
    other = EggTraits(colours=("cream",), shapes=("round",), places=("twig",))
    assert egg_traits.separating(one, other)[0] == "place"
    assert egg_traits.separating(one, one) is None


@pytest.mark.parametrize(
    ("text", "plant", "first"),
    [
        ("one ivory pointed egg with ribs under a leaf", "Asclepias incarnata", "Danaus plexippus"),
        ("a patch of about 90 green ribbed eggs beneath the leaf", "Urtica dioica", "Aglais urticae"),
        ("roughly 400 olive barrels under a leaf", "Urtica dioica", "Aglais io"),
        ("a lone orange ball on the upper side of a leaf", "Citrus x limon", "Papilio cresphontes"),
        ("12 rust red balls on the stem", "Aristolochia macrophylla", "Battus philenor"),
        ("a batch of 40 yellow skittles", "Brassica oleracea", "Pieris brassicae"),
        ("a lone white bullet beneath a leaf", "Brassica oleracea", "Pieris rapae"),
        ("a band of 120 eggs wrapped round a twig", "Salix nigra", "Nymphalis antiopa"),
        ("a single green ribbed barrel", "Cirsium arvense", "Vanessa cardui"),
        ("white oval on a long hair-thin stalk", "Foeniculum vulgare", "green lacewing egg"),
    ],
)
def test_whose_egg(ask, text, plant, first):
    answer = ask("egg-identification", text, hosts=[plant])
    shares = [item["probability"] for item in answer.items]
    assert answer.status == "answered" and answer.items[0]["name"] == first
    assert sum(shares) <= 1 and shares == sorted(shares, reverse=True)
    assert all(item["check"] and item["reason"] for item in answer.items)
    assert answer.working and answer.sources and f"{shares[0] * 100:.0f} %" in answer.text.split("\n")[0]


def test_too_little_to_go_on_is_asked(ask):
    answer = ask("egg-identification", "whose egg is this")
    assert answer.status == "clarify" and len(answer.options) >= 2 and not answer.items


def test_species_of_the_keeper_count_more(ask, keeping):
    text, kept = "a green round egg", "2031-07-01,found,Z,,Papilio rutulus,egg,,1,jar,,,,,\n"
    plain = keeping.nursery("when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n")
    own = keeping.nursery("when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n" + kept)
    share = [
        {
            item["name"]: item["probability"]
            for item in ask("egg-identification", text, nursery=one, hosts=["Prunus virginiana"]).items
        }.get("Papilio rutulus", 0)
        for one in (plain, own)
    ]
    assert share[1] > share[0] > 0


@pytest.mark.parametrize(
    ("text", "first", "isolate"),
    [
        ("the egg has one dark spot at the tip, the rest is clear", "larva about to hatch (head capsule)", "no"),
        ("egg is black all over and shiny", "Trichogramma", "yes"),
        ("a pinhole in the egg, nothing inside, shell not eaten", "Trichogramma", "yes"),
        ("the egg is dented", "infertile egg", "no"),
        ("white fuzz on the egg", "mould on a damp, dead egg", "yes"),
    ],
)
def test_states_of_an_egg(ask, text, first, isolate):
    answer = ask("egg-viability", text)
    assert answer.status == "answered" and answer.items[0]["name"] == first
    assert answer.values["isolate"].value == isolate and sum(item["probability"] for item in answer.items) <= 1


def test_a_species_whose_whole_egg_darkens_is_not_called_parasitised(ask):
    dark = ask("egg-viability", "the eggs are black all over", species=["Aglais io"]).items[0]["name"]
    pale = ask("egg-viability", "the eggs are black all over", species=["Danaus plexippus"]).items[0]["name"]
    assert dark.startswith("embryo") and pale == "Trichogramma"


def test_a_change_of_colour_that_is_usual_is_said_to_be_normal(ask):
    answer = ask("egg-viability", "is it normal that it turns red", species=["Phoebis sennae"])
    assert answer.text.startswith("Yes, that is normal")
    assert not ask("egg-viability", "is it normal that it turns blue", species=["Phoebis sennae"]).text.startswith("Yes")


def test_the_give_up_days_of_a_species(ask, keeping):
    warm = ask("egg-viability", "when should I give up on them", species=["Danaus plexippus"])
    cold = keeping.Amount(15, "degC", "temperature", "15 C")
    cool = ask("egg-viability", "when should I give up on them at 15 C", species=["Danaus plexippus"], amounts=(cold,))
    assert warm.values["give_up_days"][:4] == (10, "day", 10, 16)
    # At a temperature the days come from the eggs' own development there; the house rule for a cool room stands beside them.
    assert cool.values["house_rule_days"][:4] == (16, "day", 10, 16) and "16 days" in cool.text
    assert 16 < cool.values["give_up_days"].low < cool.values["give_up_days"].value < cool.values["give_up_days"].high < 40


@pytest.mark.parametrize(("days", "said"), [(5, "not yet time"), (12, "not yet in a cool one"), (20, "hardly hatch")])
def test_an_age_that_is_told_is_judged(ask, days, said):
    answer = ask("egg-viability", f"egg not hatched after {days} days", species=["Danaus plexippus"])
    assert said in answer.text.split("\n")[0]


def test_the_give_up_date_of_a_cohort(ask):
    answer = ask("egg-viability", "when do I give up on white-2", cohorts=("white-2",))
    # Twelve days by the house rule; by their own development at 22 °C they have hatched well before.
    assert answer.values["house_rule"][:4] == ("2031-08-21", "", "2031-08-21", "2031-08-27")
    assert (
        "2031-08-14"
        < answer.values["give_up"].low
        <= answer.values["give_up"].value
        <= answer.values["give_up"].high
        < "2031-08-24"
    )
    assert (
        "9 eggs" in answer.text and "2031-08-21" in answer.text and answer.values["give_up"].value in answer.text.split("\n")[0]
    )
    assert answer.sources[-1].kind == "own records"
