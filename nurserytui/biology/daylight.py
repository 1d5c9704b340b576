"""Day length."""

from __future__ import annotations

from datetime import date
from math import acos, asin, cos, degrees, radians, sin

HORIZON = radians(-0.833)
"""Height of the sun's centre at sunrise and sunset: refraction 34' and half its width 16'."""
_J2000 = date(2000, 1, 1).toordinal()


def day_length(latitude: float, day: date) -> float:
    """Hours between sunrise and sunset on `day` at `latitude` (degrees, north positive): 24 and 0 in polar day and night.

    The sun's declination at noon by the low-precision formula of the Astronomical Almanac (0.01°), and the sunrise equation with
    the sun's centre 0.833° below the horizon. ValueError for a latitude beyond the poles.
    """
    if not -90.0 <= latitude <= 90.0:
        raise ValueError("a latitude lies between -90 and 90 degrees")
    days = day.toordinal() - _J2000
    anomaly = radians(357.528 + 0.9856003 * days)
    longitude = radians(280.460 + 0.9856474 * days + 1.915 * sin(anomaly) + 0.020 * sin(2 * anomaly))
    declination = asin(sin(radians(23.439 - 4e-7 * days)) * sin(longitude))
    place = radians(latitude)
    need = sin(HORIZON) - sin(place) * sin(declination)
    reach = cos(place) * cos(declination)
    if need >= reach:
        return 0.0
    if need <= -reach:
        return 24.0
    return 2.0 * degrees(acos(need / reach)) / 15.0
