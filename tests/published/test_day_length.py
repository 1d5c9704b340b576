"""Day length, sunrise and sunset against an ephemeris and published times."""

from __future__ import annotations

from datetime import date

import pytest

from nurserytui.biology import day_length
from nurserytui.biology.daylight import clock_times

DAYS = [(3, 20), (4, 15), (5, 15), (6, 21), (7, 20), (8, 1), (8, 15), (9, 1), (9, 15), (9, 22), (10, 15), (12, 21)]
# Hours in 2024 with the sun's centre 0.833° below the horizon, from the ephemeris of PyEphem 4.2.1 (VSOP87).
TABLE = {
    27: (12.13, 12.82, 13.49, 13.84, 13.60, 13.39, 13.09, 12.67, 12.31, 12.12, 11.52, 10.44),
    35: (12.15, 13.09, 14.01, 14.51, 14.17, 13.88, 13.46, 12.89, 12.39, 12.13, 11.31, 9.80),
    40: (12.16, 13.29, 14.41, 15.02, 14.60, 14.24, 13.74, 13.05, 12.45, 12.14, 11.15, 9.33),
    42.5: (12.17, 13.40, 14.63, 15.30, 14.84, 14.45, 13.89, 13.14, 12.48, 12.15, 11.06, 9.06),
    45: (12.17, 13.52, 14.87, 15.62, 15.11, 14.67, 14.06, 13.23, 12.52, 12.16, 10.97, 8.77),
    51.5: (12.20, 13.90, 15.64, 16.64, 15.96, 15.38, 14.59, 13.54, 12.63, 12.18, 10.69, 7.83),
    55: (12.22, 14.15, 16.18, 17.37, 16.55, 15.87, 14.95, 13.74, 12.71, 12.19, 10.50, 7.17),
}


@pytest.mark.parametrize(
    "latitude, day, hours",
    [(latitude, date(2024, *day), value) for latitude, row in TABLE.items() for day, value in zip(DAYS, row, strict=True)],
)
def test_ephemeris_table(latitude, day, hours):
    assert day_length(latitude, day) == pytest.approx(hours, abs=0.03)


# Local mean sunrise on 1 January 2002: Strous, Astronomy Answers, Position of the Sun, table 1. The sun's noon that day is 12:03.3 local
# mean time (equation of time), so half the day is 12:03.3 less the sunrise; printed to a minute, so two minutes of a day either way.
SUNRISE = [
    (0, 6, 0),
    (10, 6, 17),
    (20, 6, 35),
    (30, 6, 56),
    (36, 7, 11),
    (40, 7, 22),
    (44, 7, 35),
    (48, 7, 50),
    (50, 7, 59),
    (-40, 4, 35),
]


@pytest.mark.parametrize("latitude, hour, minute", SUNRISE)
def test_sunrise_table(latitude, hour, minute):
    half = 12 + 3.3 / 60 - (hour + minute / 60)
    assert day_length(latitude, date(2002, 1, 1)) == pytest.approx(2 * half, abs=2 / 60)


@pytest.mark.parametrize("longitude", [-120.0, 0.0, 75.0])
@pytest.mark.parametrize("latitude, hour, minute", SUNRISE)
def test_sunrise_table_by_the_clock(latitude, hour, minute, longitude):
    sun = clock_times(latitude, date(2002, 1, 1), longitude, longitude / 15.0)
    assert sun.rise == pytest.approx(hour + minute / 60, abs=1 / 60)
    assert sun.noon == pytest.approx(12 + 3.3 / 60, abs=0.5 / 60)


def test_a_value_many_libraries_test():
    # 50.5° N, 5 March 2013: sunrise 04:34:56, sunset 15:46:57 UTC; ephemerides differ by up to 2 minutes an event.
    assert day_length(50.5, date(2013, 3, 5)) == pytest.approx(11 + 12 / 60, abs=4 / 60)
    sun = clock_times(50.5, date(2013, 3, 5), 30.5, 0.0)
    published = (4 + 34 / 60 + 56 / 3600, 10 + 10 / 60 + 57 / 3600, 15 + 46 / 60 + 57 / 3600)
    assert (sun.rise, sun.noon, sun.set) == pytest.approx(published, abs=2 / 60)
    # The same by PyEphem 4.2.1: 04:33:30 and 15:46:16.
    assert (sun.rise, sun.set) == pytest.approx((4 + 33.5 / 60, 15 + 46.27 / 60), abs=0.25 / 60)


@pytest.mark.parametrize("latitude", [-60, -33.9, 0, 23, 47, 62])
@pytest.mark.parametrize("year", [1990, 2026, 2050])
def test_another_ephemeris(latitude, year):
    ephem = pytest.importorskip("ephem")
    for month in (1, 3, 6, 9, 11):
        place = ephem.Observer()
        place.lat, place.lon, place.pressure, place.horizon = str(latitude), "0", 0, "-0.833"
        place.date = f"{year}/{month}/10 12:00"
        sun = ephem.Sun()
        hours = (place.next_setting(sun, use_center=True) - place.previous_rising(sun, use_center=True)) * 24
        assert day_length(latitude, date(year, month, 10)) == pytest.approx(hours, abs=0.03)


@pytest.mark.parametrize("latitude, longitude", [(-54.8, -68.3), (-33.9, 151.2), (1.3, 103.8), (47, 8), (62, -150)])
def test_sunrise_and_sunset_by_another_ephemeris(latitude, longitude):
    ephem = pytest.importorskip("ephem")
    for month in (1, 3, 6, 9, 11):
        place = ephem.Observer()
        place.lat, place.lon, place.pressure, place.horizon = str(latitude), str(longitude), 0, "-0.833"
        noon = ephem.Date(f"{2026}/{month}/10 12:00") - longitude / 360
        place.date, sun = noon, ephem.Sun()
        ours = clock_times(latitude, date(2026, month, 10), longitude, longitude / 15.0)
        for mine, theirs in (
            (ours.rise, place.previous_rising(sun, use_center=True)),
            (ours.set, place.next_setting(sun, use_center=True)),
        ):
            assert mine == pytest.approx(12 + (theirs - noon) * 24, abs=1 / 60)
