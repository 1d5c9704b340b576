"""A keeper's own table that comes again after it was changed: rows that were put right count beside what they were, and rows that were taken
back since stay taken back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from nurserytui.records.event_rows import Row, lines_named
from nurserytui.records.event_words import written
from nurserytui.records.events import Event
from nurserytui.records.order import withdrawn_ids
from nurserytui.records.row_identity import is_row_id

NOTED = 5
_OFTEN = ("note", "setting", "temperature", "withdrawn")
"""Events of which several of one day say nothing of each other."""


def told_again(rows: Sequence[Row], new: Sequence[Row], recorded: Mapping[str, Event], with_ids: set[str]) -> list[str]:
    """What to say of rows without ids of their own that are on record and taken back, and of those that look like a row of an earlier file
    put right."""
    if not recorded:
        return []
    gone = withdrawn_ids([*recorded.values()])
    notes = []
    back = [row.line for row in rows if row.event.id in gone and row.event.id in recorded and row.event.id not in with_ids]
    if back:
        was = "1 was" if len(back) == 1 else f"{len(back):,} were"
        notes.append(f"of the rows already known {was} taken back since ({lines_named(back)}) and stay so")
    return notes + _put_right(rows, new, recorded, with_ids, gone)


def _put_right(
    rows: Sequence[Row], new: Sequence[Row], recorded: Mapping[str, Event], with_ids: set[str], gone: set[str]
) -> list[str]:
    fresh = [row for row in new if row.event.id not in with_ids and row.event.what not in _OFTEN]
    if not fresh:
        return []
    there = {row.event.id for row in rows}
    older: dict[tuple, list[Event]] = {}
    for event in recorded.values():
        if event.id not in there and event.id not in gone and is_row_id(event.id):
            older.setdefault(_spot(event), []).append(event)
    notes = []
    if not older:
        return notes
    for row in fresh:
        alike = older.get(_spot(row.event), [])
        was = next((event for event in alike if _fits(row.event, event)), None)
        if was is None:
            continue
        alike.remove(was)
        notes.append(
            f"line {row.line}: {written(row.event)} looks like a row of an earlier file put right: {written(was)}. Both count. If it is one "
            f"event, take the older one back by importing a table with the columns when,what,withdraws and the row "
            f"{was.day},withdrawn,{was.id}"
        )
    return notes[:NOTED] + ([f"{len(notes) - NOTED:,} more rows that look like that"] if len(notes) > NOTED else [])


def _spot(event: Event) -> tuple:
    return event.day, event.what, event.cohort.casefold(), event.mark.casefold()


def _fits(told: Event, was: Event) -> bool:
    """Whether two events are of the same group of animals, or of one place; what a row left out was filled in on record."""
    if not told.cohort and told.enclosure.casefold() != was.enclosure.casefold():
        return False
    return all(
        not getattr(told, name) or not getattr(was, name) or getattr(told, name).casefold() == getattr(was, name).casefold()
        for name in ("stage", "enclosure", "to", "host", "species")
    )
