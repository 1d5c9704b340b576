"""One published number, and what the program gives: pytest and the report read the same list."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import isclose
from typing import NamedTuple

FLOAT = 1e-9
"""Tolerance of numbers that must agree but for the last digits."""


class Check(NamedTuple):
    source: str
    about: str
    published: float
    computed: Callable[[], float]
    within: float = FLOAT
    """Tolerance, in the unit of the number, or as a share of it if `relative`."""
    relative: bool = False
    corrected: float | None = None
    """Where the published number is a fault of its source: what is right. The number itself is named and not used."""
    fault: str = ""
    """Why it is one."""

    @property
    def expected(self) -> float:
        return self.published if self.corrected is None else self.corrected

    @property
    def holds(self) -> bool:
        margin = self.within * abs(self.expected) if self.relative else self.within
        return isclose(self.computed(), self.expected, rel_tol=1e-12, abs_tol=margin)

    @property
    def tolerance(self) -> str:
        return f"{self.within:.3g}" if not self.relative else f"{self.within:.1%}"

    @property
    def said(self) -> str:
        return f"{self.source}: {self.about}: {self.expected:g} expected within {self.tolerance}, {self.computed():g} computed"


def ids(checks: Iterable[Check]) -> list[str]:
    return [f"{check.source.split(',')[0][:30]}-{check.about}" for check in checks]
