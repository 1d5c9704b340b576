"""Our units by their exact definitions, so that everyday conversions need no unit library.

US measures follow from the gallon of 231 cubic inches, imperial ones from the gallon of 4.54609 L, both by definition; a metric cup is
250 mL, a metric tablespoon 15 mL, an Australian tablespoon 20 mL, a metric teaspoon 5 mL. A month is 1/12 of a year of 365.25 days.
Names are those of pint, except for the metric and Australian spoons and cups, which pint does not have.
"""

from __future__ import annotations

import math

_US_GALLON = 231 * 2.54**3
_UK_GALLON = 4546.09
VOLUMES = {
    "milliliter": 1.0,
    "centiliter": 10.0,
    "deciliter": 100.0,
    "liter": 1000.0,
    "teaspoon": _US_GALLON / 768,
    "tablespoon": _US_GALLON / 256,
    "fluid_ounce": _US_GALLON / 128,
    "cup": _US_GALLON / 16,
    "pint": _US_GALLON / 8,
    "quart": _US_GALLON / 4,
    "gallon": _US_GALLON,
    "imperial_fluid_ounce": _UK_GALLON / 160,
    "imperial_cup": _UK_GALLON / 16,
    "imperial_pint": _UK_GALLON / 8,
    "imperial_quart": _UK_GALLON / 4,
    "imperial_gallon": _UK_GALLON,
    "metric_teaspoon": 5.0,
    "metric_tablespoon": 15.0,
    "australian_tablespoon": 20.0,
    "metric_cup": 250.0,
}
"""Millilitres."""
_FACTORS = {
    "volume": VOLUMES,
    "length": {"millimeter": 0.001, "centimeter": 0.01, "meter": 1.0, "inch": 0.0254, "foot": 0.3048},
    "mass": {"milligram": 0.001, "gram": 1.0, "kilogram": 1000.0, "ounce": 28.349523125, "pound": 453.59237},
    "area": {"square_centimeter": 1.0, "square_meter": 10000.0, "square_inch": 6.4516},
    "time": {
        "second": 1.0,
        "minute": 60.0,
        "hour": 3600.0,
        "day": 86400.0,
        "week": 604800.0,
        "month": 2629800.0,
        "year": 31557600.0,
    },
    "strength": {"ppm": 1.0, "percent": 10000.0},
}
_KINDS = {unit: kind for kind, units in _FACTORS.items() for unit in units} | {"degC": "temperature", "degF": "temperature"}


def kind(unit: str) -> str:
    """`volume`, `length`, `mass`, `area`, `time`, `strength` or `temperature`; ValueError for a unit that is not ours."""
    if unit not in _KINDS:
        raise ValueError(f"{unit} is no unit that is known here")
    return _KINDS[unit]


def convert(value: float, unit: str, target: str) -> float:
    """The value in another unit of the same kind. Temperatures are points of the scale, not differences; 1 % is 10,000 ppm (w/v).

    Raises ValueError where the units are of different kinds or unknown, the value is not finite, or a temperature is below absolute zero.
    """
    if not math.isfinite(value):
        raise ValueError("the value is not a finite number")
    here, there = kind(unit), kind(target)
    if here != there:
        raise ValueError(f"{unit} is a {here}, {target} a {there}")
    if here == "temperature":
        celsius = value if unit == "degC" else (value - 32) * 5 / 9
        if celsius < -273.15:
            raise ValueError("no temperature is below absolute zero")
        return celsius if target == "degC" else celsius * 9 / 5 + 32
    return value * _FACTORS[here][unit] / _FACTORS[here][target]
