"""What a file of readings spans: of each place the first and last moment, the lowest and the highest value."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

TOLD = 12
"""So many places are told one by one."""


class Span:
    """Of one place."""

    __slots__ = ("first", "last", "low", "high", "number")

    def __init__(self, when: datetime, value: float) -> None:
        self.first = self.last = when
        self.low = self.high = value
        self.number = 0

    def add(self, when: datetime, value: float) -> None:
        self.number += 1
        if when > self.last:
            self.last = when
        elif when < self.first:
            self.first = when
        if value > self.high:
            self.high = value
        elif value < self.low:
            self.low = value


def span_lines(spans: dict[str, Span], unit: str) -> Sequence[str]:
    """A line a place: when and how warm, in `unit` (C or F)."""
    lines = []
    for place, span in list(spans.items())[:TOLD]:
        many = "1 reading" if span.number == 1 else f"{span.number:,} readings"
        lines.append(
            f"{place}: {many} from {_moment(span.first)} to {_moment(span.last)}, {_degrees(span.low, unit)} to "
            f"{_degrees(span.high, unit)} °{unit}"
        )
    if len(spans) > TOLD:
        lines.append(f"and of {len(spans) - TOLD} more places")
    return lines


def _moment(when: datetime) -> str:
    return when.isoformat(" ", "minutes")


def _degrees(celsius: float, unit: str) -> str:
    return f"{celsius * 1.8 + 32 if unit == 'F' else celsius:.1f}".removesuffix(".0").replace("-", "\u2212")
