"""Summary cards: what the knowledge base holds on a species, a host plant or an enemy."""

from __future__ import annotations

import re

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.hosts import hazard_sentence, named, rank_place
from nurserytui.answers.wording import ask, cite, listed, number, sentence, species_label, unknown

WINTERS = {
    "egg": "as an egg",
    "larva": "as a larva",
    "pupa": "as a pupa",
    "adult": "as an adult",
    "migrates": "not here: it migrates",
    "none": "not at all: it has no resting stage and needs warmth",
}
POISON = re.compile(r"\b(poison\w*|toxic\w*|danger\w*|safe|harm\w*|hazard\w*|burn\w*|irritat\w*)\b")
CATCHING = re.compile(r"\b(contagious|catching|spread\w*|infect\w*|pass (it )?on)\b")
LIFE = re.compile(r"\b(how long|how many days|days|when|till|until)\b")


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
    good = [one for one in pairings if one.rank in ("primary", "accepted")]
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
    if POISON.search(request.plain):
        if hazards:
            lines.append(f"Yes, {label} needs care: {'; '.join(dict.fromkeys(f'{one.what} ({one.who})' for one in hazards))}.")
        else:
            lines.append(f"No hazard of {label} is on record here, which is no proof that it is harmless.")
    else:
        lines.append(f"{label[:1].upper()}{label[1:]}" + (f", family {plant.family}" if plant.family else "") + ".")
    if plant.looks:
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
    if cutting:
        lines.append(f"Cut, it keeps {number(cutting[1].days_low)}-{number(cutting[1].days_high)} days.")
    lines += [sentence(note.text) for note in plant.notes[:3]]
    others = [name for name in plants[1:] if name != plant.scientific]
    if others:
        lines.append(f"“{host.said}” can also mean {listed([naming.plant_label(one, knowledge) for one in others[:4]], 'or')}.")
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


def about_agent(request, nursery) -> Answer:
    topic, knowledge = "about-agent", nursery.knowledge
    agent = next((one for named in request.agents for name in named.names if (one := knowledge.agent(name))), None)
    if agent is None:
        said = request.unknown_names[0] if request.unknown_names else ""
        known = [one.common[0] if one.common else one.name for one in knowledge.all_agents()[:4]]
        if said:
            return unknown(
                topic,
                f"I know no parasitoid, predator or disease called “{said}”.",
                next=tuple(f"What is {name}?" for name in known[:3]),
            )
        return ask(topic, "Which parasitoid, predator or disease do you mean?", [f"What is {name}?" for name in known])
    warm = next((one for one in request.amounts if one.kind == "temperature"), None)
    days, working = emergence(agent, warm)
    name = f"{agent.common[0]} ({agent.name})" if agent.common and agent.common[0] != agent.name else agent.name
    what = f"{name[:1].upper()}{name[1:]} is a {agent.type} that attacks {listed([f'the {stage}' for stage in agent.attacks]) or 'animals'}."
    lines = [what]
    timing = timing_words(agent, warm, days)
    if timing and (warm or LIFE.search(request.plain)):
        lines.insert(0, timing)
    elif timing:
        lines.append(timing)
    if agent.window:
        lines.append(f"When it strikes: {sentence(agent.window)}")
    if agent.emergence and not warm:
        lines.append(f"When it shows: {sentence(agent.emergence)}")
    if agent.exit_sign:
        lines.append(f"How to know it: {sentence(agent.exit_sign)}")
    if agent.controls:
        lines.append(f"Against it: {sentence(agent.controls)}")
    spreads = f"Contagious: {'yes' if agent.contagious else 'no'}." + (
        f" {sentence(agent.how_it_spreads)}" if agent.how_it_spreads else ""
    )
    lines.insert(0 if CATCHING.search(request.plain) else len(lines), spreads)
    if agent.watch_days:
        lines.append(f"Watch animals that shared its air or food for {number(agent.watch_days)} days.")
    if agent.evidence:
        lines.append(f"How well known: {sentence(agent.evidence)}")
    short = agent.common[0] if agent.common else agent.name
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about={"agent": agent.name},
        values={"days": days} if days else {},
        working=working,
        sources=cite(knowledge, agent.sources),
        cautions=("Keep an animal that may carry it apart from the others.",) if agent.contagious else (),
        next=(f"Who was exposed to {short}?", "How do I disinfect a cage?"),
    )


def emergence(agent, warm) -> tuple[Value | None, tuple[str, ...]]:
    """Days from sting to emergence: by degree-days at a temperature, or the span on record."""
    if agent.base is not None and agent.degree_days is not None and warm is not None:
        celsius = warm.celsius
        if celsius <= agent.base:
            return Value(None, "day", reason=f"no development at or below {number(agent.base)} °C"), ()
        days = agent.degree_days / (celsius - agent.base)
        step = f"{number(agent.degree_days)} degree-days / ({number(celsius)} °C - {number(agent.base)} °C) = {days:.1f} days."
        return Value(round(days, 1), "day"), (
            f"{agent.name} needs {number(agent.degree_days)} degree-days above {number(agent.base)} °C.",
            step,
        )
    if agent.days_low is not None or agent.days_high is not None:
        low, high = agent.days_low or agent.days_high, agent.days_high or agent.days_low
        return Value(round((low + high) / 2, 1), "day", low, high), ()
    return None, ()


def timing_words(agent, warm, days: Value | None) -> str:
    if days is None:
        return ""
    if days.value is None:
        return f"From sting to emergence: {days.reason}, so it waits."
    if days.low is None:
        return f"About {days.value} days from sting to emergence at {warm.said}."
    at = f" at about {warm.said}; there is no rule by temperature for it" if warm else ""
    return f"About {number(days.low)}-{number(days.high)} days from sting to emergence{at}."
