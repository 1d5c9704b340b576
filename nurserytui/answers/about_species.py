"""The card of a species: what is known of it, the part that was asked for first, and how many the keeper has."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.development import ROOM, basis
from nurserytui.answers.durations import span
from nurserytui.answers.host_words import deadly, hazards_of, named
from nurserytui.answers.safety import HARMS, PROTECTED
from nurserytui.answers.seasons import MOUTHLESS
from nurserytui.answers.wording import capital, cite, listed, number, sentence, species_label
from nurserytui.knowledge.facts import Note, Species

WINTERS = {
    "egg": "as an egg",
    "larva": "as a larva",
    "pupa": "as a pupa",
    "adult": "as an adult",
    "migrates": "not here: it migrates",
    "none": "not at all: it has no resting stage and needs warmth",
}
PUPATES = {
    "hanging": "The pupa hangs by its tail: give a roof or twigs to hang from, and room below",
    "girdled": "The pupa stands upright in a silk girdle: give twigs or rough walls",
    "cocoon": "It spins a cocoon: give leaves or litter, by the kind",
    "soil": "It pupates in the soil: give loose earth",
    "litter": "It pupates loose at the ground: give moss or dry leaves",
    "leaf-shelter": "It pupates in a shelter of leaves or grass: leave the plant in",
}
ASKED = (
    (
        "adult",
        re.compile(
            r"\bas (an? )?(adults?|moths?|butterfl\w+)\b|\bmouths?\b|\blifespan|\bhow long .* live\b|\b(adults?|moths?|butterfl\w+) (eats?|feeds?)\b|\b(adults?|imago\w*)\b.*\b(eats?|feeds?|drinks?)\b"
        ),
    ),
    ("instars", re.compile(r"\binstars\b|\b(how many times|how often) .*(mou?lt|shed)")),
    ("egg", re.compile(r"\b(eggs?|lays?|laid|laying|ova|oviposit\w*)\b")),
    ("pupa", re.compile(r"\b(pup(a|ae|ate|ates|ation)|chrysal\w+|cocoons?|hangs?|girdl\w*)\b")),
    ("larva", re.compile(r"\b(caterpillars?|larva[el]?|cats?|instars?)\b")),
    ("broods", re.compile(r"\b(broods?|generations?|flights?|flies|fly|times a year|on the wing|season)\b")),
    ("winter", re.compile(r"\b(winters?|overwinter\w*|hibernat\w*|diapaus\w*)\b")),
    ("range", re.compile(r"\b(range|where|lives? in|found|distribution|native|country|countries|occur\w*)\b")),
    ("hosts", re.compile(r"\b(eats?|food ?plants?|hosts?|feeds?|plants?)\b")),
    ("law", re.compile(r"\b(protected|rare|endangered|law|legal\w*|licen[cs]e)\b")),
    ("harm", re.compile(r"\b(sting\w*|poison\w*|touch\w*|hairs?|rash|harm\w*|safe)\b")),
)
"""Parts of the card, and the words that ask for them; the first that fits stands first."""
FED = re.compile(r"\b(?:adults?|imago\w*)\b.*\b(?:eats?|feeds?|drinks?|need)\b")
"""Asks what the adults are fed."""
LAW = "Whether it may be taken, kept or released is the law of the place: ask its authority."


class Part(NamedTuple):
    name: str
    text: str
    sources: tuple[str, ...] = ()


def about_species(request, nursery) -> Answer:
    """Who it is, then the facts that decide how it is kept; a line that asks for one part has that part first."""
    topic, knowledge = "about-species", nursery.knowledge
    found = naming.the_species(request, nursery, topic, "Tell me about the {}")
    if isinstance(found, Answer):
        return found
    species = knowledge.species(found.name)
    parts = _parts(species, knowledge)
    if species.family != MOUTHLESS and FED.search(request.plain) and (rule := knowledge.rule("first-feed")):
        parts.append(Part("adult", rule.text.replace("It rarely feeds", "The adult rarely feeds"), rule.sources))
    wanted = _wanted(request.plain or request.text, species, tuple(one.said for one in request.species), parts)
    lines = [part.text for part in parts if part.name == wanted]
    lines += [_who(species, knowledge), *(part.text for part in parts if part.name != wanted)]
    if request.species and (also := naming.also_means(found, request.species[0].said, knowledge)):
        lines.append(also)
    own = sum(heads for _, heads in nursery.heads(species=found.name))
    if own:
        lines.append(f"You keep {own} of them now.")
    cautions = [sentence(note.text) for note in species.notes if HARMS.search(note.text)]
    if wanted == "law" or any(PROTECTED.search(note.text) for note in species.notes):
        cautions.append(LAW)
    good = _good(species.scientific, knowledge)
    cautions += hazards_of([one.plant for one in good[:2]], knowledge)[:2]
    name = naming.spoken(found.name, knowledge)
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about={"species": found.name},
        sources=cite(knowledge, (*(source for part in parts for source in part.sources), *species.give_up_sources)),
        cautions=tuple(cautions),
        next=(f"What do {name} larvae eat?", f"How long do {name} eggs take to hatch?", f"How does the {name} winter?"),
    )


def _who(species: Species, knowledge) -> str:
    label = species_label(species.scientific, knowledge)
    more = [name for name in species.common[1:4]]
    kind = knowledge.traits("families").get(species.family, ())
    family = f"{kind[0]} ({species.family})" if kind else species.family or "family not recorded"
    return f"{capital(label)}: {family}" + (f"; also called {listed(more)}" if more else "") + "."


def _parts(species: Species, knowledge) -> list[Part]:
    """What decides how it is kept, in that order: food, egg, larva, pupa, days, winter, broods, range, the rest."""
    name = species.scientific
    found = []
    if good := _good(name, knowledge):
        ids = tuple(source for one in good[:5] for source in one.sources)
        found.append(Part("hosts", f"Hosts: {named(good, knowledge, 5)}.", ids))
    if traps := [one for one in knowledge.pairings_of(name) if one.rank == "trap"]:
        ids = tuple(source for one in traps[:4] for source in one.sources)
        found.append(Part("traps", f"Trap plants, on which its larvae die: {named(traps, knowledge, 4)}.", ids))
    if species.egg.looks:
        found.append(Part("egg", f"Egg: {sentence(species.egg.looks)}", species.egg.sources))
    if species.larva:
        found.append(_noted("larva", "Larva: ", species.larva))
    found.append(Part("instars", f"Its larvae usually have {species.instars} instars.", ("practice",)))
    if species.pupa or species.pupa_form:
        how = f" {sentence(PUPATES[species.pupa_form])}" if species.pupa_form in PUPATES else ""
        told = sentence(species.pupa.text) if species.pupa else ""
        found.append(Part("pupa", f"Pupa: {told}{how}" if told else how.strip(), species.pupa.sources if species.pupa else ()))
    if species.family == MOUTHLESS:
        rule = knowledge.rule("silk-moths")
        found.append(Part("adult", rule.text, rule.sources))
    if days := _days(name, knowledge):
        found.append(days)
    if species.winters_as:
        told = f" {sentence(species.wintering.text)}" if species.wintering else ""
        ids = species.wintering.sources if species.wintering else ()
        found.append(Part("winter", f"It winters {WINTERS[species.winters_as]}.{told}", ids))
    if species.broods:
        found.append(_noted("broods", "", species.broods))
    if species.range:
        found.append(_noted("range", "Range: ", species.range))
    for note in species.notes[:4]:
        what = "law" if PROTECTED.search(note.text) else "harm" if HARMS.search(note.text) else "note"
        found.append(_noted(what, "", note))
    return found


def _noted(name: str, lead: str, note: Note) -> Part:
    return Part(name, f"{lead}{sentence(note.text)}", note.sources)


def _days(name: str, knowledge) -> Part | None:
    """Days of egg, larva and pupa in an ordinary room, where something was measured in the species itself."""
    told, ids = [], []
    for stage in ("egg", "larva", "pupa"):
        ground = basis(knowledge, name, stage)
        if ground is None or ground.kind == "relatives":
            return None
        middle, low, high = span([(stage, ground)], ROOM, None)
        if middle is None:
            return None
        told.append(f"{stage} {number(low, 0)}-{number(high, 0)}")
        ids += ground.sources
    return Part("days", f"Days at {number(ROOM)} °C: {', '.join(told)}.", tuple(dict.fromkeys(ids)))


def _good(name: str, knowledge) -> list:
    found = knowledge.pairings_of(name)
    return [one for one in found if one.rank in ("primary", "accepted") and not deadly(one.plant, knowledge)]


def _wanted(text: str, species: Species, said: tuple[str, ...], parts: list[Part]) -> str:
    """The part that a line asks for, "" for the whole card; words of the animal's own name ask for nothing."""
    plain = text.casefold()
    for name in (*said, *species.common):
        plain = plain.replace(name.casefold(), " ")
    have = {part.name for part in parts}
    return next((name for name, pattern in ASKED if name in have and pattern.search(plain)), "")
