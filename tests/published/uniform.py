"""Where truths fall among the intervals said for them: counts by bin, and tests of those counts."""

from __future__ import annotations

from math import erfc, exp, pi, sqrt
from typing import NamedTuple

SIGNIFICANCE = 0.001
"""Chance at which one row of a table may fail by bad luck alone."""
LIMIT = 3.2905
"""Standard deviations of a normal value beyond which both tails together hold that chance."""


def chi_square_tail(value: float, freedom: int) -> float:
    """Chance of a chi-square value above `value` (Abramowitz & Stegun 1964, 26.4.4 and 26.4.5, as a sum from one or two degrees up)."""
    half = value / 2
    tail, term, done = (
        (erfc(sqrt(half)), sqrt(half / pi) * 2 * exp(-half), 1) if freedom % 2 else (exp(-half), half * exp(-half), 2)
    )
    while done < freedom:
        tail += term
        done += 2
        term *= half / (done / 2)
    return tail


class Tally(NamedTuple):
    """Truths by the bin into which they fell; `shares` are the shares to expect."""

    shares: tuple[float, ...]
    counts: list[int]

    @property
    def total(self) -> int:
        return sum(self.counts)

    @property
    def chi_square(self) -> float:
        expected = [share * self.total for share in self.shares]
        return sum((count - one) ** 2 / one for count, one in zip(self.counts, expected, strict=True))

    @property
    def tail(self) -> float:
        return chi_square_tail(self.chi_square, len(self.shares) - 1)

    def inside(self, cut: int) -> float:
        """Share of truths in the bins left when `cut` are cut off at either end."""
        return sum(self.counts[cut : len(self.counts) - cut]) / self.total

    def expected(self, cut: int) -> float:
        return sum(self.shares[cut : len(self.shares) - cut])

    def short(self, cut: int) -> float:
        """How much smaller the share inside is than expected (negative: larger)."""
        return self.expected(cut) - self.inside(cut)

    def luck(self, cut: int) -> float:
        """How far bad luck takes a share inside, at the significance of a row."""
        share = self.expected(cut)
        return LIMIT * sqrt(share * (1 - share) / self.total)
