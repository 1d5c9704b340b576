"""Units of a logger's temperatures: the one that a column's name says, and values that speak against the one that was taken."""

from __future__ import annotations

import re
from collections import Counter

UNITS = {"c": "C", "°c": "C", "celsius": "C", "degc": "C", "f": "F", "°f": "F", "fahrenheit": "F", "degf": "F"}
_SAID = re.compile(r"(?:[\s_(\[°/,.-]|^temp|^|\bdeg)(c|f|celsius|fahrenheit)[\])]?\s*")
WARMEST_MIDDLE = 45
"""°C above which the middle of a logger's values is no air that animals were kept in."""
COLDEST_MIDDLE = 40
"""°F below which the middle of a logger's values may well be °C."""


def unit_of(name: str) -> str:
    """`C` or `F` if a column's name ends with a unit (`Temp (°F)`, `temperature_c`); "" if not."""
    low = name.casefold().strip()
    found = next((one for one in _SAID.finditer(low) if one.end() == len(low)), None)
    return found[1][0].upper() if found else ""


def asks(name: str, written: str) -> str:
    """What is said on the command line for a temperature's column: with the unit of its name as `written`, or with either where it says
    none; `name` is as it is typed."""
    unit = unit_of(written)
    if unit:
        return f"--column {name}=temperature_{unit}"
    return f"--column {name}=temperature_C if it is in °C, or --column {name}=temperature_F if in °F"


class Middles:
    """How often each whole degree came, in °C."""

    def __init__(self) -> None:
        self.degrees: Counter[int] = Counter()

    def middle(self) -> int:
        """The degree in the middle of all values; 0 without any."""
        half, passed = self.degrees.total() / 2, 0
        for degree, number in sorted(self.degrees.items()):
            passed += number
            if passed >= half:
                return degree
        return 0

    def doubt(self, unit: str, name: str) -> str:
        """Why values that a keeper called °C are probably °F; "" where nothing speaks for it."""
        middle = self.middle()
        if unit == "C" and middle > WARMEST_MIDDLE:
            return (
                f"the middle value is {middle}, too hot for animals in °C: Fahrenheit? then import with --column {name}=temperature_F "
                "(readings never change once they are in)"
            )
        return ""

    def remark(self, unit: str, name: str, by_keeper: bool) -> str:
        """What to look at where the values speak against the unit that the file says, or that a keeper called °F; "" for nothing."""
        middle = self.middle()
        if unit == "C" and not by_keeper and middle > WARMEST_MIDDLE:
            return f"the middle value is {middle} °C, as the header says: if it is in °F, go back and write temperature_F there"
        if unit == "F" and by_keeper and self.degrees and middle * 1.8 + 32 < COLDEST_MIDDLE:
            return (
                f"the middle value is {round(middle * 1.8 + 32)} °F, which is {middle} °C: if the file is in °C, go back and import it with "
                f"--column {name}=temperature_C"
            )
        return ""
