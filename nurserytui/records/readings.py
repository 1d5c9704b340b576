"""Temperatures: one reading of a place, and the texts they are read from. Everything is kept in °C."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import datetime, time
from typing import NamedTuple

from nurserytui.biology.sensors import COLDEST, HOTTEST, impossible
from nurserytui.records.events import Event

NOON = time(12)
_NUMBER = r"([-+]?\d+(?:[.,]\d+)?)"
_READING = re.compile(
    rf"{_NUMBER}\s*°?\s*(?:[cf]\w*\s*)?(?:(?:\.\.+|…|–|to|/)\s*{_NUMBER}\s*)?°?\s*(c|f|celsius|fahrenheit)\b", re.IGNORECASE
)


class Reading(NamedTuple):
    """The temperature of a place at one moment (low == high), or the lowest and highest around it. Local wall time, °C."""

    when: datetime
    place: str
    low: float
    high: float
    typed: bool = False
    """True where the keeper wrote it down, False where a logger did."""

    @property
    def mean(self) -> float:
        return (self.low + self.high) / 2


class Rejected(NamedTuple):
    """A reading that is left out of everything, and why."""

    when: datetime
    place: str
    said: str
    """What was written: `85 °C`, `30 to 20 °C`."""
    reason: str


def celsius(value: float, unit: str) -> float:
    """°C of a value in `C` or `F`."""
    return value if unit[:1].upper() == "C" else (value - 32) / 1.8


def read(detail: str) -> tuple[float, float, str]:
    """(low, high, unit) in °C of `24 C`, `24.5c`, `68..79 F`; ValueError with the reason. `unit` is the one written, `C` or `F`."""
    found = _READING.fullmatch(detail.strip())
    if not found:
        raise ValueError(f"{detail!r} is no temperature: write 24 C, or 68..79 F")
    unit = found[3][0].upper()
    low, high = (celsius(float((found[at] or found[1]).replace(",", ".")), unit) for at in (1, 2))
    for value in (low, high):
        reason = impossible(round(value, 6))
        if reason:
            raise ValueError(reason)
    return min(low, high), max(low, high), unit


def typed_readings(events: Iterable[Event]) -> tuple[list[Reading], list[Rejected]]:
    """The readings that `temperature` events hold, in their order, and those that cannot be read or cannot be.

    One without a time of day stands at that day's noon.
    """
    found, rejected = [], []
    for event in events:
        if event.what == "temperature":
            when = datetime.fromisoformat(event.when)
            when = when if event.timed else datetime.combine(when, NOON)
            try:
                low, high, _ = read(event.detail)
            except ValueError as wrong:
                rejected.append(Rejected(when, event.enclosure, event.detail, str(wrong)))
                continue
            found.append(Reading(when, event.enclosure, low, high, True))
    return found, rejected


def screened(logged: Sequence[Reading], typed: Sequence[Reading]) -> tuple[list[Reading], list[Rejected]]:
    """The readings of one place that can be used, oldest first, and those that cannot: no temperature of a nursery, a low above its high,
    or a second value written down for a moment that has one."""
    good = [reading for reading in logged if COLDEST <= reading.low <= reading.high <= HOTTEST]
    rejected = []
    if len(good) < len(logged):
        rejected += [_rejected(reading) for reading in logged if not COLDEST <= reading.low <= reading.high <= HOTTEST]
    if typed:
        # A logger's file holds one value of a moment; the hour that comes twice in autumn is two moments.
        moments = {reading.when for reading in typed}
        taken = {reading.when: reading for reading in good if reading.when in moments}
        for reading in typed:
            before = taken.get(reading.when)
            if not COLDEST <= reading.low <= reading.high <= HOTTEST:
                rejected.append(_rejected(reading))
            elif before is not None and (reading.when.time() != NOON or before[2:4] == reading[2:4]):
                # Two values of a day without a time of day both stand at noon, and both count.
                reason = f"{_said(before)} stands for the same moment already"
                rejected.append(Rejected(reading.when, reading.place, _said(reading), reason))
            else:
                taken[reading.when] = reading
                good.append(reading)
        good.sort(key=lambda reading: reading.when)
    return good, rejected


def _rejected(reading: Reading) -> Rejected:
    reason = (
        impossible(reading.low) or impossible(reading.high) or f"the low {reading.low:g} lies above the high {reading.high:g}"
    )
    return Rejected(reading.when, reading.place, _said(reading), reason)


def _said(reading: Reading) -> str:
    return f"{reading.low:g} °C" if reading.low == reading.high else f"{reading.low:g} to {reading.high:g} °C"
