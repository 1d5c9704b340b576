"""Fits the shape that rate curves of all species share, by how well each published mean is foretold from a species' other temperatures.

usage: python -m nurserytui.knowledge.fitting [--write]

Prints the shape and each left-out mean with what was foretold; `--write` puts the shape into knowledge/rate_shapes.toml. A stage counts
where it was observed at three temperatures or more: each inner temperature in turn is left out with all of its rows. Sums of stages and
stages of the same animals are not independent of each other, so the spreads are not tests of significance.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from math import exp, log, sqrt
from pathlib import Path
from typing import NamedTuple

from nurserytui.biology import fitting as curves
from nurserytui.knowledge import facts
from nurserytui.knowledge.base import load
from nurserytui.knowledge.rate_priors import observed, prior_of, rate_prior

START = facts.RateShape(
    "rearing", foot=8.0, fall=2.0, base_shift=4.0, base_spread=3.0, upper_shift=4.0, upper_spread=2.0, error=0.08, between=0.10
)
"""Where the search starts. Not fitted, because a dozen species cannot tell them:

`base_shift`: a softened line that keeps within 4 % of a straight one from 16 to 28 °C has its base about 4 °C above it (computed).
`base_spread`: lower thresholds of 131 data sets of caterpillars ran from 3.9 to 16 °C (Miller 2011), four standard deviations.
`upper_spread`: judged. `between`: larvae of three populations of *Pieris rapae* took 19.5, 21.5 and 23.7 d at 21 °C.
"""
STEPS = {"foot": 1.0, "fall": 0.5, "upper_shift": 1.0, "error": 0.01}
"""What is fitted, in steps, so that the numbers are no finer than the data can tell."""
BOUNDS = {"foot": (2.0, 10.0), "fall": (0.5, 4.0), "upper_shift": (0.0, 10.0), "error": (0.05, 0.2)}
"""Beyond them curves of different shape are alike over the temperatures that were tried."""


class Foretold(NamedTuple):
    """A published mean, and what the rows at the other temperatures say of it."""

    species: str
    stage: str
    celsius: float
    swing: float
    observed: float
    sd: float | None
    days: float
    spread: float
    """Standard deviation of the logarithm, that of a nursery's own mean included."""


def prior_for(knowledge, species: str, shape: facts.RateShape) -> curves.Prior:
    """What relatives and the common shape say of a species before its own rows."""
    relatives = prior_of(knowledge, species)
    return rate_prior(shape, relatives.base, relatives.ceiling)


def stages_tried(knowledge) -> dict[tuple[str, str], list[facts.Duration]]:
    """(species, stage) -> published rows with a mean at a temperature, where there are three temperatures or more."""
    found: dict[tuple[str, str], list[facts.Duration]] = {}
    for species in knowledge.species_with_durations():
        for row in knowledge.durations(species):
            if row.mean and row.temperature is not None and row.kind == "published":
                found.setdefault((species, row.stage), []).append(row)
    return {name: rows for name, rows in found.items() if len({row.temperature for row in rows}) >= 3}


def foretell(knowledge, stages: Mapping[tuple[str, str], list[facts.Duration]], shape: facts.RateShape) -> list[Foretold]:
    """Every row at an inner temperature of its stage, foretold from the rows at the other temperatures."""
    found = []
    for (species, stage), rows in stages.items():
        prior = prior_for(knowledge, species, shape)
        for left_out in sorted({row.temperature for row in rows})[1:-1]:
            fitted = curves.fit(observed(row for row in rows if row.temperature != left_out), prior)
            for row in rows:
                if row.temperature == left_out:
                    spread = sqrt(fitted.spread(left_out, row.swing) ** 2 + shape.between**2)
                    days = fitted.days(left_out, row.swing)
                    found.append(Foretold(species, stage, left_out, row.swing, row.mean, row.sd, days, spread))
    return found


def score(found: list[Foretold]) -> float:
    """Mean logarithm of the density that was foretold at what was observed: higher is better."""
    return sum(-log(one.spread) - 0.5 * (log(one.days / one.observed) / one.spread) ** 2 for one in found) / len(found)


def best_shape(
    knowledge, stages: Mapping[tuple[str, str], list[facts.Duration]], start: facts.RateShape = START
) -> facts.RateShape:
    """The shape with the best score, by steps in one number after the other until none helps."""
    shape, reached, moved = start, score(foretell(knowledge, stages, start)), True
    while moved:
        moved = False
        for field, step in STEPS.items():
            for way in (step, -step):
                while True:
                    value = round(getattr(shape, field) + way, 6)
                    if not BOUNDS[field][0] <= value <= BOUNDS[field][1]:
                        break
                    tried = shape._replace(**{field: value})
                    got = score(foretell(knowledge, stages, tried))
                    if got <= reached + 1e-6:
                        break
                    shape, reached, moved = tried, got, True
    return shape


def mean_error(found: list[Foretold]) -> float:
    """Mean absolute error as a fraction of what was observed."""
    return sum(abs(one.days / one.observed - 1.0) for one in found) / len(found)


def covered(found: list[Foretold], score_of: float = 1.6449) -> float:
    """Share of the observed means inside the 90 % interval."""
    return sum(abs(log(one.days / one.observed)) <= score_of * one.spread for one in found) / len(found)


def main(arguments: list[str]) -> int:
    knowledge = load()
    stages = stages_tried(knowledge)
    shape = best_shape(knowledge, stages)
    found = foretell(knowledge, stages, shape)
    for one in found:
        low, high = (one.days * exp(way * 1.6449 * one.spread) for way in (-1, 1))
        print(
            f"{one.species:26} {one.stage:20} {one.celsius:5.1f} ±{one.swing:<4.0f} observed {one.observed:6.2f}  "
            f"foretold {one.days:6.2f} ({low:.2f}-{high:.2f})  {one.days / one.observed - 1:+.0%}"
        )
    print(f"{len(found)} means left out: mean error {mean_error(found):.1%}, inside the 90 % interval {covered(found):.0%}")
    text = as_toml(shape, found, sorted({source for rows in stages.values() for row in rows for source in row.sources}))
    print(text)
    if arguments == ["--write"]:
        from nurserytui import paths

        (Path(paths.shipped("knowledge")) / "rate_shapes.toml").write_text(text, encoding="utf-8")
    return 0


def as_toml(shape: facts.RateShape, found: list[Foretold], sources: list[str]) -> str:
    numbers = "\n".join(f"{field} = {getattr(shape, field)}" for field in facts.RateShape._fields[1:9])
    cited = ", ".join(f'"{source}"' for source in sources)
    note = (
        f"Fitted over {len(found)} published means, each foretold from its species' other temperatures: "
        f"mean error {mean_error(found):.1%}, {covered(found):.0%} inside the 90 % interval."
    )
    return (
        "# How rates of development bend with temperature in all species alike, fitted over the observed durations of durations.toml.\n"
        "# Made by `python -m nurserytui.knowledge.fitting --write`; not to be edited by hand.\n\n"
        f'[{shape.name}]\n{numbers}\nnote = "{note}"\nsources = [{cited}]\n'
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
