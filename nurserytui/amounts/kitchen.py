"""Volumes in the spoons and cups of a kitchen."""

from __future__ import annotations

import math

from nurserytui.amounts.factors import VOLUMES

_FRACTIONS = {0.25: "¼", 1 / 3: "⅓", 0.5: "½", 2 / 3: "⅔", 0.75: "¾"}
_STEPS = {
    "tsp": (0.25, 0.5, 0.75, 1),
    "Tbsp": (0.5, 1),
    "cup": (0.25, 1 / 3, 0.5, 2 / 3, 0.75, 1),
    "US quart": (0.5, 1),
    "US gallon": (0.25, 0.5, 0.75, 1),
}
_US = (("tsp", "teaspoon", 0.125, 3), ("Tbsp", "tablespoon", 1, 15), ("cup", "cup", 0.25, 15), ("US gallon", "gallon", 0.5, 1000))
_METRIC = (("tsp", "metric_teaspoon", 0.125, 3), ("Tbsp", "metric_tablespoon", 1, 12), ("cup", "metric_cup", 0.25, 1000))
CLOSE = 0.04
"""A measure is good enough within 4 %, which is finer than a spoon can be filled."""


def _spoken(count: float, name: str) -> str:
    whole = math.floor(count + 1e-9)
    rest = count - whole
    fraction = next((sign for part, sign in _FRACTIONS.items() if abs(rest - part) < 1e-6), "")
    number = f"{whole or ''}{fraction}" or "0"
    plural = "s" if count > 1 and name in ("cup", "US gallon") else ""
    return f"{number} {name}{plural}"


def _nearest(amount: float, steps: tuple[float, ...]) -> float:
    """The number of measures nearest to an amount that a set of such spoons can give."""
    whole = math.floor(amount)
    return min((whole + step for step in (0.0, *steps) if whole + step > 0), key=lambda count: abs(count - amount))


def kitchen_words(millilitres: float, system: str = "US") -> str:
    """A volume as the nearest kitchen measure: `about 2 Tbsp`, `about ⅓ cup`; "" for less than an eighth of a teaspoon.

    `system` is `US` (spoons of 4.93 and 14.79 mL, cup of 236.6 mL) or `metric` (5, 15 and 250 mL).
    """
    tried = []
    for name, unit, least, most in _METRIC if system == "metric" else _US:
        amount = millilitres / VOLUMES[unit]
        if least - 1e-9 <= amount < most + 0.25:  # a whole spoon may come out a hair short
            count = _nearest(amount, _STEPS[name])
            tried.append((abs(count - amount) / amount, count, name))
    if not tried:
        return ""
    close = [each for each in tried if each[0] <= CLOSE]
    error, count, name = close[-1] if close else min(tried)
    return f"{'' if error < 0.002 else 'about '}{_spoken(count, name)}"
