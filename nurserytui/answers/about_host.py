"""The card of a plant: what eats it, what it does to people, pets and larvae, and how it keeps."""

from __future__ import annotations

import re

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.host_words import BUYING, deadly, hazard_sentence, looks_of, rank_place
from nurserytui.answers.plants import span, untreated
from nurserytui.answers.wording import ask, capital, cite, listed, sentence, species_label, unknown

LOOKS = re.compile(
    r"\blooks? like|\bidentif\w*|\brecogni[sz]\w*|\btell \w+( \w+)? (from|apart)|\bhow (do|can|would) (i|you|we) (know|tell)\b|\bdescri\w+|\bpicture\b|\bdiffer\w*|\bapart\b|\bversus\b|\bvs\b"
)
POISON = re.compile(r"\b(poison\w*|toxic\w*|danger\w*|safe|harm\w*|hazard\w*|burn\w*|irritat\w*)\b")


def about_host(request, nursery) -> Answer:
    topic, knowledge = "about-host", nursery.knowledge
    if not request.hosts:
        if request.unknown_names:
            return naming.no_such_name(request.unknown_names[0], nursery, topic, "Tell me about {}", "plant")
        return ask(topic, "Which plant do you mean?", ("Tell me about milkweed", "Tell me about stinging nettle"))
    host = request.hosts[0]
    plants = naming.plants_among(host, knowledge)
    kin = len({naming.genus(name) for name in plants}) == 1
    if not host.usual and not kin:
        return naming.ask_plant(host, nursery, topic, "Tell me about {}")
    plant = knowledge.plant(plants[0])
    if plant is None:
        return unknown(topic, f"There is no card for {host.said} ({plants[0]}).", about={"host": plants[0]})
    label = naming.plant_label(plant.scientific, knowledge)
    hazards = plant.hazards or tuple(hazard for name in plants[1:] for hazard in getattr(knowledge.plant(name), "hazards", ()))
    warnings = tuple(dict.fromkeys(hazard_sentence(naming.plant_word(plant.scientific, knowledge), one) for one in hazards))
    lines = []
    named = f"{capital(label)}" + (f", family {plant.family}" if plant.family else "")
    if LOOKS.search(request.plain) and plant.looks:
        lines.append(f"{named}. {sentence(plant.looks)}")
        lines += looks_of(request.hosts[1:3], knowledge)
    elif BUYING.search(request.plain) and (stock := untreated(plant.scientific, knowledge)):
        lines.append(stock)
    elif POISON.search(request.plain):
        if hazards:
            lines.append(f"Yes, {label} needs care: {'; '.join(dict.fromkeys(f'{one.what} ({one.who})' for one in hazards))}.")
        else:
            lines.append(f"No hazard of {label} is on record here, which is no proof that it is harmless.")
    else:
        lines.append(f"{named}. {sentence(plant.looks)}".rstrip())
    if plant.looks and plant.looks not in lines[0]:
        lines.append(sentence(plant.looks))
    if len(plant.common) > 1:
        lines.append(f"Also called {listed(plant.common[1:5])}.")
    pairings = sorted(knowledge.pairings_on(plant.scientific), key=lambda one: rank_place(one.rank))
    eaters = [species_label(one.species, knowledge) for one in pairings if one.rank in ("primary", "accepted", "poor")]
    traps = [species_label(one.species, knowledge) for one in pairings if one.rank == "trap"]
    if eaters:
        lines.append(f"Eaten by larvae of {listed(eaters[:8])}.")
    if traps:
        lines.append(f"A trap for {listed(traps)}: eggs are laid on it and the larvae die.")
    cutting = knowledge.cutting(plant.scientific)
    if deadly(plant.scientific, knowledge):
        lines.insert(1, "It is deadly to people: never gather it.")
    elif cutting:
        of = "" if cutting[0] == plant.scientific else f", going by {naming.plant_word(cutting[0], knowledge)}"
        lines.append(f"Cut, it keeps {span(cutting[1].days_low, cutting[1].days_high)} days in water{of}.")
    lines += [sentence(note.text) for note in plant.notes[:3]]
    others = [name for name in plants[1:] if name != plant.scientific]
    if others:
        lines.append(naming.plant_also(host.said, others, knowledge))
    ids = [source for one in (*pairings[:6], *hazards, *plant.notes[:3]) for source in one.sources]
    ids += cutting[1].sources if cutting else ()
    word = naming.plant_word(plant.scientific, knowledge)
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about={"host": plant.scientific},
        sources=cite(knowledge, ids),
        cautions=warnings,
        next=(f"What eats {word}?", f"How long do {word} cuttings keep?", f"Is {word} dangerous to people or pets?"),
    )
