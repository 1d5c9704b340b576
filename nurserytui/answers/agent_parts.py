"""The parts of an agent's card, each a sentence or two, and the words that ask for one of them."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Value
from nurserytui.answers.wording import listed, number, sentence
from nurserytui.biology.exposure import SPREAD
from nurserytui.biology.normal import quantile

ASKED: tuple[tuple[str, re.Pattern], ...] = tuple(
    (part, re.compile(pattern))
    for part, pattern in (
        (
            "people",
            r"\b(people|humans?|person|children|kids?|my (?:hands?|skin|son|daughter|dog|pets?)|pets?|dogs?|bees|to me|infect me|(?:i|we) (?:catch|get (?:sick|ill))|my cat|bite me|sting me|dangerous to us)\b",
        ),
        (
            "stays",
            r"\b(?:live|lives|living|stay|stays|last|lasts|surviv\w*|persist\w*|linger\w*|remain\w*|alive|viable|infective)\b.*\b(?:cages?|surfaces?|tools?|net\w*|soil|tubs?|leaf|leaves|plants?|milkweed|outside|outdoors|gear|kit|floor|sun|winter)\b"
            r"|\b(?:outdoors|on surfaces)\b|how long does it (?:stay|last|survive)",
        ),
        ("mesh", r"\b(mesh|net|nets|netting|screen\w*|gauze|openings?|hole size|tulle|holes? (?:of|in) (?:the|my) (?:net|cage))\b|\bkeep\w* (?:\w+ ){0,3}out\b"),
        ("per_host", r"\bhow many (?!days|weeks|hours)(?:\w+ ){0,3}?(?:come|comes|leave|emerge|hatch|are in|in one|in a|per|from (?:one|a|each))\b"),
        ("spreads", r"\b(contagious|catching|spreads?|spreading|infectious|infect\w*|transmit\w*|transmission|pass(?:es|ed)? (?:it )?on|catch it)\b"),
        ("timing", r"\b(how long|how many (?:days|weeks)|days|weeks|when|till|until|incubat\w*|life ?cycle|develop\w*)\b"),
        ("attacks", r"\b(attacks?|go(?:es)? for|which stages?|what stages?|prey on|eat|sting\w*|hosts?|who gets|which (?:butterflies|species))\b"),
        ("look", r"\b(look(?:s)? like|how (?:do|can|would|to) (?:i |you )?(?:tell|know|spot|see|recogni[sz]e|identify)|symptoms?|signs?|recogni[sz]e)\b"),
        ("controls", r"\b(get rid|stop|prevent\w*|against|treat\w*|cure|control\w*|avoid|protect\w*|kill|fight|do about|keep\w* (?:\w+ ){0,3}(?:away|off))\b"),
    )
)  # fmt: skip
"""A part is asked for where its pattern is met; the first here leads."""
OFFERED = (18.0, 22.0, 26.0)
"""°C at which the days are told where the line says no temperature."""
LEVEL = 0.9


def parts_asked(text: str) -> list[str]:
    """The parts that a line asks for, the first one first. How long a germ stays on a net asks neither for the mesh nor for days."""
    found = [part for part, pattern in ASKED if pattern.search(text)]
    return [part for part in found if not ("stays" in found and part in ("mesh", "timing"))]


def days_at(agent, celsius: float) -> Value:
    """Days from sting to emergence at a temperature by the agent's degree-days; null at or below its base."""
    if celsius <= agent.base:
        return Value(None, "day", reason=f"no development at or below {number(agent.base)} °C")
    days = agent.degree_days / (celsius - agent.base)
    reach = agent.spread if agent.spread is not None else SPREAD * quantile(0.5 + LEVEL / 2)
    return Value(round(days, 1), "day", round(days * (1 - reach), 1), round(days * (1 + reach), 1), LEVEL)


def emergence(agent, warm) -> tuple[Value | None, tuple[str, ...]]:
    """Days from sting to emergence and the steps: by degree-days at a temperature, or the span on record."""
    if agent.base is not None and agent.degree_days is not None and warm is not None:
        found = days_at(agent, warm.celsius)
        if found.value is None:
            return found, ()
        spread = (
            f"Published stocks differ by {agent.spread:.0%} either way."
            if agent.spread is not None
            else f"No spread is published: a standard deviation of {SPREAD:.0%} is taken, as between hosts (judged)."
        )
        return found, (
            f"{agent.name} needs {number(agent.degree_days)} degree-days above {number(agent.base)} °C.",
            f"{number(agent.degree_days)} degree-days / ({number(warm.celsius)} °C - {number(agent.base)} °C) = {found.value} days.",
            spread,
        )
    if agent.days_low is not None or agent.days_high is not None:
        low, high = agent.days_low or agent.days_high, agent.days_high or agent.days_low
        return Value(round((low + high) / 2, 1), "day", low, high), ()
    return None, ()


def timing(agent, warm, days: Value | None, fahrenheit: bool) -> str:
    start = "From sting to emergence" if "parasitoid" in agent.type else "From catching it to the first signs"
    if agent.base is not None and agent.degree_days is not None:
        if warm is None:
            told = [f"{number(days_at(agent, celsius).value)} days at {warmth(celsius, fahrenheit)}" for celsius in OFFERED]
            return f"{start}: about {listed(told)}. Tell me your temperature for a closer figure."
        if days.value is None:
            return f"{start}: {days.reason}, so it waits."
        low, high = number(days.low), number(days.high)
        return f"About {days.value} days ({low}-{high}) from sting to emergence at {warm.said}."
    if days is None:
        return f"{start}: no figure is known to me." if warm else ""
    at = f" There is no rule by temperature for it, so this is not for {warm.said} alone." if warm else ""
    return f"{start}: about {number(days.low)}-{number(days.high)} days.{at}"


def warmth(celsius: float, fahrenheit: bool) -> str:
    return f"{celsius * 9 / 5 + 32:.0f} °F" if fahrenheit else f"{number(celsius)} °C"


def mesh(agent) -> str:
    if agent.mesh_mm is None:
        return ""
    few = "a reasoned width, not a tested one" if agent.mesh_mm < 3 else "by its size"
    return f"Mesh: openings of {number(agent.mesh_mm, 2)} mm or less keep it out ({few})."


def spreads(agent) -> str:
    told = [f"Contagious: {'yes' if agent.contagious else 'no'}."]
    if agent.how_it_spreads:
        told.append(sentence(agent.how_it_spreads))
    if agent.contagious and agent.watch_days:
        told.append(f"Watch animals that shared its air or food for {number(agent.watch_days)} days.")
    return " ".join(told)


NAMED = 4
"""As many species of a genus are named."""


def hosts_told(agent, knowledge):
    """The hosts of an agent, a genus with the species of it that are known here (`Pieris (large white, small white)`)."""
    for host in agent.hosts:
        kinds = [one for one in knowledge.all_species() if one.scientific.split()[0] == host]
        names = [knowledge.common(one.scientific) or one.scientific for one in kinds[:NAMED]]
        yield f"{host} ({', '.join(names)})" if names else host


def card(agent, warm, days: Value | None, fahrenheit: bool, knowledge) -> dict[str, str]:
    """All parts that the agent has, in the order of the card."""
    attacks = f"When it strikes: {sentence(agent.window)}" if agent.window else ""
    if agent.hosts:
        attacks = f"{attacks} Recorded from {listed([*hosts_told(agent, knowledge)])}.".strip()
    shows = f" When it shows: {sentence(agent.emergence)}" if agent.emergence and not warm and not agent.degree_days else ""
    parts = {
        "attacks": attacks,
        "timing": "" if agent.type == "predator" else f"{timing(agent, warm, days, fahrenheit)}{shows}".strip(),
        "look": f"How to know it: {sentence(agent.exit_sign)}" if agent.exit_sign else "",
        "per_host": f"From one host: {sentence(agent.per_host)}" if agent.per_host else "",
        "controls": f"Against it: {sentence(agent.controls)}" if agent.controls else "",
        "mesh": mesh(agent),
        "spreads": spreads(agent),
        "stays": f"How long it stays: {sentence(agent.stays)}" if agent.stays else "",
        "people": f"People and pets: {sentence(agent.people)}" if agent.people else "",
    }
    return {name: text for name, text in parts.items() if text}


LACKING = {
    "mesh": "I have no mesh width for it.",
    "per_host": "I have no number for one host.",
    "stays": "I do not know how long it stays on a cage.",
    "people": "I know nothing of harm to people. Wash your hands, and ask a doctor or vet where someone feels ill.",
    "timing": "I have no days for it.",
    "look": "I have no sign of it.",
    "controls": "I have nothing on how to stop it.",
    "attacks": "I do not know what it attacks.",
}
"""What is said where a part is asked for that nobody has recorded."""
