"""Temperatures: one reading of a place, and the texts they are read from. Everything is kept in °C."""

import re
from collections.abc import Iterable
from datetime import datetime, time
from typing import NamedTuple

from nurserytui.records.events import Event

COLDEST, HOTTEST = -60.0, 60.0
"""°C. Outside of this no nursery is: a reading of 85 or -127 is what common sensors give when they fail."""

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

    @property
    def mean(self) -> float:
        return (self.low + self.high) / 2


def celsius(value: float, unit: str) -> float:
    """°C of a value in `C` or `F`."""
    return value if unit[:1].upper() == "C" else (value - 32) / 1.8


def impossible(value: float) -> str:
    """Why a value in °C cannot be a reading, or ""."""
    if COLDEST <= value <= HOTTEST:
        return ""
    failed = " (the value of a sensor that failed)" if round(value, 1) in (85.0, -127.0) else ""
    return f"{value:g} °C is no temperature of a nursery{failed}"


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


def readings_of_events(events: Iterable[Event]) -> list[Reading]:
    """The readings that `temperature` events hold, in their order. One without a time of day stands at that day's noon."""
    found = []
    for event in events:
        if event.what == "temperature":
            try:
                low, high, _ = read(event.detail)
                when = datetime.fromisoformat(event.when)
            except ValueError:
                continue
            found.append(Reading(when if event.timed else datetime.combine(when, time(12)), event.enclosure, low, high))
    return found
