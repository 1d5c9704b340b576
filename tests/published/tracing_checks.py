"""Tracing of parasitoids against what was printed: forwards and backwards at constant temperatures, and at two temperatures a day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from checks import Check

from nurserytui.biology.exposure import ByWarmth
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

TAKAGI = (
    "Takagi 1976, Ecology of Pteromalus puparum on Papilio xuthus pupae, Jpn J. Appl. Entomol. Zool. 20:157-163: "
    "213.7 degree-days above 12.2 °C, days from sting to wasp as printed to one decimal"
)
CELLS = [
    # °C, days from sting to emergence
    (18, 36.8),
    (20, 27.4),
    (22, 21.8),
    (24, 18.1),
    (25, 16.7),
    (28, 13.5),
    (30, 12.0),
]
ROUNDING = 0.05
"""Days: what is printed to one decimal."""
HALVES = [
    # day and night °C, twelve hours each; days: 213.7 over the mean of what each half has above 12.2 °C
    (28, 18, 19.8),
    (28, 10, 27.0),  # hours below the threshold count nothing; by the mean of 19 °C it would be 31.4
]
ZERO = datetime(2031, 6, 1)


def _development(base) -> ByWarmth:
    agent = base.agent("Pteromalus puparum")
    return ByWarmth(RateCurve.from_degree_days(agent.base, agent.degree_days))


def _forwards(base, timeline: Timeline) -> Callable[[], float]:
    return lambda: (_development(base).exit(ZERO, ZERO, timeline).at - ZERO) / timedelta(days=1)


def _backwards(base, timeline: Timeline) -> Callable[[], float]:
    end = ZERO + timedelta(days=60)
    return lambda: (end - _development(base).sting(end, end, timeline).at) / timedelta(days=1)


def halves(day: float, night: float) -> Timeline:
    """Warm from 8 to 20 o'clock, cool in the other half, with a minute between."""
    points = []
    for at in range(-5, 80):
        morning, evening = ZERO + timedelta(days=at, hours=8), ZERO + timedelta(days=at, hours=20)
        minute = timedelta(minutes=1)
        points += [(morning - minute, night), (morning, day), (evening - minute, day), (evening, night)]
    return Timeline(points)


def checks(base) -> list[Check]:
    """`base` is the knowledge base."""
    found = []
    for celsius, days in CELLS:
        room = Timeline.constant(celsius, ZERO)
        found.append(Check(TAKAGI, f"wasps out after a sting, days at {celsius} °C", days, _forwards(base, room), ROUNDING))
        found.append(
            Check(TAKAGI, f"back from the exit to the sting, days at {celsius} °C", days, _backwards(base, room), ROUNDING)
        )
    for day, night, days in HALVES:
        room = halves(day, night)
        about = f"back from the exit to the sting, days at {day}/{night} °C by halves of the day"
        found.append(Check(TAKAGI, about, days, _backwards(base, room), 0.6))  # a sting may fall into either half
        found.append(
            Check(TAKAGI, about.replace("back from the exit to the sting", "forwards"), days, _forwards(base, room), 0.6)
        )
    return found
