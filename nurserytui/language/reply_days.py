"""The day that is given where one was told that no calendar has: `the 12th`, `i mean the 3rd`, after `on 32 august`."""

from __future__ import annotations

from nurserytui.language import record_days, record_replies
from nurserytui.language.clause import Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.request import Request
from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary

SMALL = frozenset("i mean meant it was the on sorry no oh of then actually that".split())
"""Words that such a line may hold besides the day."""


def told(line: Line, items: list[Item], nursery, context) -> Request | None:
    """The open record with the day of the month that the line gives, the last such day up to now."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or not any(draft.impossible for draft in opened.drafts):
        return None
    days = [item for item in items if item.kind in ("ordinal", "number")]
    if len(days) != 1 or any(item.span is None and item.word not in SMALL for item in items) or len(items) > len(SMALL):
        return None
    day = scan(f"on the {days[0].raw}", Vocabulary.of(nursery), nursery.now, nursery.settings)
    period = next((record_days.in_the_past(span.value, nursery.now) for span in day.of("period")), None)
    asked = record_replies.asked_about(context, opened)
    return record_replies.patched(line, opened, asked, Draft(opened.drafts[asked].what, when=period)) if period else None
