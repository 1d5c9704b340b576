"""Which numbers stand behind a stage of a species: published thresholds, observed durations, or what its relatives suggest."""

from math import exp, log, sqrt
from typing import NamedTuple

from nurserytui.answers.wording import number
from nurserytui.biology.forecast import Stage
from nurserytui.biology.rate import RateCurve

WITHIN = 0.10
"""Coefficient of variation between animals for a whole stage (computed from published rearing records: 5 to 16 %, mostly near 10 %)."""
BETWEEN_LEAST = 0.10
"""Least relative spread of a species' mean between populations (published *Pieris rapae* larvae at 21 °C: 19.5, 21.5 and 23.7 d)."""
BETWEEN_MEMORY = 0.20
ROOM = 23.0
"""°C taken for a duration whose temperature its source does not state: an ordinary warm room."""
ENOUGH = 3
"""Temperatures at which a stage must have been observed before the observed means outrank a fitted straight line."""
PREPUPA_DAYS = 1.0
"""Days from hanging up or girdling to the pupa in a warm room."""
PREPUPA_SOURCES = ("florida-nature-pictures-life", "illinois-insect-rearing-notes")
PARTS = {"egg_to_adult": ("egg", "larva", "pupa"), "larva_to_adult": ("larva", "pupa"), "egg_to_pupa": ("egg", "larva")}
CHAIN = ("egg", "larva", "pupa")
ANY_GROUP = "any"


class Basis(NamedTuple):
    """The numbers for one stage of one species, and where they come from."""

    stage: Stage
    kind: str
    """`thresholds`, `observed` or `relatives`."""
    words: str
    """One sentence for the working, with its numbers."""
    sources: tuple[str, ...]
    base: float
    """°C below which nothing develops."""


def basis(knowledge, species: str, stage: str) -> Basis | None:
    """The best numbers there are for `stage` (`egg`, `larva`, `prepupa`, `pupa`) of `species`; None for a stage that does not develop."""
    if stage == "prepupa":
        return _prepupa(knowledge, species)
    if stage not in CHAIN:
        return None
    prior = prior_of(knowledge, species)
    return (
        _observed(knowledge, species, stage, prior, ENOUGH)
        or _thresholds(knowledge, species, stage)
        or _observed(knowledge, species, stage, prior, 1)
        or _split(knowledge, species, stage, prior)
        or _ranges(knowledge, species, stage, prior)
        or _relatives(species, stage, prior)
    )


def prior_of(knowledge, species: str):
    """What the relatives of a species suggest; the widest prior for an animal without known relatives."""
    known = knowledge.species(species)
    return (knowledge.prior(known.group) if known and known.group else None) or knowledge.prior(ANY_GROUP)


def _thresholds(knowledge, species: str, stage: str) -> Basis | None:
    rows = [row for row in knowledge.thermal(species) if row.stage == stage]
    rows = [row for row in rows if row.kind == "published"] or rows
    if not rows:
        return None
    days = sorted((row.degree_days / max(ROOM - row.base, 1.0), index) for index, row in enumerate(rows))
    row = rows[days[len(days) // 2][1]]
    between = max(_log_spread([one for one, _ in days]), BETWEEN_LEAST if row.kind == "published" else BETWEEN_MEMORY)
    words = f"{_name(stage)} of {species}: {number(row.degree_days)} degree-days above {number(row.base)} °C"
    if row.ceiling:
        words += f", no faster above {number(row.ceiling)} °C"
    words += " (thresholds " + ("published)" if row.kind == "published" else "from memory, unchecked, so the interval is wide)")
    return Basis(
        Stage(
            RateCurve.from_degree_days(row.base, row.degree_days, _ceiling(row.base, row.ceiling, knowledge, species)),
            WITHIN,
            between,
        ),
        "thresholds",
        words,
        row.sources,
        row.base,
    )


def _ceiling(base: float, ceiling: float | None, knowledge, species: str) -> float | None:
    """Where no upper limit is published for the species, its relatives' limit keeps the rate from rising for ever."""
    if ceiling is not None:
        return ceiling
    prior = prior_of(knowledge, species)
    return prior.ceiling if prior and prior.ceiling > base else None


def _observed(knowledge, species: str, stage: str, prior, enough: int) -> Basis | None:
    rows = [row for row in knowledge.durations(species) if row.stage == stage and row.temperature is not None and row.mean]
    rows = [row for row in rows if prior is None or row.temperature > prior.base + 1]
    temperatures = sorted({row.temperature for row in rows})
    if len(temperatures) < enough:
        return None
    base = prior.base if prior else 10.0
    if len(temperatures) == 1:
        mean = exp(sum(log(row.mean) for row in rows) / len(rows))
        curve = RateCurve.from_degree_days(base, mean * (temperatures[0] - base), _ceiling(base, None, knowledge, species))
    else:
        curve = RateCurve.from_observed([(row.temperature, row.mean) for row in rows], base)
    repeats = [_log_spread([row.mean for row in rows if row.temperature == celsius]) for celsius in temperatures]
    between = max([*repeats, BETWEEN_LEAST]) if len(temperatures) > 1 else max([*repeats, 0.15])
    said = ", ".join(f"{number(curve.days(celsius) or 0)} d at {number(celsius)} °C" for celsius in temperatures)
    words = f"{_name(stage)} of {species}: observed {said}; nothing below {number(base)} °C"
    spreads = [row.sd / row.mean for row in rows if row.sd]
    within = min(max(sum(spreads) / len(spreads), 0.06), 0.25) if spreads else WITHIN
    sources = tuple(dict.fromkeys(source for row in rows for source in row.sources))
    return Basis(Stage(curve, within, between), "observed", words, sources, base)


def _split(knowledge, species: str, stage: str, prior) -> Basis | None:
    """A published sum over several stages, split as the relatives split it."""
    if prior is None:
        return None
    needs = {"egg": prior.egg, "larva": prior.larva, "pupa": prior.pupa}
    for row in knowledge.thermal(species):
        parts = PARTS.get(row.stage, ())
        if stage not in parts or not row.degree_days:
            continue
        share = needs[stage] / sum(needs[part] for part in parts)
        words = (
            f"{_name(stage)} of {species}: {share:.0%} of {number(row.degree_days)} degree-days above {number(row.base)} °C for "
            f"{' + '.join(parts)}, split as in its relatives ({prior.group})"
        )
        curve = RateCurve.from_degree_days(row.base, row.degree_days * share, _ceiling(row.base, row.ceiling, knowledge, species))
        return Basis(
            Stage(curve, WITHIN, max(0.15, prior.spread / 2)), "thresholds", words, (*row.sources, *prior.sources), row.base
        )
    return None


def _ranges(knowledge, species: str, stage: str, prior) -> Basis | None:
    """Ranges of days without a temperature: taken at an ordinary room's, weighed against the relatives."""
    rows = [row for row in knowledge.durations(species) if row.stage == stage and (row.mean or (row.low and row.high))]
    if not rows or prior is None:
        return None
    days, spreads = [], []
    for row in rows:
        low, high = row.low or row.mean, row.high or row.mean
        days.append(row.mean or sqrt(low * high))
        spreads.append(log(high / low) / 3.3 if low and high and high > low else 0.15)
    mean = exp(sum(log(one) for one in days) / len(days))
    between = max(0.15, sum(spreads) / len(spreads), _log_spread(days))
    words = f"{_name(stage)} of {species}: about {number(mean)} d in an ordinary room (temperature not stated; taken as {number(ROOM)} °C)"
    curve = RateCurve.from_degree_days(prior.base, mean * (ROOM - prior.base), prior.ceiling)
    sources = tuple(dict.fromkeys(source for row in rows for source in row.sources))
    return Basis(Stage(curve, WITHIN, between), "observed", words, (*sources, *prior.sources), prior.base)


def _relatives(species: str, stage: str, prior) -> Basis | None:
    if prior is None:
        return None
    need = {"egg": prior.egg, "larva": prior.larva, "pupa": prior.pupa}[stage]
    words = (
        f"{_name(stage)} of {species}: no measured numbers; its relatives ({prior.group}) need about {number(need)} degree-days above "
        f"{number(prior.base)} °C, give or take {prior.spread:.0%}"
    )
    curve = RateCurve.from_degree_days(prior.base, need, prior.ceiling)
    return Basis(Stage(curve, WITHIN, prior.spread), "relatives", words, prior.sources, prior.base)


def _prepupa(knowledge, species: str) -> Basis | None:
    prior = prior_of(knowledge, species)
    base = prior.base if prior else 10.0
    curve = RateCurve.from_degree_days(base, PREPUPA_DAYS * (ROOM - base), prior.ceiling if prior else None)
    words = f"prepupa: about {number(PREPUPA_DAYS)} d in a warm room from hanging up to the pupa"
    return Basis(Stage(curve, 0.25, 0.5), "observed", words, PREPUPA_SOURCES, base)


def _log_spread(values: list[float]) -> float:
    if len(values) < 2:
        return 0.0
    logs = [log(value) for value in values]
    mean = sum(logs) / len(logs)
    return sqrt(sum((one - mean) ** 2 for one in logs) / (len(logs) - 1))


def _name(stage: str) -> str:
    return {"egg": "egg", "larva": "larva", "pupa": "pupa"}[stage]
