"""What attacks a stage or a species: its parasitoids, diseases and predators."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer
from nurserytui.answers.wording import PLURAL, cite, listed, sentence, species_label

ENEMIES = re.compile(
    r"\b(what|which|who)\b.*\b(attacks?|eats?|kills?|stings?|parasiti[sz]es?|preys? on|goes for|go for|gets? (?:into|at))\b"
    r"|\b(enem(?:y|ies)|parasit\w*|predators?|diseases?|illness\w*|pests)\b"
)
KINDS = (
    ("parasitoids", ("parasitoid wasp", "parasitoid fly"), r"parasit|wasp|\bfl(?:y|ies)\b|sting"),
    ("predators", ("predator",), r"predator|\beat|prey"),
    (
        "diseases",
        ("virus", "bacterium", "protozoan", "fungus", "microsporidian", "bacterium used as insecticide"),
        r"disease|ill|infect|virus|bacteri|germ",
    ),
)
MOST = 12


def enemies(request, nursery, topic: str) -> Answer | None:
    """The agents on record for the stages or the species of a line, None where it does not ask for them."""
    text = request.plain or request.text.casefold()
    species = request.species[0].names[0] if request.species and request.species[0].names else ""
    if not (request.stages or species) or not ENEMIES.search(text):
        return None
    knowledge = nursery.knowledge
    genus = species.split(" ")[0]
    wanted = [kind for kind in KINDS if re.search(kind[2], text)] or list(KINDS)
    found = []
    for kind, types, _ in wanted:
        for agent in knowledge.all_agents():
            if agent.type not in types or (request.stages and not set(request.stages) & set(agent.attacks)):
                continue
            if genus and agent.hosts and genus not in agent.hosts:
                continue
            found.append((kind, agent, bool(genus) and genus in agent.hosts))
    found.sort(key=lambda one: (not one[2], [kind for kind, _, _ in wanted].index(one[0])))
    if not found:
        return None
    whom = species_label(species, knowledge) if species else listed([PLURAL[stage] for stage in request.stages])
    if species and request.stages:
        whom = f"{listed([PLURAL[stage] for stage in request.stages])} of {whom}"
    lines = []
    for kind, _, _ in wanted:
        named = [label(agent) for found_kind, agent, _ in found if found_kind == kind][:MOST]
        if named:
            lines.append(f"{sentence(kind)[:-1]} of {whom}: {listed(named)}.")
    if species:
        own = [label(agent) for _, agent, recorded in found if recorded]
        if own:
            lines.append(f"Recorded from its genus: {listed(own)}. The rest take many kinds.")
    lines.append(
        "Bring in eggs rather than larvae, keep larvae and soft pupae under mesh of 0.6 mm or less, and search cut stems."
    )
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about={**({"species": species} if species else {}), **({"stage": request.stages[0]} if request.stages else {})},
        items=tuple(
            {
                "name": agent.name,
                "label": label(agent),
                "reason": sentence(agent.window),
                "kind": agent.type,
                "stages": list(agent.attacks),
            }
            for _, agent, _ in found
        ),
        sources=cite(knowledge, dict.fromkeys(source for _, agent, _ in found for source in agent.sources)),
        cautions=("The list is what is recorded here; other enemies exist in every region.",),
        next=tuple(f"What is {agent.name}?" for _, agent, _ in found[:3]),
    )


def label(agent) -> str:
    """`chrysalis wasp (Pteromalus puparum)`, `NPV (nuclear polyhedrosis virus)`; the name alone where it is the common one."""
    if agent.name == f"{agent.type}s":
        return f"{', '.join(agent.common[1:6:2])} and other {agent.name}"
    first = agent.common[0] if agent.common else ""
    known = agent.name[:1].isupper() or first.isupper()
    return f"{first} ({agent.name})" if first and known and first.casefold() not in agent.name.casefold() else agent.name
