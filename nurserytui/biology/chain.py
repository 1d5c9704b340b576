"""Several stages in a row: animals carried through the rest of their stage and the stages after it, along the timeline.

A fixed, evenly spread set of points stands in for chance: scenarios for what the cohort shares, and nodes for the animals in each.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from math import exp, log1p, sqrt

from nurserytui.biology.evidence import Branch, Grid, Seen, Survivor
from nurserytui.biology.groups import Stage
from nurserytui.biology.normal import below, quantile
from nurserytui.biology.orders import Done, Scenario, Share
from nurserytui.biology.timeline import Timeline, Track

SCENARIOS = 24
NODES = 40


@lru_cache(maxsize=64)
def even_points(count: int, dimensions: int) -> tuple[tuple[float, ...], ...]:
    """`count` points in the unit cube: every coordinate takes each of the middles of `count` equal cells once.

    Ranks of an additive sequence whose steps are powers of the generalised golden ratio, a low-discrepancy sequence.
    """
    ratio = 2.0
    for _ in range(40):
        ratio = (1.0 + ratio) ** (1.0 / (dimensions + 1))
    columns = []
    for dimension in range(dimensions):
        step = ratio ** -(dimension + 1)
        values = [(0.5 + step * (at + 1)) % 1.0 for at in range(count)]
        order = sorted(range(count), key=values.__getitem__)
        ranks = [0.0] * count
        for rank, at in enumerate(order):
            ranks[at] = (rank + 0.5) / count
        columns.append(ranks)
    return tuple(zip(*columns, strict=True))


@lru_cache(maxsize=8)
def _scores(count: int) -> list[float]:
    """Normal values at the middles of `count` equal cells."""
    return [quantile((at + 0.5) / count) for at in range(count)]


def scenarios(
    stages: Sequence[Stage],
    remaining: Sequence[tuple[int, Seen]],
    posteriors: dict[str | int, Grid],
    keys: Sequence[str | int],
    timeline: Timeline,
    now: float,
    horizon: float,
) -> list[Scenario]:
    """Scenarios on an axis of days from `now` for the groups in `remaining` to complete the last of `stages`.

    `posteriors` has the shared effect per key, `keys` the key of each stage. Moments beyond the horizon are put just behind it.
    """
    first = min(index for index, _ in remaining)
    shared = list(dict.fromkeys(keys[first:]))
    tracks = [timeline.track(stage.curve) for stage in stages]
    spreads = [sqrt(log1p(stage.within**2)) for stage in stages]
    dimensions = len(shared) + sum(seen.together for _, seen in remaining)
    out = []
    for point in even_points(SCENARIOS, dimensions):
        effects = {key: posteriors[key].quantile(chance) for key, chance in zip(shared, point, strict=False)}
        ages = iter(point[len(shared) :])
        shares = []
        for index, seen in remaining:
            branches = seen.weigh(effects[keys[index]])[1]
            branch = _pick(branches, next(ages)) if seen.together else branches[0]
            later = [(tracks[at], effects[keys[at]], spreads[at]) for at in range(index + 1, len(stages))]
            done = _carried(branch, seen.now, tracks[index], later, now, horizon)
            shares.append(Share(seen.group.count, [(1.0, done)]))
        out.append(Scenario(1.0 / SCENARIOS, shares))
    return out


def _pick(branches: list[Branch], chance: float) -> Branch:
    for branch in branches:
        chance -= branch.weight
        if chance <= 0.0:
            return branch
    return branches[-1]


def _carried(
    branch: Branch, reached: float, track: Track, later: list[tuple[Track, float, float]], now: float, horizon: float
) -> Done:
    """Chance of being done against days from now, from nodes carried through the stages."""
    points, scores = even_points(NODES, 1 + len(later)), _scores(NODES)
    unit = sqrt(sum(z * z for z in scores) / NODES)
    rest = _rest(branch.survivor, reached, NODES)
    days, end = [], now + horizon
    for point in points:
        at = track.advance(now, rest[int(point[0] * NODES)])
        for (next_track, effect, spread), chance in zip(later, point[1:], strict=True):
            if at >= end:
                break
            at = next_track.advance(at, exp(effect + spread * (scores[int(chance * NODES)] / unit - 0.5 * spread)))
        days.append(min(at, end + 1.0) - now)
    return smooth(sorted(days))


def _rest(survivor: Survivor, reached: float, count: int) -> list[float]:
    """Progress still to go for an animal unchanged at `reached`: the middles of `count` equal cells, in order."""
    start = survivor(reached)
    at, places, chances = 1e-4, [0.0], [0.0]
    while chances[-1] < 1.0 - 0.25 / count and at < 1e4:
        places.append(at)
        chances.append(1.0 - survivor(reached + at) / start)
        at *= 1.25
    out = []
    for cell in range(count):
        target = (cell + 0.5) / count
        right = min(bisect_left(chances, target), len(places) - 1)
        step = chances[right] - chances[right - 1]
        into = (target - chances[right - 1]) / step if step > 0.0 else 1.0
        out.append(places[right - 1] + (places[right] - places[right - 1]) * into)
    return out


def smooth(days: list[float]) -> Done:
    """A distribution from its sorted nodes, straight lines between them on the normal scale, and beyond them at the slope near the ends."""
    count = len(days)
    scores = _scores(count)
    edge = max(count // 8, 1)

    def slope(one: int, other: int) -> float:
        span = days[other] - days[one]
        return (scores[other] - scores[one]) / span if span > 1e-9 else 1e9

    early, late = slope(0, edge), slope(-1 - edge, -1)

    def done(at: float) -> float:
        if at <= 0.0:
            return 0.0
        right = bisect_left(days, at)
        if right == 0:
            return below(scores[0] + (at - days[0]) * early)
        if right == count:
            return below(scores[-1] + (at - days[-1]) * late)
        left = right - 1
        return below(scores[left] + (scores[right] - scores[left]) * (at - days[left]) / (days[right] - days[left]))

    return done
