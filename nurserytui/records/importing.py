"""Importing a file: events or logger readings, told apart by the header. All or nothing, and every bad row is told at once."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from nurserytui.records.backups.by_itself import before_import
from nurserytui.records.errors import Damaged
from nurserytui.records.file_text import FileText, RowFault, text_of
from nurserytui.records.header import MAGIC
from nurserytui.records.import_options import Options
from nurserytui.records.kinds_of_file import kind_of_file
from nurserytui.records.other_nursery import is_itself
from nurserytui.records.progress import Progress, told
from nurserytui.records.tables import Table, table_of
from nurserytui.records.uncollected import uncollected


class Report(NamedTuple):
    """What came of an import. With faults nothing was written."""

    kind: str
    """`events`, `readings`, or "" if the file is neither."""
    added: int
    known: int
    """Rows that the nursery had already."""
    faults: tuple[RowFault, ...]
    warnings: tuple[str, ...] = ()
    readings_added: int = 0
    """Readings that came with events, of another nursery."""
    readings_known: int = 0
    told: tuple[str, ...] = ()
    """What the keeper should see of what came in, and how all of it is taken back."""


@uncollected()
def import_file(path: str | Path, store, progress: Progress | None = None, options: Options | None = None) -> Report:
    """Import a file into a Store, after a backup of it: a table of events or of readings, JSON Lines, or another nursery.

    Errors of the file are in the report; StoreError if a nursery cannot be read or written. `progress` is told how many rows are read,
    checked and written, and may raise `Stopped`: then nothing is written.
    """
    path, options = Path(path), options or Options()
    if is_itself(path, store):
        # Opening it, and closing it again, would give up the store's own locks on it.
        return Report("", 0, 0, (RowFault(0, "", "this is the nursery itself"),))
    if path.is_dir():
        return Report("", 0, 0, (RowFault(0, "", "this is a folder: say which file in it"),))
    if path.exists() and not path.is_file():  # a pipe would never end
        return Report("", 0, 0, (RowFault(0, "", "this is no file that can be read through: say one with a table in it"),))
    if path.exists() and not path.is_file():
        return Report("", 0, 0, (RowFault(0, "", "this is no ordinary file: name another"),))
    try:
        with open(path, "rb") as file:
            magic = file.read(len(MAGIC))
        if magic == MAGIC:
            return _nursery(path, store, progress, options)
        if other := kind_of_file(path, magic):
            return Report("", 0, 0, (RowFault(0, "", other),))
        text = text_of(path, progress)
        if isinstance(text, RowFault):
            return Report("", 0, 0, (text,))
        report = (_lines if text.starts_with("{") else _table)(text, store, progress, options)
    except OSError as error:
        return Report("", 0, 0, (RowFault(0, "", f"the file cannot be read: {error.strerror}"),))
    return report._replace(warnings=(*([text.note] if text.note else []), *report.warnings))


def _nursery(path: Path, store, progress: Progress | None, options: Options) -> Report:
    from nurserytui.records.merging import Incoming, take_in
    from nurserytui.records.other_nursery import OtherNursery
    from nurserytui.records.store import Store

    with Store.open(path, create=False, read_only=True) as other, closing(OtherNursery(other)) as nursery:
        try:
            rows = nursery.read(progress)
        except UnicodeDecodeError:
            raise Damaged(f"{path} is damaged: there is text in it that is none") from None
        ids = {row.event.id for row in rows}
        incoming = Incoming(rows, ids, nursery.faults, [], nursery.readings, nursery.readings_count, "event")
        return _backed_up(store, progress, lambda: take_in(incoming, _recorded(store), store, progress, options))


def _lines(text: FileText, store, progress: Progress | None, options: Options) -> Report:
    from nurserytui.records.event_lines import EventLines
    from nurserytui.records.merging import Incoming, take_in

    lines = EventLines(text.opened)
    rows = lines.read(lambda file: told(progress, file, text.lines, "rows read"))
    incoming = Incoming(rows, lines.ids, lines.faults, lines.notes, lines.readings, lines.readings_count)
    return _backed_up(store, progress, lambda: take_in(incoming, _recorded(store), store, progress, options))


def _recorded(store) -> dict:
    return {event.id: event for event in store.events()}


def _table(text: FileText, store, progress: Progress | None, options: Options) -> Report:
    with text.opened() as file:
        table = table_of(file, text.opened)
        if isinstance(table, RowFault):
            return Report("", 0, 0, (table,))
        if progress:
            table = table._replace(rows=told(progress, table.rows, max(text.lines - table.line, 1), "rows read"))
        return _either(table, text, store, progress, options)


def _either(table: Table, text: FileText, store, progress: Progress | None, options: Options) -> Report:
    """Events or readings, as the header says."""
    from nurserytui.records.columns import plain

    there = {plain(name) for name in (*table.header, *table.written)}
    names = there | {plain(ours) for theirs, ours in options.columns.items() if plain(theirs) in there}
    if "what" in names:
        from nurserytui.records.event_import import import_events

        return _backed_up(store, progress, lambda: import_events(table, store, progress, options))
    if any(name.startswith("temperature") for name in names):
        from nurserytui.records.reading_rows import import_readings

        return _backed_up(store, progress, lambda: import_readings(table, store, options))
    from nurserytui.records.columns import no_such
    from nurserytui.records.headers import neither
    from nurserytui.records.titles import header_below

    reason = neither(table.header)
    if below := header_below(text.opened, table.line):
        above = f"line {table.line}" if below == table.line + 1 else f"lines {table.line} to {below - 1}"
        reason = f"this does not look like a header, but line {below} does: delete {above} and import again"
    strange = [no_such(theirs, table.line, table.written) for theirs in options.columns if plain(theirs) not in there]
    return Report("", 0, 0, (RowFault(table.line, "", reason), *strange))


def _backed_up(store, progress: Progress | None, load: Callable[[], Report]) -> Report:
    """What comes of loading after the nursery was copied, where the keeper's rule wants that. Nobody else writes meanwhile: what is known
    already, and what can have happened, is of the records that the file is added to."""
    from nurserytui.records.import_back import way_back

    untold = before_import(store, progress)
    with store.held():
        back = way_back(store)
        report = load()
    if untold:
        report = report._replace(warnings=(*report.warnings, untold))
    came = report.added or report.readings_added
    return report._replace(told=(*report.told, back(report))) if came and back else report
