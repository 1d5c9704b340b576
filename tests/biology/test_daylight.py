from __future__ import annotations

from datetime import date
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology import day_length
from nurserytui.biology.daylight import clock_times, solar_times

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


@given(st.floats(-90, 90), days)
def test_solar_time_has_its_noon_at_twelve(latitude, day):
    sun, hours = solar_times(latitude, day), day_length(latitude, day)
    assert sun.noon == 12.0 and sun.up == (hours > 0)
    assert (sun.rise is None) == (hours in (0.0, 24.0)) == (sun.set is None)
    if sun.rise is not None:
        assert sun.set - sun.rise == pytest.approx(hours) and sun.rise + sun.set == pytest.approx(24)


@pytest.mark.parametrize(
    "latitude, month, up", [(75, 6, True), (75, 12, False), (-75, 6, False), (-75, 12, True), (90, 6, True), (-90, 6, False)]
)
def test_neither_sunrise_nor_sunset_near_the_poles(latitude, month, up):
    for sun in (solar_times(latitude, date(2024, month, 21)), clock_times(latitude, date(2024, month, 21), 25.0, 2.0)):
        assert (sun.rise, sun.set, sun.up) == (None, None, up)


@given(st.floats(-60, 60), st.floats(-180, 180), days)
def test_the_clock_follows_longitude_and_offset(latitude, longitude, day):
    mean = clock_times(latitude, day, longitude, longitude / 15.0)
    assert abs(mean.noon - 12.0) < 0.29  # the equation of time reaches 16.5 minutes
    assert mean.rise < mean.noon < mean.set
    assert mean.set - mean.rise == pytest.approx(day_length(latitude, day), abs=0.06)
    later = clock_times(latitude, day, longitude, longitude / 15.0 + 1.0)
    assert later.rise - mean.rise == pytest.approx(1.0, abs=1e-6) and later.set - mean.set == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("longitude, offset", [(181, 0), (-180.5, 0), (nan, 0), (0, 16), (0, nan)])
def test_no_such_clock(longitude, offset):
    with pytest.raises(ValueError):
        clock_times(40, date(2024, 1, 1), longitude, offset)
