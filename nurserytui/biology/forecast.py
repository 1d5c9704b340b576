"""When the first, the middle and the last animal of a cohort reach the next stage, or one further on.

Development is counted in fractions of a stage's mean duration, so temperature is dealt with by the timeline. One animal's duration is
lognormal with mean exp(u) and coefficient of variation `within`; u, Normal(0, `between`), is shared by the cohort. Given u, the animals
are independent. Looks and changes give u a posterior on a grid; order statistics are averaged over it. Nothing is drawn at random.
"""

from bisect import bisect_right
from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import accumulate
from math import exp, inf
from typing import NamedTuple

from nurserytui.biology import chain
from nurserytui.biology.evidence import Branch, Grid, Seen, Survivor, falling, posterior
from nurserytui.biology.groups import Changed, Entry, Group, Known, Look, Stage, Unknown, Window, instars
from nurserytui.biology.orders import Axis, Done, Scenario, Share
from nurserytui.biology.timeline import HORIZON, Timeline

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
    """Chance that one living animal would still be unchanged now, by its entry and what the changed ones tell. Small, with a small
    `already_chance`: overdue. The least of the groups that remain."""
    already_chance: float
    """Chance that one animal has changed since it was last seen unchanged (or since its entry), without anyone having looked. Large:
    go and look. The most of the groups that remain."""
    table: tuple[tuple[datetime, float, float, float], ...]
    """Moments with the chances that one animal, any, and all are done by then."""

    @property
    def days_left(self) -> float | None:
        """Days from now to the median; None if that is out of reach."""
        return (self.median.at - self.now) / timedelta(days=1) if self.median.at else None

    def chance_done_by(self, when: datetime, which: str = "one") -> float:
        """Chance (0-1) that `one` given animal, the `first` or the `last` of them is done by `when`; `one` is also the share to expect."""
        column = {"one": 1, "first": 2, "last": 3}[which]
        right = bisect_right(self.table, (when, 2.0, 2.0, 2.0))
        if right == 0:
            return 0.0
        before = self.table[right - 1]
        if right == len(self.table):
            return before[column]
        after = self.table[right]
        part = (when - before[0]) / (after[0] - before[0])
        return before[column] + (after[column] - before[column]) * part


def forecast(
    stages: Sequence[Stage], groups: Group | Sequence[Group], timeline: Timeline, now: datetime, level: float = 0.9
) -> Outlook:
    """The outlook for all animals of `groups` to complete the last of `stages`.

    Groups stand in stage number `Group.stage` (0 unless said) and share each stage's effect. What is dated after `now` is taken as of
    `now`. ValueError without an animal left, or for impossible numbers.
    """
    low, high = (1.0 - level) / 2.0, (1.0 + level) / 2.0
    upto = max(0.999, (1.0 + high) / 2.0)
    groups = [groups] if isinstance(groups, Group) else list(groups)
    _check(stages, groups, level)
    keys = [stage.shared or index for index, stage in enumerate(stages)]
    seen = [(group.stage, Seen(group, stages[group.stage], timeline, now)) for group in groups]
    remaining = [(index, each) for index, each in seen if each.group.count]
    first = min(index for index, _ in remaining)

    shifts, free = {}, {}
    for key in dict.fromkeys(keys[first:]):
        about = [each for index, each in seen if keys[index] == key]
        between = stages[keys.index(key)].between
        shifts[key] = posterior(about, between)
        if any(keys[index] == key for index, _ in remaining):
            free[key] = posterior(about, between, remaining=False)

    if all(index == len(stages) - 1 for index, _ in remaining):
        axis, moment = _straight(stages[-1], [each for _, each in remaining], shifts[keys[-1]], timeline, now, upto)
    else:
        start, days = timeline.offset(now), HORIZON.days
        scenes = chain.scenarios(stages, remaining, shifts, keys, timeline, start, days)
        axis = Axis(scenes, 16.0, days, upto)

        def moment(at: float) -> datetime | None:
            return timeline.moment(start + at) if at < days else None

    def dated(at: float) -> datetime | None:
        when = moment(at) if at != inf else None
        return None if when is None else max(when, now)

    moments = []
    for which in ("first", "middle", "last"):
        lower, at, upper = accumulate((axis.reach(which, chance) for chance in (low, 0.5, high)), max)
        moments.append(Moment(dated(at), dated(lower), dated(upper)))
    table = [(dated(at), *(each[0], each[1], each[3])) for at, each in axis.known]
    shift = shifts[keys[first]]
    still = [_still(each, free[keys[index]]) for index, each in remaining]
    already = [_already(each, shifts[keys[index]]) for index, each in remaining]
    return Outlook(
        *moments,
        count=sum(each.group.count for _, each in remaining),
        now=now,
        level=level,
        posterior_shift=exp(shift.mean()),
        shift_low=exp(shift.quantile(low)),
        shift_high=exp(shift.quantile(high)),
        still_chance=min(still),
        already_chance=max(already),
        table=tuple(row for row in table if row[0] is not None),
    )


def _check(stages: Sequence[Stage], groups: list[Group], level: float) -> None:
    if not 0.0 < level < 1.0:
        raise ValueError("a level lies between 0 and 1")
    if not stages or not all(stage.within > 0.0 and stage.between >= 0.0 for stage in stages):
        raise ValueError("a stage needs a spread within above 0 and a spread between not below 0")
    for group in groups:
        if group.count < 0 or not 0 <= group.stage < len(stages):
            raise ValueError("a group needs a count not below 0 and a stage of the forecast")
        if isinstance(group.entry, Window) and group.entry.by < group.entry.after:
            raise ValueError("an entry window that ends before it starts")
        if any(each.by < each.after or each.count < 0 for each in group.changed):
            raise ValueError("a change that ends before it starts, or of fewer than no animals")
    if not any(group.count for group in groups):
        raise ValueError("no animal left to forecast")


def _straight(stage: Stage, seen: list[Seen], shift: Grid, timeline: Timeline, now: datetime, upto: float):
    """The exact case of one stage: an axis of progress from now on, and its way back to time."""
    scenes = []
    for effect, weight in shift.nodes:
        shares = []
        for each in seen:
            _, branches = each.weigh(effect)
            shares.append(Share(each.group.count, _still_unchanged(branches, each.now)))
        scenes.append(Scenario(weight, shares))
    return Axis(scenes, 1.0, upto=upto), lambda ahead: timeline.when(stage.curve, now, ahead)


def _still_unchanged(branches: list[Branch], reached: float) -> list[tuple[float, Done]]:
    """Chances of being done against progress from now, for animals that are unchanged at `reached`."""

    def done(survivor: Survivor) -> Done:
        at = falling(survivor, reached)
        start = survivor(at)
        return lambda ahead: max(1.0 - survivor(at + ahead) / start, 0.0) if ahead > 0.0 else 0.0

    return [(weight, done(survivor)) for weight, survivor in branches]


def _still(seen: Seen, shift: Grid) -> float:
    return _mean_over(seen, shift, False, lambda survivor: survivor(seen.now))


def _already(seen: Seen, shift: Grid) -> float:
    last = -seen.width if seen.last is None else seen.last
    return _mean_over(seen, shift, True, lambda survivor: 1.0 - survivor(seen.now) / survivor(min(last, seen.now)))


def _mean_over(seen: Seen, shift: Grid, remaining: bool, value) -> float:
    return sum(
        weight * sum(branch.weight * value(branch.survivor) for branch in seen.weigh(effect, remaining)[1])
        for effect, weight in shift.nodes
    )
