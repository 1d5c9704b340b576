"""Whether two groups differ in how long their animals lived, what many tests at once cost, and how many animals a difference takes."""

from collections import Counter
from collections.abc import Sequence
from math import ceil, erfc, isfinite, sqrt
from typing import NamedTuple

from nurserytui.biology.normal import quantile

STATES = 60_000
"""Sums that the exact test may have to keep; with more the normal limit stands in, which so many animals have reached."""
EVEN = 1e-9
"""Sums that differ by less came about by another order of adding."""


class LogRank(NamedTuple):
    observed: tuple[int, int]
    """Deaths seen in the first and the second group."""
    expected: tuple[float, float]
    """Deaths that each would have had if both died alike."""
    chi_square: float
    p: float
    """Two-sided, by the chi-square limit with one degree of freedom."""


def log_rank(first: Sequence[float], seen: Sequence[bool], second: Sequence[float], seen_too: Sequence[bool]) -> LogRank:
    """The log-rank test (Mantel 1966, Cancer Chemother. Rep. 50:163-170) of durations; `seen` is False where an animal left unharmed.

    ValueError for unequal lengths, durations that are no numbers from 0, or an empty group. Without any death p is 1.
    """
    ours, theirs = _tallied(first, seen), _tallied(second, seen_too)
    n, m = len(first), len(second)
    dead = dead_too = 0
    expected = both = variance = 0.0
    for time in sorted({*ours, *theirs}):
        (gone, left), (gone_too, left_too) = ours.get(time, (0, 0)), theirs.get(time, (0, 0))
        deaths, standing = gone + gone_too, n + m
        if deaths:
            expected += deaths * n / standing
            if standing > 1:
                variance += deaths * (standing - deaths) * n * m / (standing * standing * (standing - 1))
        dead, dead_too, both = dead + gone, dead_too + gone_too, both + deaths
        n, m = n - gone - left, m - gone_too - left_too
    chi_square = (dead - expected) ** 2 / variance if variance > 0 else 0.0
    return LogRank((dead, dead_too), (expected, both - expected), chi_square, erfc(sqrt(chi_square / 2)))


def log_rank_exact(
    first: Sequence[float], seen: Sequence[bool], second: Sequence[float], seen_too: Sequence[bool]
) -> float | None:
    """The same by permutation: in what share of all ways to deal the animals to two groups of these sizes the deaths would lie as far
    from what is expected, or further. None if there are too many ways; then `log_rank` is near enough. ValueError as there.
    """
    ours, theirs = _tallied(first, seen), _tallied(second, seen_too)
    scores, many = _scores(ours, theirs), len(first)
    states = 1
    for count in scores.values():
        states *= count + 1
        if states > STATES:
            return None
    ways: dict[int, dict[float, int]] = {0: {0.0: 1}}
    for (score, _), count in scores.items():
        ways = _dealt(ways, score, count, many)
    held = _scores(ours, {})
    told = {key: score for score, key in scores}
    here = sum(told[key] * count for (_, key), count in held.items())
    middle = sum(score * count for (score, _), count in scores.items()) * many / (many + len(second))
    sums = ways[many]
    far = sum(number for value, number in sums.items() if abs(value - middle) >= abs(here - middle) - EVEN)
    return far / sum(sums.values())


def _dealt(ways: dict[int, dict[float, int]], score: float, count: int, most: int) -> dict[int, dict[float, int]]:
    """The ways after `count` animals of one score are dealt too: how many went to the first group -> sum of scores -> ways."""
    from math import comb

    found: dict[int, dict[float, int]] = {}
    for taken, sums in ways.items():
        for more in range(min(count, most - taken) + 1):
            into = found.setdefault(taken + more, {})
            for value, number in sums.items():
                total = round(value + more * score, 10)
                into[total] = into.get(total, 0) + number * comb(count, more)
    return found


def _scores(ours: dict, theirs: dict) -> Counter:
    """(log-rank score, (time, died)) -> animals: 1 for a death, less what was to be expected of it until then."""
    tally = Counter()
    standing = sum(sum(pair) for pair in (*ours.values(), *theirs.values()))
    hazard = 0.0
    for time in sorted({*ours, *theirs}):
        gone, left = (ours.get(time, (0, 0))[at] + theirs.get(time, (0, 0))[at] for at in (0, 1))
        hazard += gone / standing
        if gone:
            tally[1 - hazard, (time, True)] += gone
        if left:
            tally[-hazard, (time, False)] += left
        standing -= gone + left
    return tally


def _tallied(durations: Sequence[float], seen: Sequence[bool]) -> dict[float, tuple[int, int]]:
    """Duration -> (died, left unharmed)."""
    if len(durations) != len(seen):
        raise ValueError("as many durations as observations are needed")
    if not durations or not all(isfinite(duration) and duration >= 0 for duration in durations):
        raise ValueError("a group has durations that are numbers not below 0")
    tally: dict[float, tuple[int, int]] = {}
    for duration, died in zip(durations, seen, strict=True):
        gone, left = tally.get(duration, (0, 0))
        tally[duration] = (gone + bool(died), left + (not died))
    return tally


def holm(chances: Sequence[float]) -> list[float]:
    """The p values of several tests, each made as much larger as asking several questions at once demands (Holm 1979, Scand. J. Stat.
    6:65-70), in the order given. ValueError for what is no chance."""
    if not all(0 <= chance <= 1 for chance in chances):
        raise ValueError("a p value lies between 0 and 1")
    found, highest = [0.0] * len(chances), 0.0
    for rank, place in enumerate(sorted(range(len(chances)), key=lambda at: chances[at])):
        highest = max(highest, min(1.0, (len(chances) - rank) * chances[place]))
        found[place] = highest
    return found


def needed(share: float, other: float, *, power: float = 0.8, level: float = 0.95, exact: bool = True) -> int | None:
    """How many animals each of two groups would need for a difference as large as that between two shares to be told from chance.

    The normal formula of two proportions (Fleiss, Levin & Paik 2003, Statistical Methods for Rates and Proportions, chapter 4), with the
    correction of Casagrande, Pike & Smith 1978 (Biometrics 34:483-486) where an exact test will judge. `power` is the chance of
    telling it. None for equal shares: no number is enough. ValueError for what is no share, power or level.
    """
    if not (0 <= share <= 1 and 0 <= other <= 1 and 0 < power < 1 and 0 < level < 1):
        raise ValueError("shares lie between 0 and 1, power and level inside")
    if share == other:
        return None
    between, middle = abs(share - other), (share + other) / 2
    chance = quantile(0.5 + level / 2) * sqrt(2 * middle * (1 - middle))
    told = quantile(power) * sqrt(share * (1 - share) + other * (1 - other)) if power != 0.5 else 0.0
    each = ((chance + told) / between) ** 2
    if exact:
        each *= (1 + sqrt(1 + 4 / (each * between))) ** 2 / 4
    return ceil(each - 1e-9)
