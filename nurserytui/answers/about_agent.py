"""The card of a parasitoid, predator or disease, with what was asked first; the enemies of a stage or species; classes of a spore test."""

from __future__ import annotations

from nurserytui.answers.agent_parts import LACKING, card, emergence, parts_asked
from nurserytui.answers.agents import kind_of_words, usual_agent
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.enemies import enemies, label
from nurserytui.answers.spores import graded
from nurserytui.answers.wording import ask, capital, cite, listed, sentence, unknown

TOPIC = "about-agent"
DECIDING = ("attacks", "look", "controls")
"""What is told beside the part that was asked for; the whole card is one question further."""


def about_agent(request, nursery) -> Answer:
    knowledge = nursery.knowledge
    agent = next((one for named in request.agents for name in named.names if (one := knowledge.agent(name))), None)
    if agent is None or agent.grades:
        found = graded(request, nursery, TOPIC)
        if found is not None:
            return found
    text = request.plain or request.text.casefold()
    taken = ""
    if agent is None:
        listing = enemies(request, nursery, TOPIC)
        agent = None if listing else meant(text, request.stages, knowledge)
        if agent is None:
            return listing or which(request, knowledge)
        taken = f"No kind is named: this is of the usual one, {agent.name}."
    warm = next((one for one in request.amounts if one.kind == "temperature"), None)
    days, working = emergence(agent, warm)
    parts = card(agent, warm, days, nursery.settings.units == "F", nursery.knowledge)
    asked = parts_asked(text)
    if warm and "timing" not in asked:
        asked.insert(0, "timing")
    name = label(agent)
    attacked = listed([f"the {stage}" for stage in agent.attacks]) or "nothing living"
    kind = "" if agent.type in (agent.name, agent.name.removesuffix("s")) else f" is a {agent.type} that"
    what = f"{capital(name)}{kind} {'attack' if not kind and name.endswith('s') else 'attacks'} {attacked}."
    first = [parts.get(part) or LACKING.get(part, "") for part in asked]
    if first and asked[0] != "attacks":
        lines = [*first, taken, what]
    else:
        lines = [what, *first, taken]
    lines += [told for part, told in parts.items() if part not in asked and (not asked or part in DECIDING)]
    if agent.evidence:
        lines.append(f"How well known: {sentence(agent.evidence)}")
    if agent.grades and "spreads" not in asked:
        lines.append("A tape test is read in classes 0-5: ask what a class or a count of spores means.")
    short = agent.common[0] if agent.common else agent.name
    beside = (f"Tell me about {short}",) if asked else ()
    values = {"days": days} if days else {}
    if agent.mesh_mm is not None:
        values["mesh"] = Value(agent.mesh_mm, "mm")
    values["contagious"] = Value("yes" if agent.contagious else "no")
    cautions = ["Keep an animal that may carry it apart from the others."] if agent.contagious else []
    if "people" in asked:
        cautions.append("Wash your hands after handling animals, frass or cages; for illness ask a doctor, for a pet a vet.")
    return Answer(
        "answered",
        TOPIC,
        "\n".join(dict.fromkeys(line for line in lines if line)),
        about={"agent": agent.name},
        values=values,
        working=working,
        sources=cite(knowledge, (*agent.sources, *(("memory",) if agent.people else ()))),
        cautions=tuple(cautions),
        next=(*beside, *follow_ups(agent, short))[:3],
    )


def follow_ups(agent, short: str) -> tuple[str, ...]:
    found = [f"Who was exposed to {short}?"] if agent.contagious else []
    if agent.mesh_mm is not None:
        found.append(f"What mesh keeps {short} out?")
    return (*found, "How do I disinfect a cage?")


def meant(text: str, stages: tuple[str, ...], knowledge):
    """The agent that a word for its kind stands for (`wasps`, `the virus`), by the stage it attacks; None where no kind is named."""
    kind = kind_of_words(text)
    return usual_agent(kind, knowledge, stages[0] if stages else "") if kind else None


def which(request, knowledge) -> Answer:
    """Not known by that name, or none named."""
    said = request.unknown_names[0] if request.unknown_names else ""
    known = [one.common[0] if one.common else one.name for one in knowledge.all_agents()[:4]]
    if said:
        return unknown(
            TOPIC,
            f"I know no parasitoid, predator or disease called “{said}”.",
            next=tuple(f"What is {name}?" for name in known[:3]),
        )
    return ask(TOPIC, "Which parasitoid, predator or disease do you mean?", [f"What is {name}?" for name in known])
