"""Importing a CSV file: events or logger readings, told apart by the header. All or nothing, and every bad row is told at once."""

from pathlib import Path
from typing import NamedTuple

from nurserytui.records.progress import Progress, told
from nurserytui.records.tables import BrokenRow, RowFault, table_of, text_of


class Report(NamedTuple):
    """What came of an import. With faults nothing was written."""

    kind: str
    """`events`, `readings`, or "" if the file is neither."""
    added: int
    known: int
    """Rows that the nursery had already."""
    faults: tuple[RowFault, ...]
    warnings: tuple[str, ...] = ()


def import_file(path: str | Path, store, progress: Progress | None = None) -> Report:
    """Import a file into a Store. Errors of the file are in the report; StoreError if the nursery cannot be written.

    `progress` is told how many rows are read, checked and written, and may raise `Stopped`: then nothing is written.
    """
    text = text_of(Path(path))
    if isinstance(text, RowFault):
        return Report("", 0, 0, (text,))
    table = table_of(text)
    if isinstance(table, RowFault):
        return Report("", 0, 0, (table,))
    if progress:
        table = table._replace(rows=told(progress, table.rows, max(text.count("\n") - 1, 1), "rows read"))
    try:
        if "what" in table.header:
            from nurserytui.records.event_rows import import_events

            return import_events(table, store, progress)
        if any(name.startswith("temperature") for name in table.header):
            from nurserytui.records.reading_rows import import_readings

            return import_readings(table, store, progress)
    except BrokenRow as broken:
        return Report("", 0, 0, (broken.fault,))
    shown = ", ".join(table.header)[:80]
    reason = f"the header is neither that of events (when, what, …) nor of readings (time, place, temperature_C): {shown}"
    return Report("", 0, 0, (RowFault(1, "", reason),))
