"""Rows of a file and what is on record: which are known, which are new, and where the two disagree."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from nurserytui.records import label_text
from nurserytui.records.event_rows import COLUMNS, Row
from nurserytui.records.events import Event
from nurserytui.records.file_text import RowFault
from nurserytui.records.import_options import Options
from nurserytui.records.importing import Report
from nurserytui.records.order import in_order, standing
from nurserytui.records.progress import Progress
from nurserytui.records.settings import Settings


class Incoming(NamedTuple):
    """What a file brings."""

    rows: Sequence[Row]
    with_ids: set[str]
    """Ids that stand in the file: rows of a nursery, not of a hand-written table."""
    faults: list[RowFault]
    notes: list[str]


def settings_of(events: Iterable[Event]) -> Settings:
    """The settings after those events, given in the order in which they were recorded."""
    telling = [event for event in events if event.what == "setting" or event.what == "withdrawn"]
    return Settings.of(in_order(standing(telling)))


def take_in(incoming: Incoming, recorded: Mapping[str, Event], store, progress: Progress | None, options: Options) -> Report:
    """Write what is new in the rows, if nothing is wrong with any of them and all of it can have happened."""
    faults, notes = incoming.faults, incoming.notes
    new, known = sort_out(incoming.rows, recorded, faults)
    if not faults and new:
        written = store.append((row.event for row in new), progress)
        if not written.faults:
            return Report("events", len(new), known, (), tuple(notes))
    if new:
        # The store stops at the first layer that refuses; a keeper wants all faults of the file in one go.
        from nurserytui.records.diagnosing import ledger_faults

        more, unchecked = ledger_faults(list(recorded.values()), new, faults, progress)
        faults += more
        notes += unchecked
    faults.sort(key=lambda fault: fault.line)
    return Report("events", 0, known, tuple(faults), tuple(notes))


def sort_out(rows: Sequence[Row], recorded: Mapping[str, Event], faults: list[RowFault]) -> tuple[list[Row], int]:
    """(rows that are new, how many are on record already), adding to `faults` where an id means two things."""
    new: list[Row] = []
    seen: dict[str, Row] = {}
    known = 0
    for row in rows:
        event = row.event
        other = recorded.get(event.id)
        if other is not None:
            known += 1
            if other != event and (apart := differing(event, other)):
                faults.append(RowFault(row.line, "id", f"event {event.id} is on record with other content: {apart}"))
        elif event.id in seen:
            known += 1
            if event != seen[event.id].event:
                faults.append(RowFault(row.line, "id", f"id {event.id} stands for another row on line {seen[event.id].line}"))
        else:
            seen[event.id] = row
            new.append(row)
    return new, known


FILLED_IN = ("cohort", "stage", "enclosure")
"""Columns that are filled in where only one fits, so that one nursery may have them and another not."""


def differing(told: Event, recorded: Event) -> str:
    """Where the two versions of one event differ, in words; "" where all that the row tells is on record."""
    apart = []
    for name in COLUMNS:
        new, old = getattr(told, name), getattr(recorded, name)
        if name == "count" and new is not None and (new, told.estimate) != (old, recorded.estimate):
            apart.append(f"{name} is {_count(recorded)} here and {_count(told)} in the file")
        elif name not in ("id", "count") and not _like(name, new, old):
            apart.append(f"{name} is {_said(old)} here and {_said(new)} in the file")
    return "; ".join(apart)


def _like(name: str, new, old) -> bool:
    if new == old or new in ("", None) or (old == "" and name in FILLED_IN):
        return True
    return isinstance(new, str) and isinstance(old, str) and label_text.alike(new, old)


def _said(value) -> str:
    return "not said" if value in ("", None) else f"{value:g}" if isinstance(value, float) else repr(value)


def _count(event: Event) -> str:
    return "not said" if event.count is None else f"{'~' if event.estimate else ''}{event.count}"
