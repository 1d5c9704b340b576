"""The events table as CSV (RFC 4180): what an import reads back to an identical nursery."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

from nurserytui.exports.withholding import EXACT, Withheld
from nurserytui.records.event_rows import COLUMNS, RUNS
from nurserytui.records.events import Event
from nurserytui.records.progress import Progress, told
from nurserytui.records.streaming import snapshot

BUFFER = 1 << 20
"""Bytes that are written at a time: a thread that writes often keeps other threads waiting for their turn."""
_FIELDS = Event._fields
_ESTIMATE, _COUNT = _FIELDS.index("estimate"), COLUMNS.index("count")
_NUMBERS = ("instar", "count", "latitude", "longitude")
_TEXTS = tuple(at for at, name in enumerate(COLUMNS) if name not in _NUMBERS)


class Written(NamedTuple):
    events: int
    readings: int
    """Logger readings that the nursery has beside them, which are no part of the table."""


def export_csv(store, path: str | Path, progress: Progress | None = None, withheld: Withheld = EXACT) -> Written:
    """Write every event with its id, withdrawals included, so that an import makes an identical nursery; lines end by CRLF."""
    written = 0
    with snapshot(store) as records, open(path, "w", BUFFER, encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        writer.writerow(COLUMNS)
        for event in withheld.of(told(progress, records.events(), records.events_number, "events written")):
            writer.writerow(cells_of(event))
            written += 1
        return Written(written, records.readings_number)


def cells_of(event: Event) -> list:
    """The event as a row of the table: texts as a spreadsheet may have them, numbers as numbers, None for what was not given."""
    cells = [*event[:_ESTIMATE], *event[_ESTIMATE + 1 : -1]]
    if event[_ESTIMATE] and cells[_COUNT] is not None:
        cells[_COUNT] = f"~{cells[_COUNT]}"
    for at in _TEXTS:
        text = cells[at]
        if text and not text[0].isalnum() and RUNS.match(text):
            cells[at] = f"'{text}"
    return cells


def escaped(text: str) -> str:
    """Text that a spreadsheet would run as a formula, with an apostrophe before it; `event_rows.unescaped` takes it off again."""
    return f"'{text}" if RUNS.match(text) else text
