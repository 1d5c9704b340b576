"""The card of a species: what is known of it, and how many the keeper has."""

from __future__ import annotations

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.host_words import deadly, named
from nurserytui.answers.wording import cite, listed, sentence, species_label

WINTERS = {
    "egg": "as an egg",
    "larva": "as a larva",
    "pupa": "as a pupa",
    "adult": "as an adult",
    "migrates": "not here: it migrates",
    "none": "not at all: it has no resting stage and needs warmth",
}


def about_species(request, nursery) -> Answer:
    topic, knowledge = "about-species", nursery.knowledge
    found = naming.the_species(request, nursery, topic, "Tell me about the {}")
    if isinstance(found, Answer):
        return found
    species = knowledge.species(found.name)
    label = species_label(found.name, knowledge)
    more = [name for name in species.common[1:4]]
    lines = [
        f"{label[:1].upper()}{label[1:]}: {species.family or 'family not recorded'}"
        + (f"; also called {listed(more)}" if more else "")
        + "."
    ]
    if species.range:
        lines.append(f"Range: {sentence(species.range.text)}")
    if species.egg.looks:
        lines.append(f"Egg: {sentence(species.egg.looks)}")
    if species.larva:
        lines.append(f"Larva: {sentence(species.larva.text)}")
    if species.pupa:
        lines.append(f"Pupa: {sentence(species.pupa.text)}")
    if species.broods:
        lines.append(sentence(species.broods.text))
    if species.winters_as:
        lines.append(
            f"It winters {WINTERS[species.winters_as]}." + (f" {sentence(species.wintering.text)}" if species.wintering else "")
        )
    pairings = knowledge.pairings_of(found.name)
    good = [one for one in pairings if one.rank in ("primary", "accepted") and not deadly(one.plant, knowledge)]
    if good:
        lines.append(f"Hosts: {named(good, knowledge, 5)}.")
    traps = [one for one in pairings if one.rank == "trap"]
    if traps:
        lines.append(f"Trap plants, on which its larvae die: {named(traps, knowledge, 4)}.")
    lines += [sentence(note.text) for note in species.notes[:3]]
    if request.species and (also := naming.also_means(found, request.species[0].said, knowledge)):
        lines.append(also)
    own = sum(heads for _, heads in nursery.heads(species=found.name))
    if own:
        lines.append(f"You keep {own} of them now.")
    ids = [*species.egg.sources, *species.give_up_sources]
    for note in (species.range, species.larva, species.pupa, species.broods, species.wintering, *species.notes):
        ids += note.sources if note else ()
    ids += [source for one in (*good[:5], *traps[:4]) for source in one.sources]
    name = naming.spoken(found.name, knowledge)
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about={"species": found.name},
        sources=cite(knowledge, ids),
        next=(f"What do {name} larvae eat?", f"How long do {name} eggs take to hatch?", f"How does the {name} winter?"),
    )
