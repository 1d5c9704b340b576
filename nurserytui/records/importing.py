"""Importing a file: events or logger readings, told apart by the header. All or nothing, and every bad row is told at once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from nurserytui.records.backups.by_itself import before_import
from nurserytui.records.file_text import FileText, RowFault, text_of
from nurserytui.records.import_options import Options
from nurserytui.records.progress import Progress, told
from nurserytui.records.tables import Table, table_of


class Report(NamedTuple):
    """What came of an import. With faults nothing was written."""

    kind: str
    """`events`, `readings`, or "" if the file is neither."""
    added: int
    known: int
    """Rows that the nursery had already."""
    faults: tuple[RowFault, ...]
    warnings: tuple[str, ...] = ()


def import_file(path: str | Path, store, progress: Progress | None = None, options: Options | None = None) -> Report:
    """Import a file into a Store, after a backup of it. Errors of the file are in the report; StoreError if the nursery cannot be written.

    `progress` is told how many rows are read, checked and written, and may raise `Stopped`: then nothing is written.
    """
    options = options or Options()
    text = text_of(Path(path), progress)
    if isinstance(text, RowFault):
        return Report("", 0, 0, (text,))
    try:
        report = _table(text, store, progress, options)
    except OSError as error:
        return Report("", 0, 0, (RowFault(0, "", f"the file cannot be read: {error.strerror}"),))
    return report._replace(warnings=(*([text.note] if text.note else []), *report.warnings))


def _table(text: FileText, store, progress: Progress | None, options: Options) -> Report:
    with text.opened() as file:
        table = table_of(file, text.opened)
        if isinstance(table, RowFault):
            return Report("", 0, 0, (table,))
        if progress:
            table = table._replace(rows=told(progress, table.rows, max(text.lines - table.line, 1), "rows read"))
        return _either(table, store, progress, options)


def _either(table: Table, store, progress: Progress | None, options: Options) -> Report:
    """Events or readings, as the header says."""
    from nurserytui.records.columns import plain

    names = {plain(name) for name in table.header}
    names |= {plain(ours) for theirs, ours in options.columns.items() if plain(theirs) in names}
    if "what" in names:
        from nurserytui.records.event_import import import_events

        return _backed_up(store, progress, lambda: import_events(table, store, progress, options))
    if any(name.startswith("temperature") for name in names):
        from nurserytui.records.reading_rows import import_readings

        return _backed_up(store, progress, lambda: import_readings(table, store, options))
    from nurserytui.records.headers import neither

    return Report("", 0, 0, (RowFault(table.line, "", neither(table.header)),))


def _backed_up(store, progress: Progress | None, load: Callable[[], Report]) -> Report:
    """What comes of loading after the nursery was copied, where the keeper's rule wants that."""
    untold = before_import(store, progress)
    report = load()
    return report._replace(warnings=(*report.warnings, untold)) if untold else report
