"""Numbers without a unit that can only be temperatures where a forecast or a duration is asked for."""

from __future__ import annotations

import re

from nurserytui.language.line import Line
from nurserytui.language.request import Amount

FORECASTS = ("stage-forecast", "stage-duration")
WARM_LEADS = frozenset("stays stay steady at averages average around about is its it's sits sat keeps kept hits".split())
STEADY = re.compile(
    r"\b(?:stays?|staying|steady|constant|holds?|held|averages?|kept|keeps?)(?: it| them)?(?: at| around| about)?(?: an?)?(?: steady| constant)?"
    r" (\d{1,2})(?![\w:.%])(?! (?:days?|weeks?|hours?|am|pm|of)\b)"
)
"""`if it stays at 18`: a bare number that is no time of day."""
HEAT_SUM = re.compile(
    r"\b(?:degree[- ]?days?|day[- ]?degrees?|heat (?:sum|units)|thermal (?:sum|time|units)|accumulated heat|g?dd\d*)\b"
)
THRESHOLD = re.compile(
    r"(?:\b(?:base|above|over|threshold|from base)(?: temp\w*)?(?: of| at| is|:)? |\bg?dd ?)(\d{1,2}(?:\.\d+)?)(?![\w:%/]|\.\d)"
    r"(?! (?:days?|weeks?|hours?|am|pm|jan|feb|mar|apr|may|ju[nl]|aug|sep|oct|nov|dec)\w*)"
)
"""`base 10`, `over 8`, `dd 10`: a bare number above which degree-days are asked for."""
LIKELY_BASE = {"C": (0, 25), "F": (32, 75)}
LIKELY_WARMTH = {"C": (5, 42), "F": (41, 108)}


def warmth(line: Line, topic: str, nursery) -> tuple[Amount, ...]:
    """A bare number that a forecast is put on (`if it stays 17`) or degree-days are above is a temperature in the nursery's own unit."""
    unit = "F" if str(nursery.settings.units or "C").upper().startswith("F") else "C"
    if topic == "temperature":
        base = THRESHOLD.search(line.plain) if HEAT_SUM.search(line.plain) else None
        scale = _scale_of(float(base[1]), unit, LIKELY_BASE) if base else ""
        return (Amount(float(base[1]), f"deg{scale}", "temperature", base[1]),) if base and scale else ()
    low, high = LIKELY_WARMTH[unit]
    if topic == "temperature" and (base := BASE.search(line.plain)) and SUM.search(line.plain):
        return tuple(_base(float(value), unit, value) for value in base.groups() if value)
    if topic in FORECASTS and (steady := STEADY.search(line.plain)) and low <= float(steady[1]) <= high:
        return (Amount(float(steady[1]), f"deg{unit}", "temperature", steady[1]),)
    for span in line.of("period") if topic == "stage-duration" else ():
        if (bare := AT_HOUR.fullmatch(span.said.casefold())) and (scale := _scale_of(float(bare[1]), unit)):
            return (Amount(float(bare[1]), f"deg{scale}", "temperature", span.said),)
    for span in line.of("number") if topic in FORECASTS else ():
        before = line.tokens[span.first - 1].text if span.first else ""
        if topic == "stage-duration" and before in AT_DEGREES and (scale := _scale_of(float(span.value), unit)):
            return (Amount(float(span.value), f"deg{scale}", "temperature", span.said),)
        if before in WARM_LEADS and low <= float(span.value) <= high and "if" in line.plain.split()[:6]:
            return (Amount(float(span.value), f"deg{unit}", "temperature", span.said),)
    return ()


BASE = re.compile(
    r"\b(?:base|bases|above|over|threshold|thresholds|limit|from)(?: (?:temp(?:erature)?|of|is|at|a|as|being|the))* (\d{1,2}(?:\.\d+)?)(?! ?(?:days?|weeks?|hours?|am|pm|°|deg\w*|[cf]\b))"
    r"(?: ?(?:/|-|to|and|up to|upper|ceiling)+ ?(\d{1,3}(?:\.\d+)?)\b)?"
)
"""`degree-days base 10`, `over 50/86`: the base, and perhaps the upper threshold, without a unit."""
SUM = re.compile(r"degree|\bg?dd\b|\b(?:heat|thermal|accumulated)\b")
HIGHEST_BASE, LOWEST_BASE = 25.0, 32.0
"""°C above which no base of a sum lies, and °F below which none does."""


def _base(value: float, own: str, said: str) -> Amount:
    scale = (
        ("F" if value >= LOWEST_BASE else own)
        if own == "C" and value > HIGHEST_BASE
        else ("C" if own == "F" and value < LOWEST_BASE else own)
    )
    return Amount(value, f"deg{scale}", "temperature", said)


AT_HOUR = re.compile(r"at (\d{1,2})")
"""What is no time of day where a duration is asked for."""
AT_DEGREES = frozenset(("at", "@", "by"))
"""Words before a bare number that can only be a temperature where a duration is asked for (`monarch egg at 22`)."""


def _scale_of(value: float, own: str, likely: dict = LIKELY_WARMTH) -> str:
    """The scale in which a number is a likely temperature, the nursery's own first; "" for none."""
    return next((scale for scale in (own, "C", "F") if likely[scale][0] <= value <= likely[scale][1]), "")
