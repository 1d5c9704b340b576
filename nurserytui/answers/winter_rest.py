"""What the winter does to how long a stage lasts: a stage that rests takes months, whatever its growth would take."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers.answer import Value
from nurserytui.answers.wording import PLURAL, number

RESTING = ("egg", "larva", "pupa")
"""Stages of wintering whose length is told in days."""


class WinterRest(NamedTuple):
    always: bool
    """Every animal rests: the days of growth alone would mislead."""
    stage: str
    days: Value
    """Days of the stage with its rest; null with a reason where nothing was measured."""
    words: str
    """One sentence, to lead where all rest, else to follow the days."""
    sources: tuple[str, ...]


def winter_rest(species, stages: tuple[str, ...], knowledge) -> WinterRest | None:
    """The rest that one of the stages holds for the species; None where none of them winters."""
    if species is None or species.winters_as not in stages or species.winters_as not in RESTING:
        return None
    stage = species.winters_as
    rows = [row for row in knowledge.durations(species.scientific) if row.stage == f"{stage}_in_diapause"]
    measured = _measured(rows)
    ids = tuple(dict.fromkeys(source for row in rows for source in row.sources))
    if not ids and species.wintering:
        ids = species.wintering.sources
    if species.always_rests:
        words = f"every one of its {PLURAL[stage]} rests through the winter, for there is one brood a year"
    else:
        span = "" if measured.value is None else f" ({told(measured)} were published)"
        words = f"{PLURAL[stage].capitalize()} that are to winter rest instead: they wait for months, until spring{span}."
    return WinterRest(species.always_rests, stage, measured, words, ids)


def _measured(rows) -> Value:
    """The published days of the resting stage; those of one study stand as they are, and with several the widest ends."""
    if not rows:
        return Value(None, "day", reason="it rests until the next season; how many days has not been published")
    lows = [value for row in rows for value in (row.low, row.mean) if value is not None]
    highs = [value for row in rows for value in (row.high, row.mean) if value is not None]
    means = [row.mean for row in rows if row.mean is not None]
    low, high = min(lows), max(highs)
    if not means:
        return Value((low + high) / 2, "day", low, high)
    mean = sum(means) / len(means)
    return Value(mean, "day", *((low, high) if low < high else (None, None)))


def told(days: Value) -> str:
    """`about 326 days, 272 to 390`."""
    span = f", {number(days.low, 0)} to {number(days.high, 0)}" if days.low is not None else ""
    return f"about {number(days.value, 0)} days{span}"
