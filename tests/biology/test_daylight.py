from __future__ import annotations

from datetime import date
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology import day_length

days = st.dates(date(1950, 1, 1), date(2100, 12, 31))


@pytest.mark.parametrize(
    "latitude, day, hours",
    [
        (70, date(2024, 6, 21), 24.0),
        (70, date(2024, 12, 21), 0.0),
        (-70, date(2024, 12, 21), 24.0),
        (-70, date(2024, 6, 21), 0.0),
        (90, date(2024, 6, 21), 24.0),
        (-90, date(2024, 6, 21), 0.0),
    ],
)
def test_polar_day_and_night(latitude, day, hours):
    assert day_length(latitude, day) == hours


@given(days)
def test_the_equator_has_seven_minutes_over_twelve_hours(day):
    assert day_length(0, day) == pytest.approx(12 + 7 / 60, abs=0.02)


@given(st.floats(0, 60), days)
def test_the_hemispheres_share_the_day_between_them(latitude, day):
    # Refraction and the sun's width lengthen both: more where the sun rises at a low angle.
    assert 24.2 < day_length(latitude, day) + day_length(-latitude, day) < 24.8


@pytest.mark.parametrize("latitude", [90.1, -91, nan])
def test_no_such_place(latitude):
    with pytest.raises(ValueError):
        day_length(latitude, date(2024, 1, 1))
