"""Where the keeper is, and when the sun rises and sets there by the keeper's own clock."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.wording import day_words, number
from nurserytui.biology.daylight import NOON, clock_times, day_length, solar_times

LATITUDE = re.compile(
    r"(\d{1,2}(?:\.\d+)?)\s*(?:°|degrees?|deg)?\s*(north|south|n|s)\b|\blat(?:itude)?\.?\s*(?:of|is|=)?\s*(-?\d{1,2}(?:\.\d+)?)"
)
NEAR = 3.0
"""Degrees of latitude within which a find's longitude may stand for the keeper's."""
ASK = "Tell me your latitude (“my latitude is 42”; south is negative) and I can reckon with your daylight."
NO_LATITUDE = "no latitude is set; say “my latitude is 42” or name one"


class Place(NamedTuple):
    latitude: float
    longitude: float | None
    words: str
    """Where the latitude is from, if not from the settings; else ""."""


class Sun(NamedTuple):
    """One day's sun by the keeper's clock, to ten minutes where the clock is in doubt; `rise` and `set` None in polar day and night."""

    rise: datetime | None
    set: datetime | None
    up: bool
    """False in polar night."""
    hours: float
    early: float
    """Hours by which the sun may rise and set earlier by the clock than is said, and later."""
    late: float
    words: str
    """How the clock was reckoned."""


def place_of(nursery, text: str = "") -> Place | None:
    """The latitude said in the line, else the one that is set, else that of the last find that has one; None where there is none."""
    found = LATITUDE.search(text)
    if found:
        latitude = float(found[1] or found[3]) * (-1 if found[2] in ("south", "s") else 1)
        return Place(latitude, None, "") if abs(latitude) <= 90 else None
    finds = [event for event in reversed(nursery.ledger.chronicle.events_of("found", "laid")) if event.latitude is not None]
    latitude, words = nursery.settings.latitude, ""
    if latitude is None:
        if not finds:
            return None
        latitude = finds[0].latitude
        words = f"No latitude is set: that of the find of {day_words(finds[0].when, nursery.now)}, {number(latitude)}°, is taken."
    longitude = next(
        (event.longitude for event in finds if event.longitude is not None and abs(event.latitude - latitude) <= NEAR), None
    )
    return Place(latitude, longitude, words)


def sun_of(nursery, place: Place, day: date) -> Sun:
    """Sunrise and sunset on a day. Without a longitude and a time zone, the sun is taken to stand highest at 12:00 standard time."""
    offset, summer = _offset(nursery.settings.timezone, day)
    if place.longitude is not None and offset is not None:
        times = clock_times(place.latitude, day, place.longitude, offset)
        early = late = 0.05
        words = (
            f"the sun at latitude {number(place.latitude)}°, longitude {number(place.longitude)}°, by the time zone that is set"
        )
    else:
        shift = 1.0 if summer else 0.0
        times = solar_times(place.latitude, day)
        if times.rise is not None:
            times = times._replace(rise=times.rise + shift, set=times.set + shift)
        noon = f"{NOON + shift:.0f}:00 {'daylight' if summer else 'standard'} time"
        early, late = 1.0, 1.0 if offset is not None else 2.0
        words = f"the sun at latitude {number(place.latitude)}° is taken to stand highest at {noon}; without your longitude that may be an hour off"
        if offset is None:
            words += ", and in summer time sunset is an hour later by the clock"
    start, step = datetime.combine(day, time()), 1 if early < 0.5 else 10
    rise, sets = (
        None if hour is None else start + timedelta(minutes=step * round(hour * 60 / step)) for hour in (times.rise, times.set)
    )
    return Sun(rise, sets, times.up, day_length(place.latitude, day), early, late, words)


def _offset(zone: str, day: date) -> tuple[float | None, bool]:
    """(hours ahead of UTC at noon, whether that is daylight time) by the time zone that is set; (None, False) where none is."""
    if not zone:
        return None, False
    if zone == "UTC":
        return 0.0, False
    from zoneinfo import ZoneInfo

    try:
        noon = datetime.combine(day, time(12), ZoneInfo(zone))
    except (KeyError, ValueError, OSError):
        return None, False
    return noon.utcoffset() / timedelta(hours=1), bool(noon.dst())
