"""A reply that reads as a record of its own and has no verb, while the record it belongs to is asked about: `B from tub 1 to tub 8` after `moved three`."""

from __future__ import annotations

from nurserytui.language import record_replies
from nurserytui.language.clause import PREPOSITIONS, Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.request import Request


def completed(line: Line, items: list[Item], found: tuple[Draft, ...], context) -> Request | None:
    """The open record with what the line adds; None where the line tells with a word of its own what was done, or how many."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or not opened.drafts or len(found) != 1:
        return None
    asked = record_replies.asked_about(context, opened)
    before, told, verb = opened.drafts[asked], found[0], best_verb(items)
    same = told.what == before.what and told.count is None and before.count is not None
    worded = verb is not None and not items[verb.first].span and items[verb.first].word not in PREPOSITIONS
    clash = any(
        getattr(before, part) not in ("", getattr(told, part)) and getattr(told, part) for part in ("cohort", "enclosure", "to")
    )
    if not same or worded or clash:
        return None
    return record_replies.patched(line, opened, asked, told._replace(lead="", refers=False))
