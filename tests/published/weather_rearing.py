"""A published rearing of *Pieris rapae* under real weather, predicted from chambers only.

Parker, Kingsolver et al. 2024, individual rearing records of *Pieris rapae* 2022-2023: newly hatched larvae were kept in chambers that
followed the daily lows and highs of 2020 at Raleigh-Durham, from 1 April or from 1 August, until they pupated. The observed means, and what
the authors' own model gave, are theirs. Rows of this rearing are left out of the knowledge before it is asked.
"""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from math import log, sqrt
from typing import NamedTuple

from weather import days, half_hourly

from nurserytui.answers.development import basis
from nurserytui.biology import degree_days
from nurserytui.biology.forecast import Group, Known, forecast
from nurserytui.biology.timeline import Timeline

SPECIES = "Pieris rapae"
WITHIN_OF_MEAN = 0.10
"""Stated before the first prediction was made."""


class Rearing(NamedTuple):
    name: str
    first: date
    n: int
    mean: float
    """Days from hatching to pupation."""
    sd: float
    theirs: float
    """Days by the authors' model."""


REARINGS = (
    Rearing("spring", date(2020, 4, 1), 49, 31.08, 2.74, 33.42),
    Rearing("summer", date(2020, 8, 1), 53, 12.26, 0.96, 12.92),
)


class Blind:
    """The knowledge base without the rows of these rearings."""

    def __init__(self, knowledge):
        self._knowledge = knowledge
        self.left_out = [row for row in knowledge.durations(SPECIES) if _of_these(row)]

    def __getattr__(self, name):
        return getattr(self._knowledge, name)

    def durations(self, species: str):
        return tuple(row for row in self._knowledge.durations(species) if not _of_these(row))


def _of_these(row) -> bool:
    return (
        any(row.mean and abs(row.mean - each.mean) < 0.005 and row.n == each.n for each in REARINGS) or "real weather" in row.note
    )


class Prediction(NamedTuple):
    rearing: Rearing
    mean: float
    """Days, of the middle animal."""
    low: float
    high: float
    """90 % of the middle animal of a cohort."""
    one_low: float
    one_high: float
    """90 % of a single animal."""
    averages: float | None
    """Days by plain daily means above a base, from the same chambers."""
    handbook: float
    """Days: the middle of the handbooks' ranges."""

    @property
    def off(self) -> float:
        return self.mean / self.rearing.mean - 1


def predict(knowledge, rearing: Rearing) -> Prediction:
    blind = Blind(knowledge)
    series = [each for day, each in sorted(days().items()) if day >= rearing.first][: 61 if rearing.first.month == 4 else 31]
    air = Timeline(half_hourly(series, rearing.first))
    hatched = datetime.combine(rearing.first, time())
    stage = basis(blind, SPECIES, "larva").stage
    cohort, one = (forecast([stage], Group(count, Known(hatched)), air, hatched) for count in (rearing.n, 1))

    def since(when: datetime) -> float:
        return (when - hatched) / timedelta(days=1)

    return Prediction(
        rearing,
        *(since(when) for when in cohort.median),
        *(since(when) for when in one.median[1:]),
        averages=_by_averages(blind, series),
        handbook=_by_handbooks(blind),
    )


def _by_averages(knowledge, series: list[tuple[float, float]]) -> float | None:
    """Plain degree-days: a line through the rates of the two cooler chambers, and the daily means added up above its base."""
    rates: dict[float, list[float]] = {}
    for row in knowledge.durations(SPECIES):
        if row.stage == "larva" and row.temperature in (16, 26) and row.mean:
            rates.setdefault(row.temperature, []).append(1 / row.mean)
    (cool, slow), (warm, fast) = ((celsius, sum(each) / len(each)) for celsius, each in sorted(rates.items()))
    need = (warm - cool) / (fast - slow)
    base, total = cool - slow * need, 0.0
    for day, (low, high) in enumerate(series):
        step = degree_days(low, high, base, method="average")
        if total + step >= need:
            return day + (need - total) / step
        total += step
    return None


def _by_handbooks(knowledge) -> float:
    ranges = [
        (row.low, row.high)
        for row in knowledge.durations(SPECIES)
        if row.stage == "larva" and row.temperature is None and row.low and row.high
    ]
    return sum((low + high) / 2 for low, high in ranges) / len(ranges)


def predictions(knowledge) -> list[Prediction]:
    return [predict(knowledge, rearing) for rearing in REARINGS]


def log_error(values: list[tuple[float, float]]) -> float:
    """Root mean square of the logarithms of (predicted, observed)."""
    return sqrt(sum(log(said / seen) ** 2 for said, seen in values) / len(values))


def tables(knowledge) -> list:
    """(title, header, rows)."""
    out = []
    for each in predictions(knowledge):
        seen = each.rearing
        held = abs(each.off) <= WITHIN_OF_MEAN and each.low <= seen.mean <= each.high
        out.append(
            (
                f"{seen.name}, from {seen.first:%-d %B}",
                f"{seen.mean:.2f} (SD {seen.sd:.2f}, n {seen.n})",
                f"{each.mean:.2f} ({each.low:.1f} to {each.high:.1f})",
                f"{each.off:+.1%}",
                f"{each.one_low:.1f} to {each.one_high:.1f}",
                f"{seen.theirs:.2f} ({seen.theirs / seen.mean - 1:+.1%})",
                f"{each.averages:.2f}" if each.averages else "never",
                f"{each.handbook:.1f}",
                "holds" if held else f"not within {WITHIN_OF_MEAN:.0%}, or outside the 90 %",
            )
        )
    title = (
        "Pieris rapae under real weather, days from hatching to pupation (Parker, Kingsolver et al. 2024), predicted from chambers: "
        f"mean within {WITHIN_OF_MEAN:.0%} and inside our 90 %"
    )
    header = (
        "rearing",
        "observed",
        "ours (90 % of the middle)",
        "off",
        "one animal, 90 %",
        "theirs",
        "plain means",
        "handbooks",
        "",
    )
    return [(title, header, out)]
