"""Whether two rates differ: Fisher's exact test, small enough to need no library."""

from __future__ import annotations

from math import comb


def fisher(a: int, b: int, c: int, d: int) -> float:
    """Two-sided p of the 2x2 table [[a, b], [c, d]]: the chance, margins fixed, of a table no likelier than this one.

    Fisher, R. A. 1935, The logic of inductive inference, J. R. Stat. Soc. 98:39-82; two-sided by the sum of small probabilities.
    Raises ValueError for negative counts.
    """
    if min(a, b, c, d) < 0:
        raise ValueError("counts cannot be negative")
    row, column, total = a + b, a + c, a + b + c + d
    lowest, highest = max(0, column - (c + d)), min(row, column)
    weights = [comb(row, k) * comb(total - row, column - k) for k in range(lowest, highest + 1)]
    seen = comb(row, a) * comb(total - row, column - a)
    # Integers, so that tables exactly as likely as the one seen are counted without a rounding margin.
    return sum(weight for weight in weights if weight <= seen) / sum(weights)
