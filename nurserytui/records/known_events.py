"""Which rows of a file are on record already, and where one event has two versions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from nurserytui.records import label_text
from nurserytui.records.event_rows import COLUMNS, Row
from nurserytui.records.event_words import value, written
from nurserytui.records.events import Event
from nurserytui.records.file_text import RowFault
from nurserytui.records.row_identity import is_row_id

FILLED_IN = ("cohort", "stage", "enclosure")
"""Columns that are filled in where only one fits, so that one nursery may have them and another not."""


def sort_out(
    rows: Sequence[Row], recorded: Mapping[str, Event], faults: list[RowFault], labels, species
) -> tuple[list[Row], int]:
    """(rows that are new, how many are on record already), adding to `faults` where an id means two things.

    `labels` is told of rows that differ in nothing but the label of a cohort; `species` knows which names are one.
    """
    new: list[Row] = []
    seen: dict[str, Row] = {}
    known = 0
    for row in rows:
        event = row.event
        other = recorded.get(event.id)
        if other is not None:
            known += 1
            apart = differing(event, other) if other != event else []
            if apart and is_row_id(event.id):
                apart = [name for name in apart if not species.alike(name, getattr(event, name), getattr(other, name))]
            if apart and not labels.relabelled(row, other, apart):
                where = "; ".join(f"{name} is {value(other, name)} here and {value(event, name)} in the file" for name in apart)
                reason = f"event {event.id} is on record with other content: {where}"
                faults.append(RowFault(row.line, "id", f"{reason} (here: {written(other)} | in the file: {written(event)})"))
        elif event.id in seen:
            known += 1
            if event != seen[event.id].event:
                faults.append(RowFault(row.line, "id", f"id {event.id} stands for another row on line {seen[event.id].line}"))
        else:
            seen[event.id] = row
            new.append(row)
    return new, known


def differing(told: Event, recorded: Event) -> list[str]:
    """The columns in which two versions of one event differ; none where all that is told is on record."""
    return [name for name in COLUMNS if name != "id" and not _alike(name, told, recorded)]


def _alike(name: str, told: Event, recorded: Event) -> bool:
    new, old = getattr(told, name), getattr(recorded, name)
    if new in ("", None) or new == old and name != "count" or (old == "" and name in FILLED_IN):
        return True
    if name == "count":
        return (new, told.estimate) == (old, recorded.estimate)
    if isinstance(new, float) and isinstance(old, float):
        return new == old or round(old, 1) == new  # coordinates that were given to others coarsely
    if not (isinstance(new, str) and isinstance(old, str)):
        return new == old
    if name in label_text.COLUMNS:
        return label_text.alike(new.casefold(), old.casefold())  # as the ledger takes them
    return new == old or label_text.alike(new, old)
