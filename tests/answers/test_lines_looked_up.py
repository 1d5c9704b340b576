"""Questions of knowledge as they are typed, from the line to what the answer must say."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store


@pytest.fixture(scope="module")
def nursery(tmp_path_factory):
    with Store.open(tmp_path_factory.mktemp("lookup") / "n.db") as store:
        yield Nursery(store, load(), datetime(2026, 6, 22, 9))


@pytest.fixture
def assistant(nursery):
    """A conversation of its own for every line."""
    return Assistant(nursery)


@pytest.mark.parametrize(
    ("line", "topic", "said"),
    [
        ("after how many days may one give up on small tortoiseshell eggs in a warm room", "egg-viability", "21 days"),
        ("how many days until I can throw out red admiral eggs", "egg-viability", "12 days"),
        ("when do I write off hornworm eggs at room temperature", "egg-viability", "hornworm"),
        ("comma eggs found in england, how many days b4 i chuck them", "egg-viability", "days"),
        ("how do you know that an egg was not fertilised", "egg-viability", "A fertile egg"),
        ("which colour do orange-tip eggs turn", "egg-viability", "turn orange"),
        ("do eggs of the small white change colour before they hatch", "egg-viability", "yellow"),
        ("my egg has shrunk and is dented ten days after laying, is it still alive", "egg-viability", "infertile"),
        ("egg went slimy and soft after the bleach rinse", "egg-viability", "dissolved by bleach"),
        ("how long are hornworm eggs at 24 c", "stage-duration", "egg stage"),
        ("what share of its food does a larva take in its last stage", "food-supply", "three quarters"),
        ("how much of everything a caterpillar eats falls in the last instar", "food-supply", "85 %"),
        ("tiger swallowtail, I mean the western, what do its larvae eat", "hosts-of-species", "Papilio rutulus"),
        ("what is eaten by painted lady caterpillars besides thistle", "hosts-of-species", "instead of thistle"),
        ("my monarchs stripped the milkweed, anything from the kitchen they can have", "hosts-of-species", "Emergency food"),
        ("red admirals on hop, allowed or not", "species-on-host", "Yes"),
        ("is pumpkin safe for monarchs in an emergency", "species-on-host", "Only in an emergency"),
        ("which wasp attacks the caterpillars of the large white", "about-agent", "Cotesia"),
        ("tell me about cotesia glomerata", "about-agent", "small white"),
        ("what is to be done with a tub between one brood and the next", "hygiene", "Disinfect between"),
        ("for how long must black swallowtail pupae be chilled before I warm them", "overwintering", "weeks"),
        ("with what can I nourish a butterfly that has to stay in for the rain", "release", "Sugar or honey water"),
        ("gale and drizzle here, do i hang on to the butterfly that came out today", "release", "Keep it in for now"),
        ("monarch chrysalis has dark smudges, different on each side, 3 days b4 its due", "health-sign", "OE"),
        ("painted lady came out with stumps for wings", "health-sign", "OE"),
        ("what's on sassafras", "species-on-host", "Callosamia promethea"),
        ("who takes dill", "species-on-host", "Papilio polyxenes"),
        ("will red admirals eat spinach if there is nothing else left", "species-on-host", "No"),
        ("may large whites have the nasturtium by the gate", "species-on-host", "Yes"),
        ("butternut for a monarch in its last instar", "species-on-host", "Only in an emergency"),
        ("will a fifth instar monarch eat cucumber if i have nothing else", "species-on-host", "Only in an emergency"),
        ("how many months of cold for an anise swallowtail chrysalis", "overwintering", "weeks"),
        ("bleach the tubs how frequently", "hygiene", "each time a new animal"),
        ("my new monarch is quivering its wings, it is cold out", "health-sign", "warming up"),
        ("new painted lady trembling its wings at dawn", "health-sign", "warming up"),
        ("hole in the wing case of a chrysalis, i see inside that it is empty", "health-sign", "wasp"),
        ("painted lady egg with a black dot at the tip, else see through", "egg-viability", "hatch"),
        ("tall spindle egg on cabbage", "egg-identification", "Pieris rapae"),
        ("giant swallowtail egg at rm temp, bin it after how many d", "egg-viability", "14 days"),
        ("luna cats wht plants", "hosts-of-species", "larvae eat"),
        ("what could I sleeve promethea larvae on", "hosts-of-species", "spicebush"),
        ("what do you raise cecropia on", "hosts-of-species", "black cherry"),
        ("whole way from egg until butterfly for the red admiral at 21 C", "stage-duration", "from egg to adult"),
        ("large white pupa at 19 C without diapause, days", "stage-duration", "pupal stage"),
        ("green-veined white chrysalis not in diapause, 20 C, for how long", "stage-duration", "pupal stage"),
        ("monarch eggs at 26, how long", "stage-duration", "26 °C"),
        ("trichogramma development time at 24 C", "about-agent", "at 24 C"),
        ("what share of all the food does the last instar of the small white take", "food-supply", "85 %"),
        ("at which stage is the appetite biggest", "food-supply", "last instar"),
        ("OE test steps for adult queens", "hygiene", "tape"),
        ("how would you do a spore check", "hygiene", "tape"),
        ("fridge temperature for keeping diapause swallowtail pupae", "overwintering", "3 °C"),
        ("could I be had up for taking peacock eggs", "law", "authority"),
        ("strength of honey water for butterflies that wait out the rain", "release", "10-20 %"),
        ("a tiny green wasp is sitting on a hanging caterpillar, what do I do", "health-sign", "wasp"),
        ("red admiral chrysalis to butterfly at 21 C", "stage-duration", "pupal stage"),
        ("painted lady caterpillar to butterfly, 23 C, days", "stage-duration", "as larva and pupa"),
        ("how long before a buckeye hatches at 24 C", "stage-duration", "egg stage"),
        ("L1 to L5 of the peacock take how long", "stage-duration", "larval stage"),
        ("how long do adult cecropias live", "about-species", "no working mouth"),
        ("what do adult red admirals drink", "about-species", "10-20 %"),
        ("host 4 zebra swallowtail", "hosts-of-species", "pawpaw"),
        ("are swallowworts deadly to monarchs", "species-on-host", "trap"),
        ("which butterfly puts her eggs on clover", "species-on-host", "Trifolium"),
        ("red admiral chrysalis, how meny days b4 it opens at 20 C", "stage-duration", "pupal stage"),
        ("what eats sassafrass", "species-on-host", "Callosamia promethea"),
        ("the cat had a drink out of the bleach tub, a bucket", "safety", "Call a vet"),
        ("how long is the day on 30 june at lat 51", "overwintering", "from sunrise to sunset"),
        ("will a luna larva on birch move over to walnut", "species-on-host", "black walnut"),
        ("can my dog catch NPV", "about-agent", "People and pets"),
        ("can I get ill from OE", "about-agent", "People and pets"),
        ("brown tail nest on the hedge and a rash, larvae everywhere", "safety", "Hairs of"),
        ("can we eat the caterpillars", "safety", "Never eat"),
        ("what if our dog eats a monarch", "safety", "If a pet has eaten one, call a vet"),
        ("is it ok to boil the bleach", "safety", "use cold water"),
        ("may I spray bleach with the windows shut", "safety", "Air the room"),
        ("how can I let you know that one has died", "help", "Ask about your animals"),
    ],
)
def test_what_a_line_is_told(assistant, line, topic, said):
    answer = assistant.reply(line)
    assert answer.status == "answered" and answer.topic == topic and said in answer.text


@pytest.mark.parametrize(
    "line", ["may I pick giant hogweed for my swallowtails", "giant hogweed as food for swallowtail caterpillars, does it work"]
)
def test_a_plant_that_burns_is_told_before_which_species_is_asked(assistant, line):
    answer = assistant.reply(line)
    assert answer.text.startswith("Giant hogweed (people): Severe burns") and answer.cautions


@pytest.mark.parametrize("line", ["is hemlock food for black swallowtails", "water hemlock for anise swallowtails?"])
def test_a_deadly_plant_is_told_before_who_eats_it(assistant, line):
    assert "Deadly" in assistant.reply(line).text.split("\n")[0]


def test_an_unknown_name_that_begins_like_a_known_one_is_unknown(assistant):
    assert assistant.reply("how long is the pupa of the azure mountainfly").status in ("unknown", "clarify")


@pytest.mark.parametrize("line", ["can 15 painted ladies live in a 6 L jar", "may 4 monarchs share a 3 L tub"])
def test_litres_are_no_cohort(assistant, line):
    assert "no cohort" not in assistant.reply(line).text


@pytest.mark.parametrize(
    "line",
    [
        "whats for dinner tonight then",
        "how do i print from that laptop",
        "any jobs going at the funfair",
        "will there be snow by sunday",
        "how cold is it going to be tonight",
        "could you help me write a speech for the club",
        "draft a letter to the school",
        "gecko shedding stuck on its toes",
        "how much food a day for a 12 kg spaniel, my dog is thin",
        "wasps in the attic, how do I get rid of them",
        "petrol mix 50:1 for the chain saw, 2 litres",
        "salary totals, May",
        "how can I get glue out of my hair",
    ],
)
def test_what_is_no_matter_of_a_nursery_is_no_round_and_no_help(assistant, line):
    assert assistant.reply(line).status in ("unknown", "clarify")


@pytest.mark.parametrize("line", ["is she ready", "since when", "are they ok"])
def test_what_names_nobody_is_not_guessed(assistant, line):
    assert assistant.reply(line).status in ("unknown", "clarify")


@pytest.mark.parametrize(
    "line",
    [
        "greyish powder on a monarch's belly",
        "tape of an adult: football-shaped dark-brown spores",
        "red liquid drips out of a newly emerged butterfly",
        "a shiny wasp walks on a caterpillar that hangs in a j",
    ],
)
def test_what_is_seen_on_nobody_of_the_keepers_is_not_written_down(assistant, line):
    answer = assistant.reply(line)
    assert answer.topic in ("health-sign", "hygiene") and answer.status == "answered"


def test_a_plant_after_a_question_who_eats_another_is_asked_about_too(assistant):
    assistant.reply("who takes dill")
    answer = assistant.reply("rue?")
    assert answer.topic == "species-on-host" and answer.about["host"] == "Ruta graveolens"
