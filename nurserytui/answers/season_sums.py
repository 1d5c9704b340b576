"""What a season came to by a moment: what came in, what it reached, what it lost, so that a running season meets earlier ones fairly."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import NamedTuple

from nurserytui.answers.fates import Fates
from nurserytui.answers.handled import EVERY
from nurserytui.answers.life_sums import added, by_source, came_so, families_of
from nurserytui.answers.lifetimes import Watch
from nurserytui.answers.lives import lives_of, moment, until_changed
from nurserytui.answers.selection import Wanted, of_season
from nurserytui.answers.survival import of_seasons


class Season(NamedTuple):
    """A season as it stood at a moment, or at the end of what is known of it."""

    year: int
    came: Counter
    """`laid` or `found` -> animals."""
    reached: Counter
    """Stage -> animals that came into it here."""
    ended: Counter
    """`died`, `released`, `given`, `escaped`, `missing`, `counted` -> animals."""
    causes: Counter
    here: Counter
    """Stage -> animals that were here then."""
    adult: Fates
    """On the way to adult."""
    fates: Callable[[str, str], Fates]
    """On the way from stage to stage: worked out when it is asked for, since beside other seasons nobody does."""
    watch: Watch
    """The days for which they were watched, from coming in to death or to the moment."""

    @property
    def steps(self) -> tuple[tuple[str, str, Fates], ...]:
        """From stage to stage."""
        return tuple((first, last, self.fates(first, last)) for first, last in STEPS)

    @property
    def total(self) -> int:
        return self.came.total()


STEPS = (("egg", "larva"), ("larva", "pupa"), ("pupa", "adult"))


def same_day(nursery, year: int, running: int) -> float | None:
    """The moment in a season that lies as far into it as now does in the running one; None for the running season itself."""
    if year == running:
        return None
    now, back = nursery.now, running - year
    try:
        then = now.replace(year=now.year - back)
    except ValueError:  # 29 February
        then = now.replace(year=now.year - back, day=28)
    # A day without a clock time is told as its noon: the whole of the date counts, on either side.
    return moment(then.replace(hour=23, minute=59, second=59))


def season(nursery, year: int, want: Wanted = EVERY, until: float | None = None) -> Season:
    """The cohorts that began in the season, as they stood at `until` (a number of days, as lives have them); None: now."""
    return until_changed(
        nursery, ("season", year, want, until is None), lambda: _season(nursery, year, want, until), until or nursery.now
    )


def _season(nursery, year: int, want: Wanted, until: float | None) -> Season:
    meant = of_seasons(nursery, want._replace(stages=(), instar=None), (year,))
    labels = frozenset(meant.cohorts)
    came, reached, ended, causes, here, died, left, why = (Counter() for _ in range(8))
    now = moment(nursery.now) if until is None else until
    for family in families_of(nursery, meant):
        for life in lives_of(nursery, family):
            if life.start.cohort not in labels or life.start.high > now or not came_so(life, want):
                continue
            came[life.how] += life.count
            seen = [step for step in life.steps if step.high <= now]
            for before, after in zip(seen, seen[1:], strict=False):
                if before.stage != after.stage:
                    reached[after.stage] += life.count
            over = bool(life.end) and life.high <= now
            days = round(max(0.0, (life.high if over else now) - life.start.high), 4)
            (died if over and life.end == "died" else left)[days] += life.count
            why[life.end if over else "alive"] += life.count
            if over:
                ended[life.end] += life.count
                if life.end == "died":
                    causes[life.cause or "cause not recorded"] += life.count
            else:
                here[seen[-1].stage] += life.count

    def fates(origin: str | None, goal: str) -> Fates:
        return added(by_source(nursery, meant, origin, goal, until=until).values())

    return Season(year, came, reached, ended, causes, here, fates(None, "adult"), fates, Watch(died, left, why))


def seasons_known(nursery) -> list[int]:
    """The seasons in which cohorts began, the first first."""
    return list(of_season(nursery))
