"""What became of the difference that a stocktake left: `they vanished`, `the 13 was only a guess`, `I had missed them`."""

from __future__ import annotations

from nurserytui.language import record_replies
from nurserytui.language.clause import Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_reading import read
from nurserytui.language.record_words import NEGATIONS
from nurserytui.language.request import Request

FATES = (
    ("missing", frozenset("missing vanished gone disappeared unaccounted".split())),
    ("estimate", frozenset("estimate estimated guess guessed guesstimate miscounted miscount wrong roughly approximate".split())),
    ("missed", frozenset("missed overlooked miscounted miscount hiding hidden wrong guess guessed estimate".split())),
    ("returned", frozenset("back returned reappeared".split())),
    ("found", frozenset("new extra".split())),
)
"""What an option says of the difference, and the words of a reply that mean it."""
LONGEST = 10


def told(line: Line, items: list[Item], nursery, context) -> Request | None:
    """The open stocktake with the difference explained; None where the reply names animals or another number, or could mean several."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or not opened.drafts or len(items) > LONGEST:
        return None
    asked = record_replies.asked_about(context, opened)
    if opened.drafts[asked].what != "counted":
        return None
    options = tuple(getattr(context.last.answer, "options", ()) or ())
    said = {str(item.span.value) for item in items if item.word == "NUMBER"}
    if any(item.span is not None and item.word != "NUMBER" for item in items) or not all(
        any(number in option.split() for option in options) for number in said
    ):
        return None
    draft = _left(items, line, options, nursery)
    if draft is None:
        words = {two.word for one, two in zip([None, *items], items) if one is None or one.word not in NEGATIONS}
        meant = {option for key, fate in FATES if fate & words for option in options if key in option.split()}
        draft = record_replies.draft_of_option(meant.pop(), nursery) if len(meant) == 1 else None
    return record_replies.patched(line, opened, asked, draft, override=True) if draft is not None else None


def _left(items: list[Item], line: Line, options: tuple[str, ...], nursery) -> Draft | None:
    """All of the difference as dead, or gone in the other way that the line tells (`they flew off`, `died of a virus`)."""
    died = next((option for option in options if option.endswith("died")), "")
    found = read(line, items, nursery) if died else []
    if len(found) != 1 or found[0].what not in ("died", "escaped", "released", "given"):
        return None
    lost = record_replies.draft_of_option(died, nursery)
    if lost is None or found[0].count not in (None, "all", "rest", lost.count):
        return None
    return lost._replace(what=found[0].what, detail=found[0].detail)
