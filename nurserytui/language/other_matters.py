"""What is by its own words no matter of a nursery: the weather itself, something that is to be written, animals of other kinds."""

from __future__ import annotations

import re

from nurserytui.language import intents
from nurserytui.language.cues import Cues
from nurserytui.language.line import Line

WEATHER = re.compile(
    r"\b(?:will (?:it|there be)|(?:is it|there's|is there|are we) (?:going to|gonna|due)|is it (?:raining|snowing|sunny|freezing)|how (?:\w+ )?(?:will|is) it"
    r"|(?:what's|whats|what is|hows|how's|how is) the (?:weather|forecast|temperature outside)|weather (?:forecast|report)|^(?:the )?forecast)\b(?!.*\btoo\b)"
)
WEATHERS = re.compile(
    r"\b(?:rain\w*|snow\w*|frost\w*|wind\w*|storm\w*|sunn?\w*|fog\w*|hail|thunder\w*|weather|forecast|cold|warm|hot|freez\w*|wet|dry|cloudy)\b"
)
OF_ANIMALS = frozenset(
    "COHORT MARK SPECIES STAGE ENCLOSURE AGENT PLANT release release-ask keep-in fly-word fly-ready winter butterfly-word cages".split()
)
"""Cues of lines that ask of the weather for the animals' sake."""
SOMEBODY = frozenset("them they these those her him she he".split())
WRITING = re.compile(
    r"^(?:(?:please|can|could|would|will|you|hey|hi|help me(?: to)?|i need you to|try to)\W+)*(?:write|draft|compose|translate|rephrase|summari[sz]e|proofread|rewrite)"
    r"\b(?: me| us)? (?!it\b|down\b|off\b|that\b|up\b)(?!.*\b(?:down|note|notes|log|diary|record|records|book)\b)"
)
OTHERS = re.compile(
    r"\b(?:dogs?|pupp(?:y|ies)|labradors?|kittens?|hamsters?|rabbits?|budgies?|parrots?|snakes?|geckos?|lizards?|tortoises?|turtles?|frogs?|toads?|tadpoles?|newts?"
    r"|chickens?|chicks?|hens?|ducks?|ducklings?|geese|goose|quails?|honey ?bees?|bees?|hives?|gupp(?:y|ies)|goldfish|guinea pigs?|gerbils?|horses?|pon(?:y|ies)|sheep|goats?"
    r"|snails?|crickets|mealworms?|stick insects?)\b"
)
HUSBANDRY = frozenset(
    "food-supply health-sign egg-viability stage-forecast stage-duration density overwintering release hosts-of-species survival headcount "
    "hygiene cutting-care round".split()
)
"""Topics that a question about an animal of another kind may seem to be of."""
OURS = frozenset("COHORT MARK SPECIES LARVA PREPUPA PUPA ADULT ENCLOSURE AGENT PLANT butterfly-word disinfectant".split())


GRAZING = re.compile(r"\b(?:cats|caterpillars?|larvae?) (?:\w+ ){0,2}(?:eat\w*|ate|chew\w*|munch\w*|nibbl\w*)\b")
"""Caterpillars that do what they are there for: no alarm, whatever its words are like."""
BABIES = re.compile(r"\bbab(?:y|ies) (?:cats|caterpillars?|larvae?)\b")
YOUNG = frozenset(("child-pet", "infant"))
NEITHER = frozenset("child-pet my-pet pet-word disinfectant chemical poison harm-me danger-word QUESTION".split())


def of_none(line: Line, found: Cues, topic: str) -> bool:
    """Whether a line that was taken for one of `topic` is of something else altogether."""
    names = found.names
    if WRITING.search(line.plain) and names.isdisjoint(("COHORT", "MARK", "ENCLOSURE")):
        return True
    if WEATHER.search(line.plain) and WEATHERS.search(line.plain):
        return OF_ANIMALS.isdisjoint(names) and SOMEBODY.isdisjoint(token.text for token in line.tokens)
    if (
        ({"AGENT", "enemy"} & names or topic == "health-sign")
        and intents.ANCHORS & names <= {"AGENT"}
        and not intents.AT_HOME.isdisjoint(found.words)
    ):
        return True
    if (
        topic == "safety"
        and GRAZING.search(line.plain)
        and NEITHER.isdisjoint(names - YOUNG if BABIES.search(line.plain) else names)
    ):
        return True
    return topic in HUSBANDRY and OURS.isdisjoint(names) and bool(OTHERS.search(line.plain))
