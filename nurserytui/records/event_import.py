"""An events table into the nursery: its columns matched, its rows read, and what is new written if all of it can have happened."""

from __future__ import annotations

from nurserytui.records import moments
from nurserytui.records.columns import matched
from nurserytui.records.event_rows import COLUMNS, EventRows
from nurserytui.records.file_text import RowFault
from nurserytui.records.headers import lacking
from nurserytui.records.import_options import Options
from nurserytui.records.importing import Report
from nurserytui.records.merging import Incoming, take_in
from nurserytui.records.progress import Progress
from nurserytui.records.row_identity import Identities
from nurserytui.records.tables import Table


def import_events(table: Table, store, progress: Progress | None, options: Options) -> Report:
    """Write the events of the table, if every row can have happened."""
    columns = matched(table.header, COLUMNS, options.columns, table.line, collecting="note", shown=table.written)
    faults = list(columns.faults)
    if "when" not in columns.names:
        faults.append(RowFault(table.line, "when", lacking("when", table.header)))
    if faults:
        return Report("events", 0, 0, tuple(faults))
    recorded = {event.id: event for event in store.events()}
    settings = store.settings()
    order = options.dates or settings.dates
    on_record = {
        label for event in recorded.values() for label in (event.cohort, event.mark, event.enclosure, event.to, event.parent)
    }
    doubled = {label for label in on_record if "  " in label}
    rows = EventRows(table, columns, moments.zone(settings.timezone), order, Identities(recorded), doubled)
    found = rows.read()
    return take_in(Incoming(found, rows.with_ids, rows.faults, rows.notes), recorded, store, progress, options)
