"""Temperatures as they are written, and the impossible ones."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.records.events import Event
from nurserytui.records.readings import Reading, read, typed_readings


@pytest.mark.parametrize(
    ("detail", "low", "high", "unit"),
    [
        ("24 C", 24, 24, "C"),
        ("24.5c", 24.5, 24.5, "C"),
        ("24,5 °C", 24.5, 24.5, "C"),
        ("68..79 F", 20, 26.1111, "F"),
        ("77 F", 25, 25, "F"),
        ("79..68 F", 20, 26.1111, "F"),
        ("-4 C", -4, -4, "C"),
        ("-4..2 C", -4, 2, "C"),
        ("21 C..29 C", 21, 29, "C"),
        ("21 to 29 celsius", 21, 29, "C"),
        ("85 F", 29.4444, 29.4444, "F"),
    ],
)
def test_temperatures_are_read(detail, low, high, unit):
    found = read(detail)
    assert found[:2] == (pytest.approx(low, abs=1e-3), pytest.approx(high, abs=1e-3)) and found[2] == unit


@pytest.mark.parametrize("detail", ["24", "C", "warm", "85 C", "-127 C", "20..85 C", "200 F", "", "24 K", "1e3 C", "24 C maybe"])
def test_what_is_no_temperature_of_a_nursery_is_told(detail):
    with pytest.raises(ValueError, match="temperature"):
        read(detail)


def test_events_give_readings_and_a_day_alone_stands_at_noon():
    events = [Event("2031-06-01", "temperature", enclosure="jar", detail="21..29 C"), Event("2031-06-02T08:00", "temperature", detail="77 F"), Event("2031-06-02", "note", note="24 C")]  # fmt: skip
    assert typed_readings(events)[0] == [
        Reading(datetime(2031, 6, 1, 12), "jar", 21, 29, True),
        Reading(datetime(2031, 6, 2, 8), "", 25, 25, True),
    ]
