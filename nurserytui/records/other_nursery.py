"""Another nursery's file, read to be merged: it is never written, and what it holds is looked at like any file."""

from __future__ import annotations

import os
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from nurserytui.biology.sensors import COLDEST, HOTTEST, impossible
from nurserytui.records.event_rows import Row
from nurserytui.records.file_text import RowFault
from nurserytui.records.progress import Progress, told
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store
from nurserytui.records.streaming import snapshot
from nurserytui.records.whole_events import wrong_with


class OtherNursery:
    """The events and readings of an open nursery."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.faults: list[RowFault] = []
        self.readings_count = 0
        self._going: Iterator[tuple[int, Reading]] | None = None

    def close(self) -> None:
        """End reading, wherever it was stopped, before the nursery is closed."""
        if self._going is not None:
            self._going.close()

    def read(self, progress: Progress | None = None) -> list[Row]:
        """Its events, numbered in the order in which they were recorded; `faults` and `readings_count` are filled."""
        rows = [Row(number, event) for number, event in enumerate(self._store.events(), 1)]
        for row in told(progress, rows, len(rows), "events read"):
            self.faults += [RowFault(row.line, column, reason) for column, reason in wrong_with(row.event)]
        with snapshot(self._store) as records:
            self.readings_count = records.readings_number
            for row in told(progress, records.readings(), self.readings_count, "readings read"):
                if reason := _wrong(row):
                    self.faults.append(RowFault(0, f"reading of {row.place} at {row.when}", reason))
        return rows

    def readings(self) -> Iterator[tuple[int, Reading]]:
        """(0, reading) of every logger reading, each with its own fold."""
        self._going = self._readings()
        return self._going

    def _readings(self) -> Iterator[tuple[int, Reading]]:
        with snapshot(self._store) as records:
            for row in records.readings():
                yield 0, Reading(datetime.fromisoformat(row.when).replace(fold=row.fold), row.place, row.low, row.high)


def _wrong(row) -> str:
    """Why a reading cannot be one; "" if it can."""
    try:
        datetime.fromisoformat(row.when)
    except (ValueError, TypeError):
        return "there is no such time"
    if not isinstance(row.place, str) or not row.place or row.fold not in (0, 1):
        return "its place or its time is damaged"
    if not all(isinstance(value, float | int) for value in (row.low, row.high)):
        return "its temperature is no number"
    if not COLDEST <= row.low <= row.high <= HOTTEST:
        return impossible(row.low) or impossible(row.high) or "its low lies above its high"
    return ""


def is_itself(path: Path, store) -> bool:
    """Whether the file is that of the open store."""
    try:
        return store.path is not None and os.path.samefile(path, store.path)
    except OSError:
        return False
