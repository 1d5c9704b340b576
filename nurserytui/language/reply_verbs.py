"""What happened put right while the record is still asked about: `they escaped, not died`."""

from __future__ import annotations

from nurserytui.language import record_corrections, record_replies
from nurserytui.language.clause import Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_events import ANIMAL_EVENTS
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.request import Request

LONGEST = 8


def righted(line: Line, items: list[Item], context) -> Request | None:
    """The open record as one of the event that the line puts in the place of the one told; None for a line that names anything else."""
    opened = getattr(context, "open", None)
    if (
        opened is None
        or opened.topic != "record"
        or not opened.drafts
        or len(items) > LONGEST
        or any(item.span for item in items)
    ):
        return None
    rest, denied = record_corrections.without_denied_verb(items)
    verb = best_verb(rest, weak=False) if denied else None
    asked = record_replies.asked_about(context, opened)
    draft = opened.drafts[asked]
    if verb is None or verb.what not in ANIMAL_EVENTS or draft.what not in ANIMAL_EVENTS or verb.what == draft.what:
        return None
    changed = Draft(verb.what, lead=rest[verb.first].raw)
    return record_replies.patched(line, opened, asked, changed, override=True)
