"""Whether two rates differ: Fisher's exact test, small enough to need no library."""

from __future__ import annotations

from functools import lru_cache
from math import comb

LARGE = 400
"""Animals from which the chances are computed as fractions of the likeliest: whole numbers of hundreds of digits would take long."""
AS_LIKELY = 1 + 1e-7
"""Rounding that fractions are allowed where two tables are as likely as each other."""


@lru_cache(maxsize=1000)
def fisher(a: int, b: int, c: int, d: int) -> float:
    """Two-sided p of the 2x2 table [[a, b], [c, d]]: the chance, margins fixed, of a table no likelier than this one.

    Fisher, R. A. 1935, The logic of inductive inference, J. R. Stat. Soc. 98:39-82; two-sided by the sum of small probabilities.
    Raises ValueError for negative counts.
    """
    if min(a, b, c, d) < 0:
        raise ValueError("counts cannot be negative")
    row, column, total = a + b, a + c, a + b + c + d
    lowest, highest = max(0, column - (c + d)), min(row, column)
    if total > LARGE:
        return _by_fractions(a, row, column, total, lowest, highest)
    weights = [comb(row, k) * comb(total - row, column - k) for k in range(lowest, highest + 1)]
    seen = comb(row, a) * comb(total - row, column - a)
    # Integers, so that tables exactly as likely as the one seen are counted without a rounding margin.
    return sum(weight for weight in weights if weight <= seen) / sum(weights)


def _by_fractions(a: int, row: int, column: int, total: int, lowest: int, highest: int) -> float:
    """The same from the likeliest table outwards, each as a fraction of the one before it, down to those too small to count."""
    mode = min(max((row + 1) * (column + 1) // (total + 2), lowest), highest)
    rest = total - row - column
    weights = {mode: 1.0}
    for step in (1, -1):
        weight, k = 1.0, mode
        while lowest <= k + step <= highest and weight > 0.0:
            if step > 0:
                weight *= (row - k) * (column - k) / ((k + 1) * (rest + k + 1))
            else:
                weight *= k * (rest + k) / ((row - k + 1) * (column - k + 1))
            k += step
            weights[k] = weight
    seen = weights.get(a, 0.0) * AS_LIKELY
    return min(1.0, sum(weight for weight in weights.values() if weight <= seen) / sum(weights.values()))
