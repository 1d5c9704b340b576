"""Larvae and pupae that have not changed for so many days: how that stands to the days that their stage takes."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.development import ROOM, basis
from nurserytui.answers.durations import STAGE_WORDS, span
from nurserytui.answers.giving_up import days_said
from nurserytui.answers.naming import the_species
from nurserytui.answers.winter_rest import winter_rest
from nurserytui.answers.wording import cite, number, species_label

LONE = ("larva", "prepupa", "pupa")


class Waited(NamedTuple):
    """How long it has lasted beside how long it takes."""

    late: bool
    line: str
    days: Value
    species: str
    celsius: float
    working: tuple[str, ...]
    sources: tuple[str, ...]


def waited(request, nursery, stages: tuple[str, ...], topic: str) -> Waited | None:
    """None where the line tells no days, no single stage, or no species of which anything was measured."""
    days = days_said(request.plain)
    if days is None or len(stages) != 1 or stages[0] not in LONE or not (request.species or request.cohorts):
        return None
    settled = the_species(request, nursery, topic, "{}")
    found = basis(nursery.knowledge, settled.name, stages[0]) if not isinstance(settled, Answer) else None
    if found is None:
        return None
    celsius = ROOM if request.celsius is None else request.celsius
    mean, low, high = span([(stages[0], found)], celsius)
    if mean is None:
        return None
    label, what = species_label(settled.name, nursery.knowledge), STAGE_WORDS[stages[0]]
    where = (
        "less than most take" if days < low else "within what is usual" if days <= high else "longer than nineteen in twenty take"
    )
    warm = "" if request.celsius is not None else ", an ordinary warm room taken,"
    line = (
        f"{number(days)} days are {where}: at {number(celsius)} °C{warm} the {what} of {label} lasts about {number(mean)} days "
        f"(nine animals in ten: {number(low)} to {number(high)})."
    )
    rest = winter_rest(nursery.knowledge.species(settled.name), stages, nursery.knowledge)
    if rest:
        line += f" {rest.words[0].upper()}{rest.words[1:]}{'' if rest.words.endswith('.') else '.'}"
    return Waited(
        days > high,
        line,
        Value(round(mean, 1), "day", round(low, 1), round(high, 1), level=0.9),
        settled.name,
        celsius,
        (f"{found.words}.", f"{number(days)} days are told; the usual is {number(low)} to {number(high)} days."),
        (*found.sources, *(rest.sources if rest else ())),
    )


def of_age_alone(waiting: Waited, stages: tuple[str, ...], nursery, topic: str, about: dict) -> Answer:
    """The answer where nothing is told but how long it lasts already."""
    rule = nursery.knowledge.rule("alive")
    look = f"\n{rule.text}" if stages == ("pupa",) else ""
    act = "That is late, so look closely." if waiting.late else "Wait, and leave it alone."
    return Answer(
        "answered",
        topic,
        f"{act} {waiting.line}{look}",
        about={**about, "species": waiting.species, "stage": stages[0]},
        values={
            "days": waiting.days,
            "temperature": Value(round(waiting.celsius, 2), "degC"),
            "isolate": Value(None, reason="nothing is told of its looks"),
        },
        working=waiting.working,
        sources=cite(nursery.knowledge, (*waiting.sources, *(rule.sources if look else ()))),
        cautions=("While you look: do not touch one that may be moulting, and do not open a pupa.",),
        next=("Is the chrysalis alive?", "How do I keep pupae over winter?") if stages == ("pupa",) else ("Why?",),
    )
