"""Day length, sunrise and sunset: published times, and an ephemeris."""

from __future__ import annotations

from datetime import date

from checks import Check

from nurserytui.biology import day_length
from nurserytui.biology.daylight import clock_times

EPHEMERIS = "PyEphem 4.2.1 (VSOP87), 2024, the sun's centre 0.833° below the horizon"
DAYS = [(3, 20), (4, 15), (5, 15), (6, 21), (7, 20), (8, 1), (8, 15), (9, 1), (9, 15), (9, 22), (10, 15), (12, 21)]
HOURS = {
    27: (12.13, 12.82, 13.49, 13.84, 13.60, 13.39, 13.09, 12.67, 12.31, 12.12, 11.52, 10.44),
    35: (12.15, 13.09, 14.01, 14.51, 14.17, 13.88, 13.46, 12.89, 12.39, 12.13, 11.31, 9.80),
    40: (12.16, 13.29, 14.41, 15.02, 14.60, 14.24, 13.74, 13.05, 12.45, 12.14, 11.15, 9.33),
    42.5: (12.17, 13.40, 14.63, 15.30, 14.84, 14.45, 13.89, 13.14, 12.48, 12.15, 11.06, 9.06),
    45: (12.17, 13.52, 14.87, 15.62, 15.11, 14.67, 14.06, 13.23, 12.52, 12.16, 10.97, 8.77),
    51.5: (12.20, 13.90, 15.64, 16.64, 15.96, 15.38, 14.59, 13.54, 12.63, 12.18, 10.69, 7.83),
    55: (12.22, 14.15, 16.18, 17.37, 16.55, 15.87, 14.95, 13.74, 12.71, 12.19, 10.50, 7.17),
}

# Local mean sunrise on 1 January 2002. The sun's noon that day is 12:03.3 local mean time (equation of time), so half the day is 12:03.3
# less the sunrise; printed to a minute, so two minutes of a day either way.
STROUS = "Strous, Astronomy Answers, Position of the Sun, table 1"
NEW_YEAR, NOON = date(2002, 1, 1), 12 + 3.3 / 60
SUNRISE = [
    # latitude, hour, minute
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
LONGITUDES = (-120.0, 0.0, 75.0)

# Ephemerides differ by up to 2 minutes an event.
LIBRARIES = "a value that many libraries test: 50.5° N 30.5° E, 5 March 2013, rise 04:34:56, noon 10:10:57, set 15:46:57 UTC"
TWO_MINUTES = 2 / 60


def _table(latitude: float, month: int, day: int, hours: float) -> Check:
    return Check(
        EPHEMERIS, f"hours at {latitude}° on {day}.{month}.", hours, lambda: day_length(latitude, date(2024, month, day)), 0.03
    )


def _sunrise(latitude: float, hour: int, minute: int) -> list[Check]:
    rise = hour + minute / 60
    half = Check(STROUS, f"hours at {latitude}°", 2 * (NOON - rise), lambda: day_length(latitude, NEW_YEAR), TWO_MINUTES)
    return [half, *(_clock(latitude, longitude, rise) for longitude in LONGITUDES)]


def _clock(latitude: float, longitude: float, rise: float) -> Check:
    def computed() -> float:
        return clock_times(latitude, NEW_YEAR, longitude, longitude / 15.0).rise

    return Check(STROUS, f"sunrise at {latitude}°, {longitude:g}° E", rise, computed, 1 / 60)


def checks() -> list[Check]:
    def spring():
        return clock_times(50.5, date(2013, 3, 5), 30.5, 0.0)

    return [
        *(_table(latitude, *day, hours) for latitude, row in HOURS.items() for day, hours in zip(DAYS, row, strict=True)),
        *(check for row in SUNRISE for check in _sunrise(*row)),
        *(
            Check(
                STROUS,
                f"the sun's noon at {longitude:g}° E",
                NOON,
                lambda longitude=longitude: clock_times(40, NEW_YEAR, longitude, longitude / 15.0).noon,
                0.5 / 60,
            )
            for longitude in LONGITUDES
        ),
        Check(LIBRARIES, "hours", 11.2, lambda: day_length(50.5, date(2013, 3, 5)), 2 * TWO_MINUTES),
        Check(LIBRARIES, "sunrise", 4 + 34 / 60 + 56 / 3600, lambda: spring().rise, TWO_MINUTES),
        Check(LIBRARIES, "noon", 10 + 10 / 60 + 57 / 3600, lambda: spring().noon, TWO_MINUTES),
        Check(LIBRARIES, "sunset", 15 + 46 / 60 + 57 / 3600, lambda: spring().set, TWO_MINUTES),
        # The same by PyEphem 4.2.1: 04:33:30 and 15:46:16.
        Check("PyEphem 4.2.1, the same day", "sunrise", 4 + 33.5 / 60, lambda: spring().rise, 0.25 / 60),
        Check("PyEphem 4.2.1, the same day", "sunset", 15 + 46.27 / 60, lambda: spring().set, 0.25 / 60),
    ]
