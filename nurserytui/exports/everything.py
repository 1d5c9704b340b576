"""Everything in the nursery as JSON Lines: a line that says what this is, then one object for every event and every logger reading.

Pure ASCII; the same records give the same bytes. An event has the columns of the events table, all of them, in their order: texts as
text, numbers as numbers, null for a number that was not given, `"~80"` for an estimate. A reading has `time`, `place`, `low`, `high` in
°C, and `fold` 1 in the second round of the hour that comes twice in autumn.
"""

from __future__ import annotations

from collections.abc import Iterator
from json import JSONEncoder
from pathlib import Path

from nurserytui.exports.events_table import BUFFER
from nurserytui.exports.withholding import EXACT, Withheld
from nurserytui.records.event_rows import COLUMNS
from nurserytui.records.events import Event
from nurserytui.records.progress import Progress, told
from nurserytui.records.streaming import LoggedRow, Snapshot, snapshot

VERSION = 1
_ESTIMATE, _COUNT = Event._fields.index("estimate"), COLUMNS.index("count")
_write = JSONEncoder(ensure_ascii=True, allow_nan=False, separators=(", ", ": ")).encode


def export_everything(store, path: str | Path, progress: Progress | None = None, withheld: Withheld = EXACT) -> tuple[int, int]:
    """Write the file; how many events and how many readings."""
    counts = [0, 0]
    with snapshot(store) as records, open(path, "w", BUFFER, encoding="ascii", newline="\n") as file:
        file.write(_write({"nursery": _about(withheld)}) + "\n")
        for at, things in enumerate((_events(records, progress, withheld), _readings(records, progress))):
            for thing in things:
                file.write(_write(thing) + "\n")
                counts[at] += 1
    return counts[0], counts[1]


def _about(withheld: Withheld) -> dict:
    about: dict = {"version": VERSION, "temperature": "C"}
    if withheld.anything:
        about["withheld"] = withheld.words()
    return about


def _events(records: Snapshot, progress: Progress | None, withheld: Withheld) -> Iterator[dict]:
    for event in withheld.of(told(progress, records.events(), records.events_number, "events written")):
        cells = [*event[:_ESTIMATE], *event[_ESTIMATE + 1 : -1]]
        if event[_ESTIMATE] and cells[_COUNT] is not None:
            cells[_COUNT] = f"~{cells[_COUNT]}"
        yield {"event": dict(zip(COLUMNS, cells, strict=True))}


def _readings(records: Snapshot, progress: Progress | None) -> Iterator[dict]:
    for row in told(progress, records.readings(), records.readings_number, "readings written"):
        yield {"reading": reading_of(row)}


def reading_of(row: LoggedRow) -> dict:
    """The reading as an object."""
    fields = {"time": row.when, "place": row.place, "low": row.low, "high": row.high}
    return {**fields, "fold": 1} if row.fold else fields
