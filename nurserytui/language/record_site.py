"""What a line tells of where the keeper is, and of how days are written there: place, latitude, time zone, the order of dates."""

from __future__ import annotations

import re
from functools import cache

PLACE = re.compile(
    r"\s*(?:(?:set|change) (?:the |my |our )?(?:place|site|location)(?: name)? to|(?:we|i) live in|we are in|(?:the|my|our) nursery is in"
    r"|(?:the |our |my )?(?:name of (?:the |our |my )?(?:place|site|nursery)|(?:place|site|location|nursery)(?:'s)? name)\s*(?:is|=|:)?"
    r"|(?:call|name) (?:the |our |my )?(?:place|site)|(?:the |our |my )?(?:place|site|location|nursery)(?: is|'s) (?:called|named)"
    r"|(?:the |our |my )?(?:place|location)\s*(?:is|=|:))\s+(.{2,60}?)\W*$",
    re.I,
)
_DEGREES = r"(-?\d+(?:\.\d+)?)\s*(?:°|deg(?:rees?)?|degs)?\s*"
_LATITUDE = re.compile(
    rf"\blat(?:itude)?\b\D{{0,12}}?{_DEGREES}|{_DEGREES}(?:north|south|n|s)? ?(?:latitude|lat\b)"
    r"|\b(?:we are|we're|were|we live|we sit|i live|im|i'm|i am|located|based|(?:nursery|garden|place|site|house) is) (?:up |down )?"
    rf"(?:at|on|about|around|in|near)\b[a-z ,.'-]{{0,40}}? (?:about |around |roughly )?{_DEGREES}(?:n|s|north|south)\b"
)
_OF_HERE = re.compile(
    r"\b(?:we|we're|our|my|us|set|i live|im|i'm|i am|nursery|site|garden|house|place|coordinates?|latitude (?:is|=|:)|located|based|home|here)\b|^lat"
)
"""Words by which a latitude is that of the keeper."""
_OF_DAYS = re.compile(r"\b(?:day ?length|diapause|photoperiod)\b")
_ORDER = re.compile(
    r"\b(day|month)s?(?: (?:comes?|goes|go|is|are|written))?[ -]first\b|\bdates?\b.*\b(dd|mm|day|month)\b *[ /.-] *(mm|dd|month|day|before|then)"
)
_CUSTOM = re.compile(
    r"\b(?P<one>us|american|british|uk|english|european|continental)(?: style| format| order)? dates?\b"
    r"|\bdates?\b(?: order| format| style)?(?: is| are| the| in| as| like| to|:)* (?P<two>us|american|british|uk|english|european|continental)\b"
)
"""Ways of writing dates that are told by those who write so."""
_ZONE = re.compile(r"\btime ?zone\b\W*(?:is|to|=|:)?\W*([A-Za-z_]+(?:[/ ][A-Za-z_]+){0,2})", re.I)


def latitude(plain: str) -> float | None:
    """The keeper's latitude that a line tells (`we're at 41 degrees north`), south below zero; None where it tells none."""
    match = _LATITUDE.search(plain)
    if match is None or not _OF_HERE.search(plain) or _OF_DAYS.search(plain):
        return None
    value = float(next(each for each in match.groups() if each))
    if value > 0 and re.search(r"\b(south|s)\b", plain[match.start() :]):
        value = -value
    return value if abs(value) <= 90 else None


def first_in_dates(plain: str) -> str:
    """`day` or `month`, by what a line says of how dates are written; "" where it says nothing of it."""
    if told := _ORDER.search(plain):
        return "day" if (told[1] or told[2])[0] == "d" else "month"
    custom = _CUSTOM.search(plain)
    if custom is None:
        return ""
    return "month" if (custom["one"] or custom["two"]) in ("us", "american") else "day"


def time_zone(text: str) -> str:
    """The time zone that a line tells, as it is named (`Europe/London`) or by its city (`time zone New York`); "" for none."""
    told = _ZONE.search(text)
    if told is None:
        return ""
    said = told[1].strip().casefold().replace(" ", "_")
    return _zones().get(said, "") or (told[1] if "/" in told[1] else "")


@cache
def _zones() -> dict[str, str]:
    """The zones of the database by their own names and by the names of their cities."""
    from zoneinfo import available_timezones

    names = sorted(available_timezones())
    cities = {
        name.rpartition("/")[2].casefold(): name
        for name in names
        if "/" in name and not name.startswith(("Etc/", "posix/", "right/"))
    }
    return {**cities, **{name.casefold(): name for name in names}, "utc": "UTC", "gmt": "GMT"}
