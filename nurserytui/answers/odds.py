"""Whether two rates differ: Fisher's exact test, small enough to need no library."""

from __future__ import annotations

from math import comb, exp, lgamma

LARGE = 400
"""Animals from which the chances are computed by logarithms: whole numbers of hundreds of digits would take long."""
AS_LIKELY = 1e-7
"""Rounding that logarithms are allowed where two tables are as likely as each other."""


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
        return _by_logarithms(a, row, column, total, lowest, highest)
    weights = [comb(row, k) * comb(total - row, column - k) for k in range(lowest, highest + 1)]
    seen = comb(row, a) * comb(total - row, column - a)
    # Integers, so that tables exactly as likely as the one seen are counted without a rounding margin.
    return sum(weight for weight in weights if weight <= seen) / sum(weights)


def _by_logarithms(a: int, row: int, column: int, total: int, lowest: int, highest: int) -> float:
    def log_weight(k: int) -> float:
        return -(lgamma(k + 1) + lgamma(row - k + 1) + lgamma(column - k + 1) + lgamma(total - row - column + k + 1))

    weights = [log_weight(k) for k in range(lowest, highest + 1)]
    seen, top = weights[a - lowest] + AS_LIKELY, max(weights)
    return min(1.0, sum(exp(w - top) for w in weights if w <= seen) / sum(exp(w - top) for w in weights))
