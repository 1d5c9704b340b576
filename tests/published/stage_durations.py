"""Published stage durations, each foretold from rows that leave it out, beside two simpler ways of foretelling it.

The rows are those of knowledge/durations.toml with their sources: Allen & Smith 1958 (*Colias eurytheme*), Parker and others 2024 (*Pieris
rapae*), Inoue & Koyama 2003 (*Narathura bazalus*), the Yunnan rearings of *Danaus genutia*, Kim and others 2012 (*Byasa alcinous*), Briscoe
2012 (*Heteronympha merope*), the *Manduca sexta* chambers of Moore and of the Kingsolver laboratory, and others.

line        a straight line through the rates of the kept rows (plain degree-days), as a handbook's threshold and sum are made
midpoint    the middle of the shortest and the longest duration of the kept rows, as a handbook's range is read
"""

from __future__ import annotations

from functools import cache
from math import exp, hypot, log, log1p, sqrt
from typing import NamedTuple

from nurserytui.answers.development import within_of
from nurserytui.biology import fitting as curves
from nurserytui.biology.normal import below
from nurserytui.knowledge import fitting
from nurserytui.knowledge.base import load
from nurserytui.knowledge.rate_priors import observed as observed_rows

NINETY = 1.6449
LEAST_ANIMALS = 10


class LeftOut(NamedTuple):
    found: fitting.Foretold
    line: float | None
    """Days by the straight line; None where it gives no development."""
    midpoint: float


@cache
def _stages():
    return fitting.stages_tried(load())


@cache
def left_out() -> tuple[LeftOut, ...]:
    """Every inner temperature of every stage left out in turn, with a common shape that was fitted without the species as well."""
    knowledge, stages, out = load(), _stages(), []
    for species in sorted({name for name, _ in stages}):
        shape = fitting.best_shape(knowledge, {name: rows for name, rows in stages.items() if name[0] != species})
        mine = {name: rows for name, rows in stages.items() if name[0] == species}
        for one in fitting.foretell(knowledge, mine, shape):
            kept = [row for row in mine[one.species, one.stage] if row.temperature != one.celsius]
            days = [row.mean for row in kept]
            out.append(LeftOut(one, _line(kept, one.celsius), (min(days) + max(days)) / 2))
    return tuple(out)


def _line(rows, celsius: float) -> float | None:
    """Days by ordinary least squares of rate on temperature."""
    count = len(rows)
    mean = sum(row.temperature for row in rows) / count
    rates = [1.0 / row.mean for row in rows]
    middle = sum(rates) / count
    slope = sum((row.temperature - mean) * (rate - middle) for row, rate in zip(rows, rates, strict=True))
    slope /= sum((row.temperature - mean) ** 2 for row in rows)
    rate = middle + slope * (celsius - mean)
    return 1.0 / rate if rate > 0 else None


class Animals(NamedTuple):
    """A published mean and standard deviation, and the share of such animals inside the interval foretold without that row."""

    species: str
    stage: str
    celsius: float
    mean: float
    sd: float
    low: float
    high: float
    inside: float


@cache
def single_animals() -> tuple[Animals, ...]:
    """Rows that state a spread, each left out alone, where the others still reach around its temperature."""
    knowledge, out = load(), []
    for (species, stage), rows in _stages().items():
        prior = fitting.prior_for(knowledge, species, knowledge.rate_shape)
        for row in rows:
            kept = [other for other in rows if other is not row]
            tried = [other.temperature for other in kept]
            if (
                not row.sd
                or (row.n or 0) < LEAST_ANIMALS
                or not any(other.sd for other in kept)
                or not min(tried) <= row.temperature <= max(tried)
            ):
                continue
            fitted = curves.fit(observed_rows(kept), prior)
            within = within_of(kept)
            between = hypot(knowledge.rate_shape.between, fitted.spread(row.temperature, row.swing))
            reach = NINETY * hypot(sqrt(log1p(within**2)), between)
            days = fitted.days(row.temperature, row.swing)
            low, high = days * exp(-reach), days * exp(reach)
            inside = below((high - row.mean) / row.sd) - below((low - row.mean) / row.sd)
            out.append(Animals(species, stage, row.temperature, row.mean, row.sd, low, high, inside))
    return tuple(out)


def colder_than_tried() -> list[tuple[str, float, float, float]]:
    """*Colias eurytheme* at 15 °C from 20 and 30 °C alone: (stage, observed days, days foretold, days by the straight line)."""
    knowledge, out = load(), []
    prior = fitting.prior_for(knowledge, "Colias eurytheme", knowledge.rate_shape)
    for stage in ("egg", "larva", "pupa", "egg_to_adult"):
        rows = _stages()["Colias eurytheme", stage]
        kept = [row for row in rows if row.temperature in (20.0, 30.0)]
        observed = next(row.mean for row in rows if row.temperature == 15.0)
        out.append((stage, observed, curves.fit(observed_rows(kept), prior).days(15.0), _line(kept, 15.0)))
    return out


def error(days: float | None, observed: float) -> float:
    """Absolute error as a fraction of what was observed; one of no development counts as a whole duration."""
    return 1.0 if days is None else abs(days / observed - 1.0)


def mean_errors() -> tuple[float, float, float]:
    """Mean error of ours, of the straight line and of the midpoint."""
    rows = left_out()
    ours = sum(error(one.found.days, one.found.observed) for one in rows) / len(rows)
    line = sum(error(one.line, one.found.observed) for one in rows) / len(rows)
    middle = sum(error(one.midpoint, one.found.observed) for one in rows) / len(rows)
    return ours, line, middle


def covered() -> float:
    """Share of the left-out means inside the 90 % interval."""
    rows = [one.found for one in left_out()]
    return sum(abs(log(one.days / one.observed)) <= NINETY * one.spread for one in rows) / len(rows)


def tables() -> list[tuple[str, list[str], list[list[str]]]]:
    """(title, header, rows) for the report."""
    ours, line, middle = mean_errors()
    rows = [
        [
            one.found.species,
            one.found.stage,
            f"{one.found.celsius:g}" + (f" ±{one.found.swing:g}" if one.found.swing else ""),
            f"{one.found.observed:.2f}",
            f"{one.found.days:.2f} ({_low(one.found):.2f}-{_high(one.found):.2f})",
            "none" if one.line is None else f"{one.line:.2f}",
            f"{one.midpoint:.2f}",
            "",
        ]
        for one in left_out()
    ]
    judged = "holds" if ours <= 0.10 else "above 10 %"
    rows.append(["mean error", f"{len(rows)} means", "", "at most 10 %", f"{ours:.1%}", f"{line:.1%}", f"{middle:.1%}", judged])
    rows.append(
        ["inside 90 %", "", "", "at least 85 %", f"{covered():.0%}", "", "", "holds" if covered() >= 0.85 else "below 85 %"]
    )
    animals = [
        [
            one.species,
            one.stage,
            f"{one.celsius:g}",
            f"{one.mean:.2f} ({one.sd:.2f})",
            f"{one.low:.2f}-{one.high:.2f}",
            f"{one.inside:.0%}",
            "",
        ]
        for one in single_animals()
    ]
    share = sum(one.inside for one in single_animals()) / len(single_animals())
    judged = "holds" if 0.85 <= share <= 0.95 else "outside 85-95 %"
    animals.append(["all", f"{len(animals)} rows", "", "", "85-95 %", f"{share:.1%}", judged])
    cold = [
        [
            stage,
            f"{seen:.1f}",
            f"{days:.1f}",
            f"{straight:.1f}",
            "holds" if error(days, seen) < 0.5 * error(straight, seen) else "too far off",
        ]
        for stage, seen, days, straight in colder_than_tried()
    ]
    return [
        (
            "Published means left out (their temperature lies inside those kept; the shape is fitted without the species)",
            ["species", "stage", "°C", "observed", "foretold (90 %)", "line", "midpoint", ""],
            rows,
        ),
        (
            "Single animals by published means and spreads, each row left out",
            ["species", "stage", "°C", "mean (SD)", "90 %", "inside", ""],
            animals,
        ),
        (
            "Colias eurytheme at 15 °C from 20 and 30 °C alone (Allen & Smith 1958): at most half as far off as a straight line",
            ["stage", "observed", "foretold", "line", ""],
            cold,
        ),
    ]


def _low(one: fitting.Foretold) -> float:
    return one.days * exp(-NINETY * one.spread)


def _high(one: fitting.Foretold) -> float:
    return one.days * exp(NINETY * one.spread)
