"""Prints what forecasts cost on many readings, in processor time, beside the same degree-day sum done with pandas. Ratios from one run.

usage: python tests/benchmarks/forecasts.py       (in an environment that holds the program; add pandas for the last two lines)

`pip install pandas` belongs into an environment of its own: the program does not use it, and without it the comparison is left out with
a sentence. Anything that goes wrong in a run, a forecast that is not there among it, ends the program with a traceback and exit code 1.

one cohort      60 eggs in a shed with 100,000 logger readings; cold: a nursery that has just been opened (its readings are read from the
                database), warm: the same question a minute later, as in a running conversation, and again after an event of another cohort
board           50 cohorts at all stages in ten enclosures with 10,000 readings each; cold likewise; warm after an event of one cohort, and
                a minute later
degree-days     the running sum over the 100,000 readings, made once, and one progress of it asked for; pandas: the same sum
"""

from __future__ import annotations

import importlib.util
import statistics
import time
from datetime import datetime, timedelta
from math import cos, pi

from nurserytui.answers.board import board
from nurserytui.answers.outlook import outlook
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store

RUNS = 5
READINGS = 100_000
STEP = timedelta(minutes=5)
NOW = datetime(2031, 8, 1, 18)
BEGAN = NOW - (READINGS - 1) * STEP
ENCLOSURES = 10
COHORTS = 50
SPECIES = ("Pieris rapae", "Vanessa cardui", "Danaus plexippus", "Papilio polyxenes", "Vanessa atalanta")
KINDS = ("laid eggs", "found eggs", "larvae", "pupae", "old pupae")
BASE, CEILING, NEED = 10.0, 30.0, 100.0


def main() -> None:
    celsius = [air(BEGAN + at * STEP) for at in range(READINGS)]
    with Store.memory() as store:
        one_cohort(store, celsius)
    with Store.memory() as store:
        whole_board(store)
    sums(celsius)


def air(when: datetime) -> float:
    """A summer's day with a weather that changes slowly."""
    day = (when - BEGAN) / timedelta(days=1)
    return 19.0 + 4.0 * cos(2 * pi * day / 11.3) - 7.0 * cos(2 * pi * (day - 4 / 24)) + 0.3 * cos(977.0 * day)


def one_cohort(store: Store, celsius: list[float]) -> None:
    store.add_readings(Reading(BEGAN + at * STEP, "shed", value, value) for at, value in enumerate(celsius))
    keep(
        store,
        laid("A", "Pieris rapae", NOW - timedelta(days=3), "shed"),
        laid("Z", "Pieris rapae", NOW - timedelta(days=1), "tent"),
    )
    cold, nursery = fresh(store, forecast_of_a)
    later = median(lambda: (nursery.at(nursery.now + timedelta(minutes=1)), forecast_of_a(nursery)))
    other = median(lambda: forecast_of_a(nursery), before=lambda: touch(nursery, "Z"))
    line(f"one cohort, {READINGS} readings, cold", cold)
    line("  a minute later", later, cold, "below 20")
    line("  after an event of another cohort", other, cold, "below 20")


def whole_board(store: Store) -> None:
    for place in range(ENCLOSURES):
        hours = range(READINGS // ENCLOSURES)
        step = STEP * ENCLOSURES
        store.add_readings(
            Reading(BEGAN + at * step, f"tub {place}", air(BEGAN + at * step) + place / 5, air(BEGAN + at * step) + place / 5)
            for at in hours
        )
    for number in range(COHORTS):
        animals = cohort(
            f"c-{number}",
            SPECIES[number % len(SPECIES)],
            KINDS[number // len(SPECIES) % len(KINDS)],
            f"tub {number % ENCLOSURES}",
        )
        keep(store, *animals)
    cold, nursery = fresh(store, full_board)
    event = median(lambda: full_board(nursery), before=lambda: touch(nursery, "c-7"))
    later = median(lambda: (nursery.at(nursery.now + timedelta(minutes=1)), full_board(nursery)))
    line(f"board of {COHORTS} cohorts, {READINGS} readings, cold", cold, aim="below 800")
    line("  after an event of one cohort", event, cold, "below 100")
    line("  a minute later", later, cold)


def sums(celsius: list[float]) -> None:
    """Degree-days by straight lines with a horizontal cut-off; pandas counts by the trapezoid of clipped readings, so they differ a little."""
    times = [BEGAN + at * STEP for at in range(READINGS)]
    points = list(zip(times, celsius, strict=True))
    curve = RateCurve.from_degree_days(BASE, NEED, CEILING)
    since = NOW - timedelta(days=200)
    first = median(lambda: Timeline(points).progress(curve, since, NOW))
    timeline = Timeline(points)
    ours = timeline.progress(curve, since, NOW) * NEED
    asked = median(lambda: timeline.progress(curve, since, NOW))
    line("degree-days: the running sum made", first)
    line("  one sum asked for", asked)
    if importlib.util.find_spec("pandas") is None:
        print("  pandas is not installed, so its sum is left out")
        return
    import pandas

    frame = pandas.Series(celsius, index=pandas.DatetimeIndex(times))

    def by_pandas() -> float:
        part = frame[since:NOW].clip(BASE, CEILING) - BASE
        days = part.index.to_series().diff().dt.total_seconds() / 86400
        return float(((part + part.shift()) / 2 * days).sum())

    theirs = by_pandas()
    if abs(theirs - ours) > 0.002 * ours:
        raise SystemExit(f"the sums do not agree: {ours} and {theirs}")
    whole = median(by_pandas)
    line("  the same sum with pandas", whole)
    print(f"  one sum asked for / with pandas {asked / whole:.4f}, the running sum made / with pandas {first / whole:.1f}")


def line(name: str, seconds: float, cold: float = 0.0, aim: str = "") -> None:
    ratio = f"cold / this {cold / max(seconds, 1e-6):10.1f}" if cold else ""
    print(f"{name:45}{seconds * 1000:10.3f} ms   {f'(aim: {aim})' if aim else '':18} {ratio}".rstrip())


# What is measured ---------------------------------------------------------------------------------------------------------


def median(run, before=None) -> float:
    """Median seconds of a run; what `before` does first is not counted."""
    times = []
    for _ in range(RUNS):
        if before is not None:
            before()
        began = time.process_time()
        run()
        times.append(time.process_time() - began)
    return statistics.median(times)


def fresh(store: Store, ask) -> tuple[float, Nursery]:
    """Median seconds of opening a nursery over the store and asking it, without the knowledge base's own loading."""
    knowledge = load()
    ask(Nursery(store, knowledge, NOW))
    times = []
    for _ in range(RUNS):
        began = time.process_time()
        nursery = Nursery(store, knowledge, NOW)
        ask(nursery)
        times.append(time.process_time() - began)
    return statistics.median(times), nursery


def forecast_of_a(nursery: Nursery) -> None:
    if outlook(nursery, "A", "hatch") is None:
        raise SystemExit("no forecast of A")


def full_board(nursery: Nursery) -> None:
    rows = board(nursery)
    if len(rows) < COHORTS or not all(row.median for row in rows):
        raise SystemExit("a row without a date on the board")


# The nursery that it is measured on ---------------------------------------------------------------------------------------


def laid(label: str, species: str, when: datetime, place: str) -> Event:
    return Event(when.isoformat(), "laid", label, species=species, stage="egg", count=60, enclosure=place)


def cohort(label: str, species: str, kind: str, place: str) -> list[Event]:
    def at(days: float) -> str:
        return (NOW - timedelta(days=days)).isoformat()

    start = Event(at(2), "found", label, species=species, stage="egg", count=20, enclosure=place)
    look = Event(at(1), "checked", label, enclosure=place)
    if kind == "laid eggs":
        return [laid(label, species, NOW - timedelta(days=2), place), look]
    if kind == "found eggs":
        return [start, look]
    if kind == "larvae":
        return [start._replace(when=at(12)), Event(at(9), "hatched", label, count=18, enclosure=place), look]
    old = 300 if kind == "old pupae" else 0
    return [
        start._replace(when=at(old + 14), stage="larva", instar=4),
        Event(at(old + 5), "pupated", label, count=20, enclosure=place),
        look,
    ]


def keep(store: Store, *events: Event) -> None:
    written = store.append(events)
    if written.faults:
        raise SystemExit(written.faults[0].reason)


def touch(nursery: Nursery, label: str) -> None:
    written = nursery.write([Event(nursery.now.isoformat(), "checked", label)])
    if written.faults:
        raise SystemExit(written.faults[0].reason)


if __name__ == "__main__":
    main()
