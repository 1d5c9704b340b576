"""How long animals live: for how many days each was watched, and whether it died then or only left the keeper's sight."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from nurserytui.answers.life_sums import families_of, run_of
from nurserytui.answers.lives import Life, lives_of, moment
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
    ledger, now = nursery.ledger, moment(nursery.now)
    died, left, why = Counter(), Counter(), Counter()
    for family in families_of(nursery, want):
        labels = frozenset(label for label in family if want.cohort_fits(label, ledger))
        if not labels:
            continue
        fits = None
        if len(labels) < len(family) or want.mark or want.enclosures or want.without:

            def fits(step, labels=labels) -> bool:
                return (
                    step.cohort in labels
                    and (not want.mark or step.mark == want.mark)
                    and (not want.enclosures or step.enclosure in want.enclosures)
                    and step.enclosure not in want.without
                )

        for life in lives_of(nursery, family):
            run = run_of(life, fits)
            span = _span(life, run, since, taken, now) if run is not None else None
            if span is not None:
                days, reason = span
                (died if reason == "died" else left)[days] += life.count
                why[reason] += life.count
    return Watch(died, left, why)


def _span(life: Life, run: tuple[int, int], since: str | None, taken: str, now: float) -> tuple[float, str] | None:
    """(days watched, how the watch ended) of a life while it was meant; None if it never was in that stage."""
    began, ended = run
    start = next((step for step in life.steps[began:ended] if since in (None, step.stage)), None)
    if start is None:
        return None
    if ended < len(life.steps):
        low, high, reason = life.steps[ended].low, life.steps[ended].high, "split off"
    elif not life.end:
        low, high, reason = life.low, max(now, start.high), "alive"
    else:
        low, high, reason = life.low, life.high, life.end
    if taken == EARLY:
        days = low - start.high
    elif taken == LATE:
        days = high - start.low
    else:
        days = high - start.high
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


def share_at(watch: Watch, early: Watch, late: Watch, days: float, level: float = 0.95) -> Share:
    """The share alive after `days`, with Greenwood's interval on the scale of log(-log). Where none has died by then, or all have, that
    has no width: Wilson's interval of those watched so long stands in."""
    curve = watch.curve()
    alive, standing = curve.at(days), watch.standing(days)
    if alive == 1.0:
        low, high = (wilson(standing, standing, level)[0] if standing else 0.0), 1.0
    elif alive == 0.0:
        low, high = 0.0, wilson(0, curve.at_risk[-1], level)[1]
    else:
        low, high = curve.interval(days, level)
    others = early.curve().at(days), late.curve().at(days)
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
