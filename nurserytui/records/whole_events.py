"""Events that another nursery has written out whole: what can be wrong with one before it is looked at beside the records."""

from __future__ import annotations

from nurserytui.records import label_text
from nurserytui.records.events import Event
from nurserytui.records.identity import group_of
from nurserytui.records.row_identity import is_row_id
from nurserytui.records.validating import Finding, findings


def wrong_with(event: Event) -> list[Finding]:
    """(column, reason) of everything that is wrong with the event by itself; it has to have an id."""
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
