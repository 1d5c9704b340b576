"""The events table as CSV: what an import reads back to an identical nursery."""

from __future__ import annotations

import csv
import re
from pathlib import Path

from nurserytui.records.event_rows import COLUMNS
from nurserytui.records.events import Event
from nurserytui.records.progress import Progress, told

_NUMBERS = ("instar", "count", "latitude", "longitude")
BUFFER = 1 << 20
"""Bytes that are written at a time: a thread that writes often keeps other threads waiting for their turn."""
_RUNS = re.compile(r"'*[=+\-@\t\r]")


def export_csv(store, path: str | Path, progress: Progress | None = None) -> int:
    """Write every event with its id, withdrawals included, so that an import makes an identical nursery. How many there were."""
    events = store.events()
    with open(path, "w", BUFFER, encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        writer.writerow(COLUMNS)
        writer.writerows(cells_of(event) for event in told(progress, events, len(events), "events written"))
    return len(events)


def cells_of(event: Event) -> list[str]:
    """The event as a row of the table."""
    cells = []
    for name in COLUMNS:
        value = getattr(event, name)
        text = "" if value is None else repr(value) if isinstance(value, float) else str(value)
        cells.append(f"~{text}" if name == "count" and event.estimate and text else text if name in _NUMBERS else escaped(text))
    return cells


def escaped(text: str) -> str:
    """Text that a spreadsheet would run as a formula, with an apostrophe before it; `event_rows.unescaped` takes it off again."""
    return f"'{text}" if _RUNS.match(text) else text
