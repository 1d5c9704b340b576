"""What an egg's looks over time say of it: states with probabilities, what the time that has passed does to them, wintering eggs."""

from __future__ import annotations

import pytest

from nurserytui import answers
from nurserytui.answers import egg_states
from nurserytui.language.context import Context
from nurserytui.language.understand import understand

EMPTY = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
DESCRIBED = (
    ("black swallowtail egg laid 4 days ago now has a dark tip", "alive"),
    ("the egg has gone see-through and i can see a little black head", "alive"),
    ("my monarch egg turned grey this morning", "alive"),
    ("cloudless sulphur egg went from white to orange", "alive"),
    ("egg looks like a deflated football", "dead"),
    ("egg has sunk in on one side and gone brown", "dead"),
    ("eggs shrivelled up like raisins", "dead"),
    ("there is a dimple in the top of my monarch egg", "dead"),
    ("all the eggs in the batch are shiny black and it has been 10 days", "parasitised"),
    ("egg went jet black and stayed that way for a week", "parasitised"),
    ("pin prick hole in the egg and a minute wasp walking about", "parasitised"),
    ("small round hole, empty egg, no caterpillar anywhere", "parasitised"),
    ("egg shell split open on top and eaten down to the base", "hatched"),
    ("only the bottom of the egg shell is left and there is a nibble on the leaf", "hatched"),
    ("green fluff growing on the egg", "dead"),
    ("mouldy egg", "dead"),
    ("gulf fritillary egg is 3 days old and still bright yellow", "alive"),
    ("monarch egg 14 days old still cream coloured", "dead"),
    ("eggs still green after 2 days", "alive"),
    ("left the eggs in a hot car for an hour, are they dead", "dead"),
    ("sprayed the room for flies, will my eggs hatch", "dead"),
    ("dropped the egg on the floor is it still ok", "alive"),
    ("the leaf my egg is on dried up, will it survive", "alive"),
    ("tiger swallowtail egg turned yellow then got a dark head", "alive"),
    ("eggs have been in the fridge for a week can they hatch", "alive"),
    ("egg has a red ring round the middle", "alive"),
    ("peacock eggs have all gone dark grey", "alive"),
    ("ants on the leaf and the eggs are gone", "taken"),
    ("something has sucked the egg dry, just a clear skin left", "taken"),
)
"""Eggs in keepers' words, and the state that they show."""

ALIVE, STUNG, DEAD = "Probably alive", "Probably parasitised", "Probably dead"


@pytest.mark.parametrize(
    ("text", "species", "first"),
    [
        ("egg was cream, now grey with a black dot", "", ALIVE),
        ("one dark spot at the tip, rest see-through", "Danaus plexippus", ALIVE),
        ("the shell is clear and i can see the caterpillar inside", "", ALIVE),
        ("the egg has a brown ring around it", "Papilio machaon", ALIVE),
        ("egg fell off the leaf, will it still hatch", "", ALIVE),
        ("the egg is black all over and shiny", "", STUNG),
        ("tiny wasps in the egg cup", "", STUNG),
        ("a whole batch of empty shells each with a neat round hole and no larvae", "", STUNG),
        ("the egg is dented and shrivelled", "", DEAD),
        ("the eggs stood in the sun on the window sill", "", "Perhaps dead"),
        ("white fuzz on the egg", "", DEAD),
        ("egg still yellow after 12 days", "Danaus plexippus", DEAD),
        ("empty shell with an open top, half eaten, and a tiny caterpillar beside it", "", "Probably hatched"),
        ("the egg vanished overnight", "", "Perhaps taken or lost"),
        ("the egg was sticky and smeared when I touched it", "Danaus plexippus", "Probably no egg at all"),
    ],
)
def test_the_first_line_says_the_state(ask, text, species, first):
    answer = ask("egg-viability", text, species=[species] if species else [])
    assert answer.status == "answered" and answer.text.startswith(first)
    assert answer.items and sum(item["probability"] for item in answer.items) <= 1
    assert "Never open an egg" in answer.cautions[-1] and "dated cup" in answer.cautions[-1]


@pytest.mark.parametrize(
    ("text", "was", "unchanged", "age"),
    [
        ("was cream, now grey", ("cream",), False, None),
        ("it was pale yellow and turned red after 3 days", ("yellow",), False, 3),
        ("laid white, now orange", ("white",), False, None),
        ("yellow for 6 days", (), True, 6),
        ("still green after a week", (), True, 7),
        ("no change for ten days", (), True, 10),
        ("has not changed in a couple of weeks", (), True, 14),
        ("not hatched yet", (), True, None),
        ("still white with a black dot", (), False, None),
        ("half hatched three days ago, the rest look the same", (), False, 3),
        ("went brown after two days", (), False, 2),
    ],
)
def test_time_and_change_are_read(small, keeping, text, was, unchanged, age):
    request = keeping.request(text, "egg-viability")
    found = egg_states.told(text, None, "", request, small)
    assert (found.was, found.unchanged, found.age) == (was, unchanged, age)


def test_how_to_tell_is_no_faint_sign(ask):
    answer = ask("egg-viability", "how do I tell a dud egg from a good one", cues=frozenset({"tell"}))
    assert answer.text.startswith("A fertile egg stays plump")
    assert "leaf" not in ask("egg-viability", "is a black egg dead").about.get("sign", "")


def test_days_since_a_date_in_the_line(ask):
    answer = ask(
        "egg-viability",
        "egg laid on the 3rd and still green",
        species=["Danaus plexippus"],
        period=("2031-08-03", "2031-08-04"),
        said="on the 3rd",
    )
    assert "7 have passed" in answer.text


def dead(answer) -> float:
    return sum(item["probability"] for item in answer.items if egg_states.state(item["name"]) != "alive")


def test_the_longer_unchanged_the_likelier_dead(ask):
    chances = [
        dead(ask("egg-viability", f"still yellow after {days} days", species=["Papilio polyxenes"])) for days in (1, 4, 8, 12, 20)
    ]
    assert chances == sorted(chances) and chances[0] < 0.25 and chances[-1] > 0.8


def test_in_the_cool_the_same_days_say_less(ask, keeping):
    def at(celsius):
        amount = keeping.Amount(celsius, "degC", "temperature", f"{celsius} C")
        return ask("egg-viability", f"still yellow after 8 days at {celsius} C", species=["Danaus plexippus"], amounts=(amount,))

    assert dead(at(16)) < dead(at(26)) - 0.3


def test_without_a_species_it_says_so(ask):
    answer = ask("egg-viability", "no change for 10 days")
    assert "Tell me the species" in answer.text and 0.2 < dead(answer) < 0.8


def test_eggs_that_winter_are_never_given_up(ask, small):
    known = small.knowledge._species
    small.knowledge.__dict__["_species"] = {
        **known,
        "Strymon melinus": known["Strymon melinus"]._replace(winters_as="egg"),
    }
    answer = ask("egg-viability", "still green after 60 days", species=["Strymon melinus"])
    resting = {item["name"]: item["probability"] for item in answer.items}["egg that rests over winter"]
    assert resting > 0.3 and "Never" in answer.text and answer.values["give_up_days"].value is None


def test_a_cohort_is_judged_by_its_records(ask):
    answer = ask("egg-viability", "are the eggs of white-2 alive", cohorts=("white-2",))
    assert answer.text.startswith("Probably alive") and "1 day ago" in answer.text
    assert answer.values["give_up"].value and answer.values["alive"].value > 0.7
    assert answer.sources[-1].kind == "own records"


def test_brown_is_normal_where_the_species_turns_brown(ask):
    brown = ask("egg-viability", "went brown after two days", species=["Dione vanillae"])
    pale = ask("egg-viability", "went brown after two days", species=["Pieris rapae"])
    assert brown.text.startswith("Yes, that is normal") and not pale.text.startswith("Yes")


def test_a_wasp_does_not_darken_an_egg_on_its_first_day(ask):
    def stung(text):
        items = ask("egg-viability", text, species=["Papilio polyxenes"]).items
        return sum(item["probability"] for item in items if item["name"] in egg_states.STUNG)

    assert stung("the egg is black all over after 1 day") < stung("the egg is black all over after 12 days") - 0.2


def test_described_eggs_get_their_state(keeping):
    nursery = keeping.nursery(EMPTY, "2031-07-10T09:00")
    right = 0
    for text, state in DESCRIBED:
        answer = answers.respond(understand(text, nursery, Context())._replace(topic="egg-viability"), nursery)
        assert sum(item["probability"] for item in answer.items) <= 1
        right += bool(answer.items) and next(iter(egg_states.shares(answer.items))) == state
    assert right / len(DESCRIBED) >= 0.9


@pytest.mark.parametrize(
    ("text", "taken_for"),
    [
        ("brown hairstreak egg still white after 60 days", "Strymon melinus"),
        ("when should i give up on purple-edged copper eggs", ""),
        ("silver-studded blue eggs have not hatched after 40 days", ""),
    ],
)
def test_kinds_that_may_winter_as_eggs_are_not_given_up_for_want_of_a_card(ask, text, taken_for):
    answer = ask("egg-viability", text, species=[taken_for] if taken_for else [])
    assert answer.text.startswith("Never give up") and "2032-05-01" in answer.text
    assert answer.values["give_up"].value is None and answer.values["give_up"].reason
    assert answer.items[0]["name"] == "egg that rests over winter"


def test_a_hairstreak_with_a_card_is_judged_by_it(ask):
    answer = ask("egg-viability", "gray hairstreak egg still green after 12 days", species=["Strymon melinus"])
    assert not answer.text.startswith("Never") and answer.values["give_up_days"].value


@pytest.mark.parametrize("text", ["a brown egg", "the egg is on a brown leaf", "whose is the red egg"])
def test_a_colour_alone_is_no_sign(ask, text):
    assert ask("egg-viability", text).status == "clarify"


def test_an_egg_without_a_name_is_judged_by_its_plant_and_looks(ask):
    answer = ask(
        "egg-viability", "my white pointed egg under a kale leaf turned yellow, is that normal", hosts=["Brassica oleracea"]
    )
    assert answer.text.startswith("Yes, that is normal") and answer.about["species"] == "Pieris rapae"
    assert "Taken for an egg of small white" in answer.text
