"""How long animals live: for how many days each was watched, and whether it died then or only left the keeper's sight."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from nurserytui.answers.life_sums import came_so, cohorts_meant, families_of, fitting_steps, run_of
from nurserytui.answers.lives import Life, Step, lives_of, moment, shelf
from nurserytui.answers.selection import Wanted
from nurserytui.biology.survival import SurvivalCurve, curve_of, wilson

RECORDED, EARLY, LATE = "recorded", "early", "late"
"""When a change happened that was found at a look: when it was recorded, right after the look before, or as long after the start as
the two looks about each end allow."""


class Watch(NamedTuple):
    """The days for which animals were watched, tallied: at which number of days how many died, or left alive."""

    died: Counter
    left: Counter
    why: Counter
    """How the watch on them ended: `died`, `alive`, `released`, `given`, `escaped`, `missing` …"""

    @property
    def animals(self) -> int:
        return self.why.total()

    def curve(self) -> SurvivalCurve:
        return curve_of(self.died, self.left)

    def standing(self, days: float) -> int:
        """How many were watched for longer than so many days."""
        return sum(count for tally in (self.died, self.left) for at, count in tally.items() if at > days)

    def longest(self) -> float:
        return max((*self.died, *self.left), default=0.0)

    def durations(self) -> tuple[list[float], list[bool]]:
        """One entry for every animal, as tests of two groups want them."""
        pairs = [(at, True) for at, count in self.died.items() for _ in range(count)]
        pairs += [(at, False) for at, count in self.left.items() for _ in range(count)]
        return [at for at, _ in pairs], [seen for _, seen in pairs]


def watched(nursery, want: Wanted, since: str | None = None, taken: str = RECORDED) -> Watch:
    """The days from entering (or from stage `since`) to death, for the animals meant; they are watched while they are those meant.

    Released, given away, escaped, missing and gone elsewhere end the watch alive; so does the present for those that are here.
    """
    now, fits_cohort = moment(nursery.now), cohorts_meant(nursery, want)
    died, left, why = Counter(), Counter(), Counter()
    for family in families_of(nursery, want):
        labels = tuple(label for label in family if fits_cohort(label))
        if not labels:
            continue
        fits = fitting_steps(want, labels, family)
        if want.marked or want.enclosures or want.without:
            told = _tallied([life for life in lives_of(nursery, family) if came_so(life, want)], fits, since, taken)
        else:
            box, name = shelf(nursery, family), ("days", since, taken, labels, want.came)
            if name not in box:
                box[name] = _tallied([life for life in lives_of(nursery, family) if came_so(life, want)], fits, since, taken)
            told = box[name]
        for tally, more in ((died, told.died), (left, told.left), (why, told.why)):
            for at, count in more.items():
                tally[at] += count
        for began, count in told.here.items():
            left[round(max(0.0, now - began), 4)] += count
    return Watch(died, left, why)


class _Told(NamedTuple):
    died: Counter
    left: Counter
    why: Counter
    here: Counter
    """When those began that are watched up to now -> animals."""


def _tallied(lives: list[Life], fits, since: str | None, taken: str) -> _Told:
    told = _Told(Counter(), Counter(), Counter(), Counter())
    for life in lives:
        run = run_of(life, fits)
        start = next((step for step in life.steps[run[0] : run[1]] if since in (None, step.stage)), None) if run else None
        if start is None:
            continue
        days, reason = _span(life, run, start, taken)
        told.why[reason] += life.count
        if days is None:
            told.here[start.low if taken == LATE else start.high] += life.count
        else:
            (told.died if reason == "died" else told.left)[days] += life.count
    return told


def _span(life: Life, run: tuple[int, int], start: Step, taken: str) -> tuple[float | None, str]:
    """(days watched, how the watch ended) of a life from a stay on while it was meant; None for days that run up to now."""
    ended = run[1]
    if ended < len(life.steps):
        low, high, reason = life.steps[ended].low, life.steps[ended].high, "split off"
    else:
        low, high, reason = life.low, life.high, life.end or "alive"
    if reason == "alive" and taken != EARLY:
        return None, reason
    days = low - start.high if taken == EARLY else high - (start.low if taken == LATE else start.high)
    return round(max(0.0, days), 4), reason


class Share(NamedTuple):
    """How many were alive after some days."""

    days: float
    alive: float
    low: float
    high: float
    """Bounds at 95 %."""
    standing: int
    """Animals watched for longer."""
    early: float
    late: float
    """The share, if every change was as early or as late as the looks allow."""


class Curves(NamedTuple):
    """The curve as recorded, and those with every change as early and as late as the looks allow."""

    watch: Watch
    recorded: SurvivalCurve
    early: SurvivalCurve
    late: SurvivalCurve


def curves(nursery, want: Wanted, since: str | None = None) -> Curves:
    watches = [watched(nursery, want, since, taken) for taken in (RECORDED, EARLY, LATE)]
    return Curves(watches[0], *(watch.curve() for watch in watches))


def share_at(told: Curves, days: float, level: float = 0.95) -> Share:
    """The share alive after `days`, with Greenwood's interval on the scale of log(-log). Where none has died by then, or all have, that
    has no width: Wilson's interval of those watched so long stands in."""
    curve = told.recorded
    alive, standing = curve.at(days), told.watch.standing(days)
    if alive == 1.0:
        low, high = (wilson(standing, standing, level)[0] if standing else 0.0), 1.0
    elif alive == 0.0:
        low, high = 0.0, wilson(0, curve.at_risk[-1], level)[1]
    else:
        low, high = curve.interval(days, level)
    others = told.early.at(days), told.late.at(days)
    return Share(days, alive, low, high, standing, min(alive, *others), max(alive, *others))


STEPS = (1, 2, 3, 5, 7, 10, 14, 20, 30, 45, 60, 90, 120, 180, 270, 365, 545, 730)
ROWS = 6


def days_shown(watch: Watch, asked: float | None) -> list[float]:
    """The days of a small table: round ones over the time in which they were watched, the one asked for among them."""
    longest = watch.longest()
    last = max(watch.died, default=longest)
    within = [day for day in STEPS if day <= longest]
    useful = [day for day in within if day <= last] + [day for day in within if day > last][:1]
    picked = useful[-1::-1][: 2 * ROWS : 2][::-1] if len(useful) > ROWS else useful
    return sorted({*picked, *([asked] if asked is not None else [])})
