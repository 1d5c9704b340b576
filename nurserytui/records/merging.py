"""What a file brings into the nursery: all of it or nothing, and nothing while the file and the records disagree."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from nurserytui.records import moments
from nurserytui.records.differing_labels import Labels
from nurserytui.records.event_rows import Row
from nurserytui.records.events import Event
from nurserytui.records.file_text import RowFault
from nurserytui.records.import_options import Options
from nurserytui.records.importing import Report
from nurserytui.records.known_events import sort_out
from nurserytui.records.ledger import Fault
from nurserytui.records.outlying import Outlying
from nurserytui.records.progress import Progress, told
from nurserytui.records.readings import Reading
from nurserytui.records.readings_held import Held
from nurserytui.records.species_named import SpeciesNamed
from nurserytui.records.told_again import told_again
from nurserytui.records.two_keepers import both_corrected, left_out, told_by_both, zones_apart


class Incoming(NamedTuple):
    """What a file brings."""

    rows: Sequence[Row]
    with_ids: set[str]
    """Ids that stand in the file: rows of a nursery, not of a hand-written table."""
    faults: list[RowFault]
    notes: list[str]
    readings: Callable[[], Iterable[tuple[int, Reading]]] | None = None
    """Gives (line, reading) of each, with its own fold; None where there are none."""
    count: int = 0
    """How many readings."""
    unit: str = "line"
    """What the lines of the rows count."""


def take_in(incoming: Incoming, recorded: Mapping[str, Event], store, progress: Progress | None, options: Options) -> Report:
    """Write what is new in the rows, if nothing is wrong with any of them and all of it can have happened."""
    faults, notes = list(incoming.faults), list(incoming.notes)
    labels = Labels(options.cohorts)
    rows = labels.renamed(incoming.rows)
    species = SpeciesNamed(options.species, recorded.values())
    new, known = sort_out(rows, recorded, faults, labels, species)
    new = species.named(new, incoming.with_ids)
    faults += species.faults + species.unheard(rows)
    notes += species.notes
    faults += labels.conflicts(rows, new, recorded, incoming.with_ids)
    notes += labels.notes
    notes += told_again(rows, new, recorded, incoming.with_ids)
    if incoming.with_ids:
        notes += zones_apart(rows, new, recorded)
        new, kept = left_out(rows, new, recorded, options.settings)
        notes += kept
        faults += both_corrected(rows, new, recorded)
        notes += told_by_both(rows, new, recorded, incoming.unit)
    refused: tuple[Fault, ...] = ()
    if not faults and (new or incoming.count):
        held = Held(store, moments.zone(store.timezone()))
        readings: Iterable[Reading] = ()
        if incoming.readings and incoming.count:
            readings = held.looked_at(told(progress, incoming.readings(), incoming.count, "readings written"))
        written = store.append((row.event for row in new), progress, readings, merged=bool(incoming.with_ids))
        if not written.faults:
            notes += _outlying(new, options, incoming.unit)
            known_readings = incoming.count - written.readings
            return Report("events", len(new), known, (), (*notes, *held.notes), written.readings, known_readings)
        refused = written.faults
    if new:
        # The store stops at the first layer that refuses; a keeper wants all faults of the file in one go.
        from nurserytui.records.diagnosing import ledger_faults

        more, unchecked = ledger_faults(
            list(recorded.values()), new, faults, progress, merged=bool(incoming.with_ids), unit=incoming.unit
        )
        faults += more
        notes += unchecked
        if not faults:
            lines = {row.event.id: row.line for row in new}
            faults += [RowFault(lines[fault.event.id], "", fault.reason) for fault in refused]
    faults.sort(key=lambda fault: fault.line)
    return Report("events", 0, known, tuple(fault._replace(unit=incoming.unit) for fault in faults), tuple(notes))


def _outlying(rows: Sequence[Row], options: Options, unit: str) -> list[str]:
    outlying = Outlying(options.now)
    for row in rows:
        outlying.look(row.line, row.event.when)
    return outlying.notes(unit)
