"""Nurseries to compare: records on a shelf, without a file; the demo; and the practice nursery where it lies beside the checkout."""

from __future__ import annotations

import tempfile
from datetime import datetime
from functools import cache
from pathlib import Path

from nurserytui.demo import MOMENT
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store
from oracle.nurseries import random_events

ROOT = Path(__file__).resolve().parents[2]
PRACTICE = ROOT.parent / "shared" / "questions" / "nursery.csv"


class Shelf:
    """A store that holds events alone, which nobody writes to."""

    def __init__(self, events: list[Event]) -> None:
        self._events = events

    def events(self) -> list[Event]:
        return list(self._events)

    def stamp(self) -> int:
        return 0

    readings_stamp = stamp

    def cautions(self) -> tuple[str, ...]:
        return ()

    def first_reading(self) -> str:
        return ""

    def readings(self, *_, **__) -> list:
        return []

    def reading_places(self) -> list[str]:
        return []


@cache
def imported(path: Path) -> tuple[Event, ...]:
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder) / "n.db") as store:
        report = import_file(path, store)
        assert not report.faults
        return tuple(store.events())


def nursery(events, now: datetime) -> Nursery:
    return Nursery(Shelf(list(events)), load(), now)


NAMED = ("demo", "practice") if PRACTICE.exists() else ("demo",)


@cache
def known(name: str | int) -> Nursery:
    """The demo at its own moment, the practice nursery in its last season, or the nursery drawn from a seed, at noon of its last day."""
    if name == "demo":
        return nursery(imported(ROOT / "demo_db" / "events.csv"), MOMENT)
    if name == "practice":
        return nursery(imported(PRACTICE), datetime(2026, 7, 12, 8))
    events = random_events(name, 2, 4, animals=(3, 9))
    return nursery(events, datetime.fromisoformat(events[-1].day).replace(hour=12))
