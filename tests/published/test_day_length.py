"""Day length, sunrise and sunset against published times (`day_length_checks.py` holds them) and against an ephemeris."""

from __future__ import annotations

from datetime import date

import pytest
from checks import ids
from day_length_checks import DAYS, HOURS, LONGITUDES, SUNRISE, checks

from nurserytui.biology import day_length
from nurserytui.biology.daylight import clock_times

CHECKS = checks()


@pytest.mark.parametrize("check", CHECKS, ids=ids(CHECKS))
def test_published(check):
    assert check.holds, check.said


def test_every_cell_is_checked():
    assert len(CHECKS) == len(HOURS) * len(DAYS) + len(SUNRISE) * (1 + len(LONGITUDES)) + len(LONGITUDES) + 6


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
