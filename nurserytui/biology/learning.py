"""What this nursery's own finished stages say about its next ones."""

from collections.abc import Sequence
from datetime import datetime
from math import exp, sqrt
from typing import NamedTuple

from nurserytui.biology.evidence import Seen, posterior
from nurserytui.biology.groups import Group, Stage
from nurserytui.biology.timeline import Timeline

COHORT = 0.05
"""Standard deviation (log) of one cohort's mean about its nursery's, within a species: host, season and parents. Judged: half of what
three populations of *Pieris rapae* show (larvae at 21 °C 19.5, 21.5 and 23.7 d: 0.10)."""


class Learned(NamedTuple):
    factor: float
    """This nursery's duration over the published one, drawn towards 1 by how little is known: multiply durations by it."""
    between: float
    """What stays uncertain for the next cohort (log standard deviation): put it in the place of the stage's own."""
    observed: float
    """The factor that the nursery's own stages show by themselves."""
    weight: float
    """Share of the way from the published number (0) to the nursery's own (1)."""
    cohorts: int
    animals: int

    def applied(self, stage: Stage) -> Stage:
        """The stage as this nursery sees it."""
        return stage._replace(curve=stage.curve.scaled(self.factor), between=self.between)


def learn(
    stage: Stage, finished: Sequence[tuple[Sequence[Group], Timeline]], now: datetime, cohort: float = COHORT
) -> Learned | None:
    """The nursery's factor for a stage from cohorts whose animals changed (each its groups and its timeline); None without any.

    A cohort's effect is the nursery's plus its own, Normal(0, `cohort`); the nursery's is Normal(0, s) with s² = between² - cohort².
    Each cohort enters as the normal approximation of its likelihood, so that the factor is a mean weighted by precision (shrinkage).
    """
    wide = max(stage.between, 0.3)
    prior = 1.0 / max(stage.between**2 - cohort**2, 1e-6)
    precision = pull = 0.0
    cohorts = animals = 0
    for groups, timeline in finished:
        seen = [Seen(group, stage, timeline, now) for group in groups]
        changed = sum(count for each in seen for _, _, count in each.changed)
        if not changed:
            continue
        effect = posterior(seen, wide)
        mean = effect.mean()
        variance = max(sum(weight * (value - mean) ** 2 for value, weight in effect.nodes), 1e-6)
        # Taking the wide prior back out leaves the likelihood alone.
        own = max(1.0 / variance - 1.0 / wide**2, 1e-9)
        weight = 1.0 / (1.0 / own + cohort**2)
        precision += weight
        pull += weight * mean / (variance * own)
        cohorts += 1
        animals += changed
    if not cohorts:
        return None
    shift = pull / (prior + precision)
    return Learned(
        factor=exp(shift),
        between=sqrt(1.0 / (prior + precision) + cohort**2),
        observed=exp(pull / precision),
        weight=precision / (prior + precision),
        cohorts=cohorts,
        animals=animals,
    )
