"""How the nursery is set up, as its `setting` events say: the last one of a name counts."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, NamedTuple

from nurserytui.records.backups.rule import Rule, parse
from nurserytui.records.events import Event

MILLILITRES = {
    "ml": 1.0, "millilitre": 1.0, "milliliter": 1.0, "cm3": 1.0, "cc": 1.0, "l": 1000.0, "litre": 1000.0, "liter": 1000.0,
    "cup": 236.588, "pint": 473.176, "quart": 946.353, "qt": 946.353, "gallon": 3785.41, "gal": 3785.41, "m3": 1e6,
}  # fmt: skip
"""Millilitres of a unit (US measures for cup, pint, quart and gallon)."""
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
NAMES = ("units", "place", "latitude", "timezone", "dates", "season-start", "limit", "volume", "air", "backups")


class Settings(NamedTuple):
    units: str = "C"
    """`C` or `F`."""
    place: str = ""
    latitude: float | None = None
    """Degrees, south negative."""
    timezone: str = ""
    """A name of the time zone database, "" if not set."""
    dates: str = ""
    """`day` or `month`: which comes first in 3/7; "" if not set."""
    season_start: int = 1
    """Month."""
    limit: int | None = None
    """Animals that the keeper means to handle in a season at most; None where no limit is set."""
    volumes: dict[str, float] = {}
    """Enclosure -> millilitres."""
    air: dict[str, str] = {}
    """Enclosure -> the name of the air that it shares."""
    backups: Rule = Rule()

    @classmethod
    def of(cls, events: Iterable[Event]) -> Settings:
        """The settings after those events (standing ones, in ledger order). What cannot be read is left out."""
        plain: dict[str, Any] = {}
        volumes: dict[str, float] = {}
        air: dict[str, str] = {}
        for event in events:
            if event.what == "setting":
                try:
                    name, value = read(event)
                except ValueError:
                    continue
                if name == "volume":
                    volumes[event.enclosure] = value
                elif name == "air":
                    air[event.enclosure] = value
                else:
                    plain[name.replace("-", "_")] = value
        return cls(**plain, volumes=volumes, air=air)


def volume(text: str) -> float:
    """Millilitres of `40 L`, `2.5 gallons`; ValueError if it is no volume."""
    found = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*([A-Za-z]+3?)", text.strip())
    unit = found[2].lower() if found else ""
    factor = MILLILITRES.get(unit) or MILLILITRES.get(unit.removesuffix("s"))
    if not factor or not float(found[1].replace(",", ".")):
        raise ValueError(f"{text!r} is no volume: write 40 L")
    return float(found[1].replace(",", ".")) * factor


def read(event: Event) -> tuple[str, Any]:
    """(name, value) of a `setting` event, the value in its own type; ValueError with the reason."""
    name, equals, text = event.detail.partition("=")
    name, text = name.strip().lower().replace("_", "-"), text.strip()
    if not equals or name not in NAMES:
        raise ValueError(f"{event.detail!r} is no setting: write name=value with one of {', '.join(NAMES)}")
    if name in ("volume", "air") and not event.enclosure:
        raise ValueError(f"the enclosure whose {name} is set is not said")
    if not text:
        raise ValueError(f"{name} has no value")
    return name, _READERS.get(name, str)(text)


def _units(text: str) -> str:
    if text.lower().strip("° ") not in ("c", "f", "celsius", "fahrenheit"):
        raise ValueError(f"units are C or F, not {text}")
    return text.strip("° ")[0].upper()


def _latitude(text: str) -> float:
    found = re.fullmatch(r"([-+]?\d+(?:[.,]\d+)?)\s*°?\s*([nsNS]?)\w*", text)
    value = float(found[1].replace(",", ".")) if found else 99.0
    if abs(value) > 90:
        raise ValueError(f"{text!r} is no latitude: write 51.5, south negative")
    return -value if found[2].lower() == "s" else value


def _timezone(text: str) -> str:
    if text == "UTC":
        return text  # known without the tables of zones, which a one-shot question would wait for
    import zoneinfo

    try:
        zoneinfo.ZoneInfo(text)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        raise ValueError(f"{text!r} is no time zone: write Europe/Paris, or UTC") from None
    return text


def _dates(text: str) -> str:
    word = text.lower().split()[0].removesuffix("-first")
    if word not in ("day", "month"):
        raise ValueError(f"dates are day or month first, not {text}")
    return word


def _month(text: str) -> int:
    word = text.lower()
    month = int(word) if word.isdecimal() else MONTHS.index(word[:3]) + 1 if word[:3] in MONTHS else 0
    if not 1 <= month <= 12:
        raise ValueError(f"{text!r} is no month: write 3, or March")
    return month


def _limit(text: str) -> int | None:
    if text.lower() in ("none", "no", "off"):
        return None
    found = re.fullmatch(r"(\d{1,6})(?: *(?:animals?|butterfl\w+|a|per|each|/|season|year|\s)+)?", text.lower())
    if not found:
        raise ValueError(f"{text!r} is no limit: write 50, or none")
    return int(found[1])


_READERS = {
    "units": _units,
    "latitude": _latitude,
    "timezone": _timezone,
    "dates": _dates,
    "season-start": _month,
    "limit": _limit,
    "volume": volume,
    "backups": parse,
}
