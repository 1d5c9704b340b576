"""Events that another nursery has written out whole: what can be wrong with one before it is looked at beside the records."""

from __future__ import annotations

from nurserytui.records import label_text
from nurserytui.records.events import Event
from nurserytui.records.identity import group_of
from nurserytui.records.row_identity import is_row_id
from nurserytui.records.validating import Finding, findings

_TEXTS = {name: str for name, value in Event("", "")._asdict().items() if isinstance(value, str)}
_WHOLE, _DECIMAL = int | None, float | int | None
_KINDS = {**_TEXTS, "instar": _WHOLE, "count": _WHOLE, "estimate": bool, "latitude": _DECIMAL, "longitude": _DECIMAL}
"""What each field of an event is: a damaged file may hold anything anywhere."""


def wrong_with(event: Event) -> list[Finding]:
    """(column, reason) of everything that is wrong with the event by itself; it has to have an id."""
    strange = [name for name, value in zip(event._fields, event, strict=True) if not isinstance(value, _KINDS[name])]
    if strange:
        return [(name, f"{getattr(event, name)!r} cannot stand there"[:80]) for name in strange]
    found = findings(event)
    if not event.id:
        found.append(("id", "the id is not said"))
    elif not (group_of(event.id) or is_row_id(event.id)):
        # An id of ours is of an event whose labels were taken as they are when it was written down.
        for name in label_text.COLUMNS:
            try:
                label_text.label(getattr(event, name))
            except ValueError as error:
                found.append((name, str(error)))
    return found
