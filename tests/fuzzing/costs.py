"""Processor time of hostile lines, in a nursery whose forecasts are made and in one of 300 cohorts."""

from __future__ import annotations

import gc
from collections.abc import Iterable
from datetime import timedelta
from time import thread_time

from fuzzing.promises import MOMENT, Keeper
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.events import Event
from nurserytui.records.store import Store

KINDS = ("Danaus plexippus", "Papilio polyxenes", "Vanessa cardui", "Pieris rapae", "Actias luna")
WARMING = (
    "what needs doing today",
    "when do B, C and E change",
    "will they overwinter",
    "how many survived",
    "what was B exposed to",
)
"""Lines after which what answers rest on is worked out."""


YARD = 0.0235
"""Processor seconds of `yard` on the machine on which the promise is measured."""


def yard() -> float:
    """Processor seconds of some work of fixed size: how fast this machine is just now."""
    start = thread_time()
    sorted(str(number)[::-1] for number in range(100_000))
    return thread_time() - start


def slowness() -> float:
    """How many times slower this machine is just now than the one on which the promise is measured; never less than 1."""
    return max(1.0, min(yard() for _ in range(5)) / YARD)


def said(lines: Iterable[str]) -> list[tuple[float, str]]:
    """(seconds, line) of answers by the demo nursery. After a record forecasts are made anew, which is not counted as the next line's."""
    keeper = Keeper("demo")
    found = []
    gc.disable()
    warm = False
    for line in lines:
        if not warm:
            for each in WARMING:
                keeper.say(each)
            keeper.new_conversation()
        before = keeper.written
        start = thread_time()
        keeper.say(line)
        found.append((thread_time() - start, line))
        warm = keeper.written == before
        if not warm:
            keeper = Keeper("demo", keeper.nursery) if keeper.written < 400 else Keeper("demo")
    gc.enable()
    return found


def many() -> Nursery:
    """300 cohorts in 60 tubs."""
    store = Store.memory()
    names = "fennel mallow willow".split()
    events = [
        Event(
            f"{MOMENT - timedelta(days=at % 40):%Y-%m-%d}", "found", cohort=f"{names[at % 3]}-{at}", species=KINDS[at % 5], stage="larva",
            count=9, enclosure=f"tub {at % 60}",
        )
        for at in range(300)
    ]  # fmt: skip
    assert not store.append(sorted(events)).faults
    return Nursery(store, load(), MOMENT)


def heard(lines: Iterable[str]) -> list[tuple[float, str]]:
    """(seconds, line) of what lines are taken for by a nursery of 300 cohorts; nothing is written."""
    assistant = Assistant(many())
    assistant.understood("2 of fennel-0 died")
    found = []
    gc.disable()
    for line in lines:
        start = thread_time()
        assistant.understood(line)
        found.append((thread_time() - start, line))
    gc.enable()
    return found


def percentile(found: list[tuple[float, str]], share: float) -> float:
    times = sorted(seconds for seconds, _ in found)
    return times[min(len(times) - 1, int(len(times) * share))]


def told(name: str, found: list[tuple[float, str]]) -> str:
    parts = ", ".join(f"{percentile(found, share) * 1e3:.1f} ms p{share * 100:g}" for share in (0.5, 0.99, 0.999))
    slowest = max(found)
    return f"{name}: {len(found):,} lines, {parts}; slowest {slowest[0] * 1e3:.0f} ms: {ascii(slowest[1])[:200]}"
