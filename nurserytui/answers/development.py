"""Which numbers stand behind a stage of a species: published thresholds, observed durations, or what its relatives suggest.

Whatever they are, a rate curve goes through them: straight in the middle, easing off towards the cold, falling in the heat.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, hypot, log, sqrt
from typing import NamedTuple

from nurserytui.answers.wording import listed, number
from nurserytui.biology.fitting import Fitted, Observed, fit
from nurserytui.biology.groups import Stage
from nurserytui.knowledge.rate_priors import observed, prior_of, rate_prior

WITHIN = 0.10
"""Coefficient of variation between animals for a whole stage (computed from published rearing records: 5 to 16 %, mostly near 10 %)."""
BETWEEN_LEAST = 0.10
"""Least relative spread of a species' mean between populations (published *Pieris rapae* larvae at 21 °C: 19.5, 21.5 and 23.7 d)."""
BETWEEN_MEMORY = 0.20
ROOM = 23.0
"""°C taken for a duration whose temperature its source does not state: an ordinary warm room."""
LINE_ERROR, LINE_ERROR_MEMORY = 0.03, 0.08
"""How closely the curve follows a published straight line over the temperatures where such lines are measured, and a recalled one."""
LINE_POINTS = 4
SUM_ERROR = 0.05
TRUSTED = ("published", "own")
PREPUPA_DAYS = 1.0
"""Days from hanging up or girdling to the pupa in a warm room."""
PREPUPA_SOURCES = ("florida-nature-pictures-life", "illinois-insect-rearing-notes")
PARTS = {"egg_to_adult": ("egg", "larva", "pupa"), "larva_to_adult": ("larva", "pupa"), "egg_to_pupa": ("egg", "larva")}
CHAIN = ("egg", "larva", "pupa")


class Basis(NamedTuple):
    """The numbers for one stage of one species, and where they come from."""

    stage: Stage
    """As it is in an ordinary room."""
    kind: str
    """`thresholds`, `observed` or `relatives`."""
    words: str
    """One sentence for the working, with its numbers."""
    sources: tuple[str, ...]
    base: float
    """°C, the lower threshold of the straight line: little grows at or below it."""
    fitted: Fitted
    between: float
    """How far populations and nurseries differ, without the doubt about the curve."""

    def at(self, celsius: float) -> Stage:
        """The stage with the doubt that its curve has at `celsius`: far from what was measured it is larger."""
        return self.stage._replace(between=hypot(self.between, self.fitted.spread(celsius)))


@lru_cache(maxsize=512)
def basis(knowledge, species: str, stage: str) -> Basis | None:
    """The best numbers there are for `stage` (`egg`, `larva`, `prepupa`, `pupa`) of `species`; None for a stage that does not develop."""
    if stage == "prepupa":
        return _prepupa(knowledge, species)
    if stage not in CHAIN:
        return None
    return (
        _thresholds(knowledge, species, stage, TRUSTED)
        or _observed(knowledge, species, stage, 2)
        or _thresholds(knowledge, species, stage, ("practice", "memory"))
        or _observed(knowledge, species, stage, 1)
        or _split(knowledge, species, stage)
        or _ranges(knowledge, species, stage)
        or _relatives(knowledge, species, stage)
    )


def _made(
    knowledge,
    species: str,
    rows: list[Observed],
    between: float,
    kind: str,
    words: str,
    sources,
    base: float,
    ceiling=None,
    within=WITHIN,
) -> Basis:
    """The curve through the rows, as a basis."""
    prior = prior_of(knowledge, species)
    fitted = fit(rows, rate_prior(knowledge.rate_shape, base, ceiling or prior.ceiling))
    stage = Stage(fitted.curve(), within, hypot(between, fitted.spread(ROOM)))
    return Basis(stage, kind, words, tuple(dict.fromkeys(sources)), base, fitted, between)


def _on_line(base: float, degree_days: float, ceiling: float, error: float) -> list[Observed]:
    """Durations by a straight line at the temperatures where such lines are usually measured."""
    low = max(15.0, base + 5.0)
    high = max(min(ceiling, 30.0) - 1.0, low + 3.0)
    places = [low + (high - low) * at / (LINE_POINTS - 1) for at in range(LINE_POINTS)]
    return [Observed(celsius, degree_days / (celsius - base), error=error) for celsius in places]


def _thresholds(knowledge, species: str, stage: str, kinds: tuple[str, ...]) -> Basis | None:
    rows = [row for row in knowledge.thermal(species) if row.stage == stage and row.kind in kinds]
    if not rows:
        return None
    trusted = rows[0].kind in TRUSTED
    days = sorted((row.degree_days / max(ROOM - row.base, 1.0), index) for index, row in enumerate(rows))
    row = rows[days[(len(days) - 1) // 2][1]]
    ceiling = row.ceiling or prior_of(knowledge, species).ceiling
    points = [
        point
        for each in rows
        for point in _on_line(each.base, each.degree_days, each.ceiling or ceiling, LINE_ERROR if trusted else LINE_ERROR_MEMORY)
    ]
    seen = _means(knowledge, species, stage) if trusted else []
    between = max(_log_spread([one for one, _ in days]), BETWEEN_LEAST if trusted else BETWEEN_MEMORY)
    words = f"{stage} of {species}: {number(row.degree_days)} degree-days above {number(row.base)} °C"
    if row.ceiling:
        words += f", no faster above {number(row.ceiling)} °C"
    others = f", {len(rows)} sets in all" if len(rows) > 1 else ""
    words += f" (thresholds {'published' if trusted else 'from memory, unchecked, so the interval is wide'}{others})"
    if seen:
        words += f", with means observed at {listed([f'{number(one)} °C' for one in sorted({row.temperature for row in seen})])}"
    sources = [source for each in (*rows, *seen) for source in each.sources]
    return _made(
        knowledge, species, points + observed(seen), between, "thresholds", words, sources, row.base, row.ceiling, within_of(seen)
    )


def _means(knowledge, species: str, stage: str) -> list:
    """Rows with a mean at a stated temperature."""
    return [row for row in knowledge.durations(species) if row.stage == stage and row.temperature is not None and row.mean]


def within_of(rows) -> float:
    """Coefficient of variation between animals, from the rows that state it. Looks once a day and few animals bend it: kept in bounds."""
    spreads = [row.sd / row.mean for row in rows if row.sd]
    return min(max(sum(spreads) / len(spreads), 0.06), 0.25) if spreads else WITHIN


def _observed(knowledge, species: str, stage: str, enough: int) -> Basis | None:
    rows = _means(knowledge, species, stage)
    temperatures = sorted({row.temperature for row in rows})
    if len(temperatures) < enough:
        return None
    repeats = [
        _log_spread([row.mean for row in rows if (row.temperature, row.swing) == place])
        for place in {(row.temperature, row.swing) for row in rows}
    ]
    between = max([*repeats, BETWEEN_LEAST])
    base = prior_of(knowledge, species).base
    seen = [
        f"{number(exp(sum(log(row.mean) for row in rows if row.temperature == celsius) / sum(row.temperature == celsius for row in rows)))} d at {number(celsius)} °C"
        for celsius in temperatures
    ]
    words = f"{stage} of {species}: observed {listed(seen)}; a curve through {'it' if len(seen) == 1 else 'them'} eases off in the cold and falls in the heat"
    sources = [source for row in rows for source in row.sources]
    return _made(knowledge, species, observed(rows), between, "observed", words, sources, base, within=within_of(rows))


def _split(knowledge, species: str, stage: str) -> Basis | None:
    """A published sum over several stages, or means of it at stated temperatures, split as the relatives split it."""
    prior = prior_of(knowledge, species)
    needs = {"egg": prior.egg, "larva": prior.larva, "pupa": prior.pupa}
    between = max(0.15, prior.spread / 2)
    for whole, parts in PARTS.items():
        if stage not in parts:
            continue
        share = needs[stage] / sum(needs[part] for part in parts)
        split = f"for {' + '.join(parts)}, split as in its relatives ({prior.group})"
        for row in knowledge.thermal(species):
            if row.stage == whole:
                words = f"{stage} of {species}: {share:.0%} of {number(row.degree_days)} degree-days above {number(row.base)} °C {split}"
                points = _on_line(row.base, row.degree_days * share, row.ceiling or prior.ceiling, SUM_ERROR)
                doubt = between if row.kind in TRUSTED else max(between, BETWEEN_MEMORY)
                return _made(
                    knowledge, species, points, doubt, "thresholds", words, (*row.sources, *prior.sources), row.base, row.ceiling
                )
        rows = _means(knowledge, species, whole)
        if rows:
            seen = [
                f"{number(row.mean)} d at {number(row.temperature)} °C" for row in sorted(rows, key=lambda row: row.temperature)
            ]
            words = f"{stage} of {species}: {share:.0%} of the {listed(seen)} observed {split}"
            sources = [source for row in rows for source in row.sources]
            doubt = max(between, *(_log_spread([row.mean for row in rows if row.temperature == one.temperature]) for one in rows))
            return _made(
                knowledge, species, observed(rows, share), doubt, "observed", words, (*sources, *prior.sources), prior.base
            )
    return None


def _ranges(knowledge, species: str, stage: str) -> Basis | None:
    """Ranges of days, and means without a temperature: at the temperature they state, else at an ordinary room's."""
    rows = [row for row in knowledge.durations(species) if row.stage == stage and (row.mean or (row.low and row.high))]
    if not rows:
        return None
    prior = prior_of(knowledge, species)
    days, spreads, said = [], [], []
    for row in rows:
        low, high = row.low or row.mean, row.high or row.mean
        days.append(row.mean or sqrt(low * high))
        spreads.append(log(high / low) / 3.3 if low and high and high > low else 0.15)
        place = f"at {number(row.temperature)} °C" if row.temperature is not None else "in an ordinary room"
        said.append(f"{number(days[-1])} d {place}")
    between = max(0.15, sum(spreads) / len(spreads), _log_spread(days))
    words = f"{stage} of {species}: about {listed(dict.fromkeys(said))}"
    if any(row.temperature is None for row in rows):
        words += f" (temperature not stated; taken as {number(ROOM)} °C)"
    sources = (*(source for row in rows for source in row.sources), *prior.sources)
    seen = [Observed(ROOM if row.temperature is None else row.temperature, middle, row.swing) for row, middle in zip(rows, days)]
    return _made(knowledge, species, seen, between, "observed", words, sources, prior.base)


def _relatives(knowledge, species: str, stage: str) -> Basis:
    prior = prior_of(knowledge, species)
    need = {"egg": prior.egg, "larva": prior.larva, "pupa": prior.pupa}[stage]
    words = (
        f"{stage} of {species}: no measured numbers; its relatives ({prior.group}) need about {number(need)} degree-days above "
        f"{number(prior.base)} °C, give or take {prior.spread:.0%}"
    )
    row = Observed(ROOM, need / (ROOM - prior.base))
    return _made(knowledge, species, [row], prior.spread, "relatives", words, prior.sources, prior.base)


def _prepupa(knowledge, species: str) -> Basis:
    words = f"prepupa: about {number(PREPUPA_DAYS)} d in a warm room from hanging up to the pupa"
    base = prior_of(knowledge, species).base
    row = Observed(ROOM, PREPUPA_DAYS)
    return _made(knowledge, species, [row], 0.5, "observed", words, PREPUPA_SOURCES, base, within=0.25)


def _log_spread(values: list[float]) -> float:
    if len(values) < 2:
        return 0.0
    logs = [log(value) for value in values]
    mean = sum(logs) / len(logs)
    return sqrt(sum((one - mean) ** 2 for one in logs) / (len(logs) - 1))
