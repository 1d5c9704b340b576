"""Lines without a topic that tell how an animal looks or what it does: the signs may know them."""

from __future__ import annotations

from nurserytui.language import cues as cues_of
from nurserytui.language import intents, phrases, weighing
from nurserytui.language.line import Line

SHOWN = frozenset(("sign", "looks", "colour-word", "stuff-word", "worry", "egg-state", "wing-fault"))
"""Cues of words that tell what something looks like or does."""
MERE_LOOKS = frozenset(("looks", "colour-word"))
"""Those of them that a question about anything may hold (`four big caterpillars`)."""
SIGNS = "signs"
"""The layer of a line without a topic that the signs may yet tell."""
NOT_AN_ANIMAL = frozenset(
    ("OWN", "UNKNOWN-SPECIES", "UNKNOWN-COHORT", "UNKNOWN-ENCLOSURE", "child-pet", "my-pet", "other-animal", "disinfectant")
)
"""Cues of lines that tell of the keeper's own cohorts, of nothing that is known, or of people and pets."""
STRANGE = 2
"""How many words that nothing knows a line may hold that names a stage."""


def shown(line: Line, found: cues_of.Cues, tables: phrases.Phrases, nursery, weighed: weighing.Weighed | None) -> intents.Guess:
    """What a line without a topic asks by what it shows of an animal; of the layer `SIGNS` where only the signs could know."""
    guess = _seen_on_an_animal(found)
    if guess.topic and not intents.supported(guess.topic, weighed):
        guess = intents.NOTHING
    return guess if guess.topic or not _may_tell(line, found, tables, nursery) else guess._replace(layer=SIGNS)


def _seen_on_an_animal(found: cues_of.Cues) -> intents.Guess:
    """What nothing else understands, but tells of an animal at some stage in words that are known, is held against the signs: those
    answer only what they find."""
    names = found.names
    if "PLANT" in names or not NOT_AN_ANIMAL.isdisjoint(names) or len(found.strange) > ("my" in names):
        return intents.NOTHING
    if "QUESTION" in names and not SHOWN & names:
        return intents.NOTHING
    if {"LARVA", "PREPUPA", "PUPA", "ADULT"} & names:
        return intents.Guess("health-sign", intents.FLOOR, "fallback")
    if "EGG" in names and (SHOWN | {"my"}) & names:
        return intents.Guess("egg-viability", intents.FLOOR, "fallback")
    return intents.NOTHING


def _may_tell(line: Line, found: cues_of.Cues, tables: phrases.Phrases, nursery) -> bool:
    """Whether a line that stays without a topic may yet show a sign on some animal: it names a stage, or all of its words are known, if
    only as part of a sign."""
    names = found.names
    if (
        not NOT_AN_ANIMAL.isdisjoint(names)
        or "how-many" in names
        or not (SHOWN - MERE_LOOKS if "QUESTION" in names else SHOWN) & names
    ):
        return False
    staged = bool({"LARVA", "PREPUPA", "PUPA", "ADULT"} & names)
    if "PLANT" in names and not (staged and "sign" in names):
        return False
    if staged:
        return sum(not _of_a_sign(word, nursery) for word in found.strange) <= STRANGE
    typed = {token.text for token in line.tokens} - {word for span in line.spans for word in span.said.split()}
    unknown = [word for word in typed if word.isalpha() and word not in tables.known and not _of_a_sign(word, nursery)]
    return not unknown and "EGG" not in names


def _of_a_sign(word: str, nursery) -> bool:
    """Whether a word begins as one that some sign is known by."""
    return any(
        word.startswith(stem) and len(word) - len(stem) <= 3
        for sign in nursery.knowledge.signs()
        for group in sign.words
        for phrase in group
        for stem in phrase.split()
        if len(stem) > 3
    )
