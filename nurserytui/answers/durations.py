"""How long a stage lasts for a species at a temperature."""

from __future__ import annotations

from math import exp, sqrt

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.development import ROOM, Basis, basis
from nurserytui.answers.naming import also_means, the_species
from nurserytui.answers.outlook import LINE_OF_LIFE
from nurserytui.answers.selection import join
from nurserytui.answers.winter_rest import WinterRest, told, winter_rest
from nurserytui.answers.wording import cite, listed, number, species_label, unknown
from nurserytui.biology.groups import MONARCH_INSTAR_SHARES

LEVEL = 0.9
STANDARD_SCORE = 1.6449
"""Of the 5 % and 95 % points of the normal distribution."""
INSTAR_WITHIN = 0.27
"""Coefficient of variation between animals for one instar (computed from published rearing records: 22 to 39 %)."""
STAGE_WORDS = {"egg": "egg stage", "larva": "larval stage", "prepupa": "prepupa", "pupa": "pupal stage"}
WHOLE = ("egg", "larva", "pupa")
BEFORE = {"hatch": "egg", "prepupate": "larva", "pupate": "larva"}
"""A change -> the stage that it ends, where only the change is named."""
RESTS_ON = {
    "thresholds": "degree-day thresholds of the species",
    "observed": "durations observed in the species",
    "relatives": "its relatives, because nothing was measured in the species itself, so the interval is wide",
}


def stage_duration(request, nursery) -> Answer:
    """How long a stage, or egg to adult, lasts for a species at a temperature."""
    topic = "stage-duration"
    settled = the_species(request, nursery, topic, f"how long is the {(request.stages or ('egg',))[0]} stage of {{}}")
    if isinstance(settled, Answer):
        return settled
    species, knowledge = settled.name, nursery.knowledge
    said = request.celsius
    celsius = ROOM if said is None else said
    stages = _stages_asked(request)
    rows = [(stage, basis(knowledge, species, stage)) for stage in stages]
    if any(found is None for _, found in rows):
        return unknown(
            topic,
            f"I have no numbers for how long the {stages[0]} stage of {species_label(species, knowledge)} lasts.",
            about={"species": species},
        )
    rest = None if request.instar else winter_rest(knowledge.species(species), stages, knowledge)
    days, low, high = span(rows, celsius, request.instar)
    label = species_label(species, knowledge)
    about = {"species": species} | ({"stage": stages[0]} if len(stages) == 1 else {})
    if days is None:
        why = _too_cold_or_hot(rows, celsius)
        return Answer(
            "answered", topic, f"At {number(celsius)} °C the {_what(stages, request.instar)} of {label} does not develop: {why}.",
            about, {"days": Value(None, "day", reason=f"no development at a steady {number(celsius)} °C"), "temperature": Value(celsius, "degC")},
            working=tuple(f"{found.words}." for _, found in rows), sources=_sources(rows, knowledge),
        )  # fmt: skip
    shown = _shown(celsius, request, nursery)
    text = f"The {_what(stages, request.instar)} of {label} lasts about {number(days)} days at {shown} (nine animals in ten: {number(low)} to {number(high)} days)."
    if rest and rest.always:
        text = _through_the_winter(rest, stages, label, days, shown)
    extra = [rest.words if rest and not rest.always else ""]
    extra += ["No temperature was said, so an ordinary warm room is taken." if said is None else ""]
    extra += [
        _trust(rows),
        _heat(rows, celsius),
        also_means(settled, request.species[0].said, knowledge) if request.species else "",
    ]
    items = tuple(_item(stage, found, celsius) for stage, found in rows) if len(rows) > 1 else ()
    values = {
        "days": _days_of(rest, stages, days, low, high),
        "temperature": Value(round(celsius, 2), "degC"),
    }
    return Answer(
        "answered", topic, join(text, *extra), about, values, items, _working(rows, celsius, request.instar),
        _sources(rows, knowledge, rest.sources if rest else ()),
        next=(f"what do {knowledge.common(species) or species} larvae eat", f"and at {number(celsius + (3 if celsius < 27 else -3), 0)} C", "why"),
    )  # fmt: skip


def _stages_asked(request) -> tuple[str, ...]:
    if "egg-to-adult" in request.cues:
        return WHOLE
    stages = tuple(stage for stage in LINE_OF_LIFE if stage in request.stages)
    if not stages and request.instar:
        return ("larva",)
    leading = bool({"to", "until", "till", "through"} & set(request.plain.split()))
    if leading and stages and set(stages) <= set(WHOLE) and (len(stages) == 2 or "adult" in request.stages):
        return WHOLE[WHOLE.index(stages[0]) : len(WHOLE) if "adult" in request.stages else WHOLE.index(stages[1])]
    return stages or ((BEFORE[request.event],) if request.event in BEFORE else WHOLE)


def span(
    rows: list[tuple[str, Basis]], celsius: float, instar: int | None = None
) -> tuple[float | None, float | None, float | None]:
    """Mean, low and high days of the stages one after the other; None where one of them does not develop.

    The spreads between animals add as for independent stages, the shared doubts about the species' means do not cancel.
    """
    means = [None if celsius <= found.base else found.stage.curve.days(celsius) for _, found in rows]
    if any(mean is None for mean in means):
        return None, None, None
    one_instar = instar and len(rows) == 1 and rows[0][0] == "larva" and 1 <= instar <= len(MONARCH_INSTAR_SHARES)
    if one_instar:
        means = [means[0] * MONARCH_INSTAR_SHARES[instar - 1]]
    total = sum(means)
    stages = [found.at(celsius) for _, found in rows]
    within = (
        sqrt(
            sum((mean * (INSTAR_WITHIN if one_instar else stage.within)) ** 2 for mean, stage in zip(means, stages, strict=True))
        )
        / total
    )
    between = sum(mean * stage.between for mean, stage in zip(means, stages, strict=True)) / total
    reach = STANDARD_SCORE * sqrt(within**2 + between**2)
    return total, total * exp(-reach), total * exp(reach)


def _too_cold_or_hot(rows, celsius: float) -> str:
    base = max(found.base for _, found in rows)
    if celsius <= base:
        return f"little or nothing grows at a steady {number(base)} °C or below"
    return "it is too hot to live through"


def _what(stages: tuple[str, ...], instar: int | None) -> str:
    if instar and stages == ("larva",):
        return f"instar {instar}"
    if stages == WHOLE:
        return "time from egg to adult"
    return STAGE_WORDS[stages[0]] if len(stages) == 1 else f"time as {' and '.join(stages)}"


def _shown(celsius: float, request, nursery) -> str:
    fahrenheit = (
        any(amount.kind == "temperature" and amount.unit == "degF" for amount in request.amounts) or nursery.settings.units == "F"
    )
    return f"{number(celsius)} °C ({number(celsius * 1.8 + 32)} °F)" if fahrenheit else f"{number(celsius)} °C"


def _trust(rows) -> str:
    """Which of the three kinds of numbers it rests on, stage by stage where they differ."""
    kinds: dict[str, list[str]] = {}
    for stage, found in rows:
        kinds.setdefault(found.kind, []).append(stage)
    if len(kinds) == 1:
        return f"This rests on {RESTS_ON[next(iter(kinds))]}."
    return f"This rests on {'; '.join(f'{RESTS_ON[kind]} ({listed(stages)})' for kind, stages in kinds.items())}."


def _heat(rows, celsius: float) -> str:
    fastest = min(max(found.stage.curve.knots, key=lambda knot: knot[1])[0] for _, found in rows)
    if celsius <= fastest:
        return ""
    return f"Above about {number(fastest, 0)} °C development slows again and losses rise: do not keep them so hot, and do not trust the number."


def _item(stage: str, found: Basis, celsius: float) -> dict:
    days, low, high = span([(stage, found)], celsius)
    return {
        "name": stage,
        "label": f"{STAGE_WORDS[stage]}: {number(days)} days ({number(low)} to {number(high)})",
        "days": round(days, 2),
    }


def _working(rows, celsius: float, instar: int | None) -> tuple[str, ...]:
    steps = []
    for stage, found in rows:
        steps.append(f"{found.words}.")
        steps.append(
            f"At a steady {number(celsius)} °C that makes {number(found.stage.curve.days(celsius))} days for the {stage}."
        )
    if instar:
        steps.append(
            f"Instar {instar} takes {MONARCH_INSTAR_SHARES[instar - 1]:.0%} of larval time (shares fitted on Danaus; other sets agree within 3 points)."
        )
    return tuple(steps)


def _through_the_winter(rest: WinterRest, stages: tuple[str, ...], label: str, growth: float, shown: str) -> str:
    """The first line where every animal rests: the rest leads, the days of growth are named as no more than that."""
    what = "time from egg to adult" if stages == WHOLE else _what(stages, None)
    lead = f"The {what} of {label} lasts until the next season: {rest.words}."
    if stages == (rest.stage,) and rest.days.value is not None:
        lead = f"The {what} of {label} lasts {told(rest.days)}: {rest.words}."
    return f"{lead} Its growth alone, without the rest, would take about {number(growth)} days at {shown}; that is no forecast of when it changes."


def _days_of(rest: WinterRest | None, stages: tuple[str, ...], days: float, low: float, high: float) -> Value:
    if rest is None or not rest.always:
        return Value(round(days, 2), "day", round(low, 2), round(high, 2), LEVEL)
    if stages == (rest.stage,):
        return rest.days
    return Value(None, "day", reason=f"every {rest.stage} rests through the winter in between")


def _sources(rows, knowledge, more: tuple[str, ...] = ()):
    return cite(knowledge, dict.fromkeys((*(source for _, found in rows for source in found.sources), *more)))
