"""Several stages in a row: animals carried through the rest of their stage and the stages after it, along the timeline.

A fixed, evenly spread set of points stands in for chance: scenarios for what the cohort shares, and nodes for the animals in each.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, repeat
from math import exp, log1p, sqrt
from operator import mul

from nurserytui.biology.evidence import Branch, Grid, Seen, Survivor, falling
from nurserytui.biology.groups import Stage
from nurserytui.biology.normal import below, quantile
from nurserytui.biology.orders import Done, Scenario, Share
from nurserytui.biology.timeline import Timeline, Track

SCENARIOS, NODES = 37, 23

LATTICES = {
    SCENARIOS: ((1, 0), (3, 28), (8, 23), (2, 21), (2, 29), (4, 14), (16, 13), (30, 18)),
    NODES: ((1, 0), (4, 6), (12, 6), (4, 11), (8, 8), (16, 12), (5, 8), (2, 16)),
}
"""Multipliers and shifts of lattices with a prime number of points, picked one after the other so that sums of normal values over the
points come closest to a normal distribution (five weightings each, quantiles and spread)."""


BOUNDS = tuple(accumulate(repeat(1.25, 83), mul, initial=1e-4))
"""Progress still to go, from next to nothing to more than any animal needs: rough bounds to look between."""


@lru_cache(maxsize=1024)
def even_points(count: int, dimensions: int, turn: int = 0) -> tuple[tuple[int, ...], ...]:
    """`count` points (`SCENARIOS` or `NODES`): the number of a cell in each coordinate, where each of `count` equal cells comes up once.

    A shifted rank-1 lattice (Korobov 1959); `turn` shifts the coordinates against each other, so that the errors of many such sets
    cancel out. Coordinates beyond the lattice's repeat it.
    """
    lattice = LATTICES[count]
    columns = [(lattice[at % len(lattice)], lattice[at % len(lattice)][1] + turn * at) for at in range(dimensions)]
    return tuple(tuple((at * step + shift) % count for (step, _), shift in columns) for at in range(count))


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
    for turn, cells in enumerate(even_points(SCENARIOS, dimensions)):
        point = [(cell + 0.5) / SCENARIOS for cell in cells]
        effects = {key: posteriors[key].quantile(chance) for key, chance in zip(shared, point, strict=False)}
        ages = iter(point[len(shared) :])
        shares = []
        for index, seen in remaining:
            branches = seen.weigh(effects[keys[index]])[1]
            branch = _pick(branches, next(ages)) if seen.together else branches[0]
            later = [(tracks[at], effects[keys[at]], spreads[at]) for at in range(index + 1, len(stages))]
            done = _carried(branch, seen.now, tracks[index], later, now, horizon, turn)
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
    branch: Branch, reached: float, track: Track, later: list[tuple[Track, float, float]], now: float, horizon: float, turn: int
) -> Done:
    """Chance of being done against days from now, from nodes carried through the stages."""
    scores = _scores(NODES)
    unit = sqrt(sum(z * z for z in scores) / NODES)
    starts = [track.advance(now, rest) for rest in _rest(branch.survivor, reached, NODES)]
    steps = [
        (next_track.advance, [exp(effect + spread * (z / unit - 0.5 * spread)) for z in scores])
        for next_track, effect, spread in later
    ]
    days, end = [], now + horizon
    for cells in even_points(NODES, 1 + len(later), turn):
        at = starts[cells[0]]
        for (advance, durations), cell in zip(steps, cells[1:], strict=True):
            if at >= end:
                break
            at = advance(at, durations[cell])
        days.append(min(at, end + 1.0) - now)
    return smooth(sorted(days))


def _rest(survivor: Survivor, reached: float, count: int) -> list[float]:
    """Progress still to go for an animal unchanged at `reached`: the middles of `count` equal cells, in order."""
    reached = falling(survivor, reached)
    start = survivor(reached)

    def done(ahead: float) -> float:
        return 1.0 - survivor(reached + ahead) / start

    # Rough bounds first, then even steps between them: the lognormal is narrow beside the whole way to its mean.
    edge = 0.25 / count
    last = bisect_left(BOUNDS, 1.0 - edge, hi=len(BOUNDS) - 1, key=done)
    before = bisect_left(BOUNDS, edge, hi=last, key=done)
    low, high = BOUNDS[before - 1] if before else 0.0, BOUNDS[last]
    places = [low + (high - low) * at / count for at in range(count + 1)]
    chances = [done(place) for place in places]
    out = []
    for cell in range(count):
        target = (cell + 0.5) / count
        right = min(max(bisect_left(chances, target), 1), count)
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

    early, late, start = slope(0, edge), slope(-1 - edge, -1), below(scores[0])

    def done(at: float) -> float:
        if at <= 0.0:
            return 0.0
        right = bisect_left(days, at)
        if right == 0:
            # Nothing is done before now: the tail comes down to 0 there at the latest in a straight line.
            return min(below(scores[0] + (at - days[0]) * early), at / days[0] * start)
        if right == count:
            return below(scores[-1] + (at - days[-1]) * late)
        left = right - 1
        return below(scores[left] + (scores[right] - scores[left]) * (at - days[left]) / (days[right] - days[left]))

    return done
