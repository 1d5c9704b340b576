"""The card of a parasitoid, predator or disease: what it attacks, when it shows, how it spreads."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.wording import ask, cite, listed, number, sentence, unknown

CATCHING = re.compile(r"\b(contagious|catching|spread\w*|infect\w*|pass (it )?on)\b")
LIFE = re.compile(r"\b(how long|how many days|days|when|till|until)\b")


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
