"""When the first, the middle and the last animal of a cohort reach the next stage, or one further on.

Development is counted in fractions of a stage's mean duration, so temperature is dealt with by the timeline. One animal's duration is
lognormal with mean exp(u) and coefficient of variation `within`; u, Normal(0, `between`), is shared by the cohort. Given u, the animals
are independent. Looks and changes give u a posterior on a grid; order statistics are averaged over it. Nothing is drawn at random.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from nurserytui.biology.groups import Changed, Entry, Group, Known, Look, Stage, Unknown, Window, instars
from nurserytui.biology.timeline import Timeline

__all__ = ["Changed", "Entry", "Group", "Known", "Look", "Moment", "Outlook", "Stage", "Unknown", "Window", "forecast", "instars"]


class Moment(NamedTuple):
    """Half of the chance lies before `at`, the forecast's level between `low` and `high`. None: not within the timeline's horizon."""

    at: datetime | None
    low: datetime | None
    high: datetime | None


class Outlook(NamedTuple):
    first: Moment
    median: Moment
    last: Moment
    count: int
    """Animals that the forecast is about."""
    now: datetime
    level: float
    posterior_shift: float
    """How much longer than the published mean this cohort seems to take: 1.08 is 8 % longer, 0.9 is 10 % shorter."""
    shift_low: float
    shift_high: float
    still_chance: float
    """Chance that one living animal would still be unchanged when it was last seen, before that look is taken into account.
    Small: overdue. The least of the groups that remain."""
    already_chance: float
    """Chance that one animal has changed since it was last seen unchanged, without anyone having looked. Large: go and look."""
    table: tuple[tuple[datetime, float, float, float], ...]
    """Moments with the chances that one animal, any, and all are done by then."""

    @property
    def days_left(self) -> float | None:
        """Days from now to the median."""
        ...

    def chance_done_by(self, when: datetime, which: str = "one") -> float:
        """Chance (0-1) that `one` given animal, the `first` or the `last` of them is done by `when`."""
        ...


def forecast(
    stages: Sequence[Stage], groups: Group | Sequence[Group], timeline: Timeline, now: datetime, level: float = 0.9
) -> Outlook:
    """The outlook for all animals of `groups` to complete the last of `stages`.

    Groups stand in stage number `Group.stage` (0 unless said) and share each stage's effect. ValueError without an animal left, or for
    impossible numbers.
    """
    ...
