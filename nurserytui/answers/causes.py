"""Whether the cause behind a sign is catching, by what way and for how long: an agent says so itself, all else is not."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers.wording import lower, number, sentence

WEATHER = "Not contagious, but all that share the same air and warmth are at risk: mend that for all."
LEAF = "Not contagious, but all that share the leaf are at risk: change it for all."
ROOM = "Not contagious, but all that share the container are at risk: mend that for all."
ALONE = "Not contagious."
HEALTHY = "Not contagious: it is healthy."
PHYSICAL: dict[str, str] = {
    "heat": WEATHER,
    "too cool": WEATHER,
    "pupa too cold": WEATHER,
    "air too dry": WEATHER,
    "dried out": WEATHER,
    "dried out (desiccated)": WEATHER,
    "dead and dry": WEATHER,
    "leaf too dry": LEAF,
    "leaf too tough or too dry": LEAF,
    "bad or wet leaf": LEAF,
    "wrong food plant": LEAF,
    "out of leaf": LEAF,
    "starvation": LEAF,
    "sticky nectar": LEAF,
    "crowding": ROOM,
    "crowding or hunger": ROOM,
    "too wet": ROOM,
    "wall too smooth": ROOM,
    "fell or had no room": ROOM,
    "drowned": ROOM,
    "flies from dead matter": ROOM,
    "mould on a corpse": ROOM,
    "mould on a damp, dead egg": ROOM,
    "cooked or sprayed": WEATHER,
    "killed by the cold": WEATHER,
    "sucked out by a predator": "Not contagious; a predator left inside eats on.",
    "predator (mite, lacewing, earwig or ant)": "Not contagious; a predator left inside eats on.",
    **dict.fromkeys(
        (
            "bleeding wound",
            "crushed",
            "damage",
            "dead",
            "dirt",
            "dried blood of a small wound",
            "drop of plant sap",
            "healed wound",
            "injury",
            "injury by a fall",
            "knocked off",
            "old age",
            "pulled off its silk",
            "shell dissolved by bleach too strong or too long",
            "silk gave way",
            "tongue not joined",
            "weak",
            "infertile egg",
            "hatched larva that was lost",
        ),
        ALONE,
    ),
    **dict.fromkeys(
        (
            "about to moult",
            "aphid skin or pollen",
            "defensive regurgitation",
            "embryo of a species with dark eggs",
            "alive and held back by the cold",
            "egg that rests over winter",
            "harmless riding mites",
            "hatched larva",
            "larva about to hatch (head capsule)",
            "longer rest of the host",
            "wandered off to pupate",
            "winter rest",
            "winter rest (diapause)",
        ),
        HEALTHY,
    ),
}
"""Causes that no living thing passes on, and what to say of each."""


class Spread(NamedTuple):
    contagious: str
    """`yes`, `no`, or `unknown` for a cause that is neither an agent nor listed."""
    words: str
    """By what way, for how long to watch, and how long it stays; a sentence or more."""


def normal(name: str) -> bool:
    """The cause is healthy development (`moulting (normal)`, `normal: no food on the first day`)."""
    return "normal)" in name or name.startswith("normal:")


def spread_of(name: str, knowledge) -> Spread:
    """Whether a cause spreads."""
    if normal(name):
        return Spread("no", HEALTHY)
    if name in PHYSICAL:
        return Spread("no", PHYSICAL[name])
    agent = knowledge.agent(name)
    if agent is None:
        return Spread("unknown", "")
    parts = [sentence(agent.how_it_spreads)] if agent.how_it_spreads else []
    if agent.contagious and agent.watch_days:
        parts.append(f"Watch those that shared its air or food for {number(agent.watch_days)} days.")
    elif agent.contagious and agent.grades:
        parts.append("Watch those that shared its air or food until their adults are tested.")
    if agent.stays:
        parts.append(f"How long it stays: {lower(sentence(agent.stays))}")
    lead = (
        "Yes." if agent.contagious else "" if agent.how_it_spreads.startswith(("Not ", "No ", "Harmless")) else "Not contagious."
    )
    return Spread("yes" if agent.contagious else "no", " ".join(part for part in (lead, *parts) if part))
