"""Day length, sunrise and sunset."""

from __future__ import annotations

from datetime import date
from math import acos, asin, atan2, cos, degrees, radians, sin
from typing import NamedTuple

HORIZON = radians(-0.833)
"""Height of the sun's centre at sunrise and sunset: refraction 34' and half its width 16'."""
NOON = 12.0
_J2000 = date(2000, 1, 1).toordinal()


class SunTimes(NamedTuple):
    """Hours of the day by one and the same clock; an hour below 0 or from 24 on lies on the day before or after."""

    rise: float | None
    """None where the sun neither rises nor sets that day."""
    noon: float
    """When the sun stands highest."""
    set: float | None
    up: bool
    """True where the sun is above the horizon at noon: with `rise` None it tells polar day from polar night."""


def day_length(latitude: float, day: date) -> float:
    """Hours between sunrise and sunset on `day` at `latitude` (degrees, north positive): 24 and 0 in polar day and night.

    The sun's declination at noon by the low-precision formula of the Astronomical Almanac (0.01°), and the sunrise equation with
    the sun's centre 0.833° below the horizon. ValueError for a latitude beyond the poles.
    """
    return 2.0 * _half_day(_checked(latitude), _sun(day.toordinal() - _J2000)[0])


def solar_times(latitude: float, day: date) -> SunTimes:
    """Sunrise and sunset in local solar time, in which the sun stands highest at 12: needs no longitude. ValueError as `day_length`."""
    half = day_length(latitude, day) / 2.0
    turns = 0.0 < half < 12.0
    return SunTimes(NOON - half if turns else None, NOON, NOON + half if turns else None, half > 0.0)


def clock_times(latitude: float, day: date, longitude: float, utc_offset: float) -> SunTimes:
    """Sunrise, noon and sunset by the clock at `longitude` (degrees, east positive), `utc_offset` hours ahead of UTC.

    Local mean time is the clock of offset `longitude / 15`. Declination and equation of time are taken at the event itself; good to
    about a minute away from the poles. ValueError for a place or an offset that there is none of.
    """
    _checked(latitude)
    if not -180.0 <= longitude <= 180.0:
        raise ValueError("a longitude lies between -180 and 180 degrees")
    if not -15.0 <= utc_offset <= 15.0:
        raise ValueError("clocks differ from UTC by no more than 15 hours")
    days = day.toordinal() - _J2000
    # The formula's days run from noon UTC.
    noon = NOON + utc_offset - longitude / 15.0 - _sun(days - longitude / 360.0)[1]
    up = _half_day(latitude, _sun(days - longitude / 360.0)[0]) > 0.0

    def event(side: int) -> float | None:
        at = noon
        for _ in range(3):
            declination, ahead = _sun(days + (at - utc_offset - NOON) / 24.0)
            half = _half_day(latitude, declination)
            if not 0.0 < half < 12.0:
                return None
            at = NOON + utc_offset - longitude / 15.0 - ahead + side * half
        return at

    rise, sets = event(-1), event(1)
    if rise is None or sets is None:
        rise = sets = None
    return SunTimes(rise, noon, sets, up)


def _checked(latitude: float) -> float:
    if not -90.0 <= latitude <= 90.0:
        raise ValueError("a latitude lies between -90 and 90 degrees")
    return latitude


def _sun(days: float) -> tuple[float, float]:
    """Declination (radians) and equation of time (hours by which the sun is ahead of the mean sun), `days` from noon of 1 January 2000."""
    anomaly = radians(357.528 + 0.9856003 * days)
    mean = 280.460 + 0.9856474 * days
    longitude = radians(mean + 1.915 * sin(anomaly) + 0.020 * sin(2 * anomaly))
    tilt = radians(23.439 - 4e-7 * days)
    ascension = degrees(atan2(cos(tilt) * sin(longitude), cos(longitude)))
    return asin(sin(tilt) * sin(longitude)), ((mean - ascension + 180.0) % 360.0 - 180.0) / 15.0


def _half_day(latitude: float, declination: float) -> float:
    """Hours from sunrise to noon: 12 in polar day, 0 in polar night."""
    place = radians(latitude)
    need = sin(HORIZON) - sin(place) * sin(declination)
    reach = cos(place) * cos(declination)
    if need >= reach:
        return 0.0
    if need <= -reach:
        return 12.0
    return degrees(acos(need / reach)) / 15.0
