"""A record that was asked about and not answered at once: what was said in between does not lose it, while the line that answers it
says that it does (`it was a pickle`, `the ones in tub 3`), or nothing that was understood came in between."""

from __future__ import annotations

import re
from types import SimpleNamespace

from nurserytui.language.context import Context
from nurserytui.language.line import Line
from nurserytui.language.request import Request

RIGHTING = re.compile(r"\b(?:meant|(?:i|we) mean)\b")
"""Words by which a line that looks like a question answers what was asked."""
POINTING = re.compile(
    r"(?:(?:right|ok|okay|ah|oh|sorry|well|so|and|yes|found it|got it)[ ,]*)*(?:(?:it|that|they|those|these|this|he|she) (?:was|were|is|are)|"
    r"(?:its|it's|they're|that's|thats|from|of)|the (?:one|ones|two|three|pair))\b"
)
"""How a line begins that answers a question which others came after."""
SMALL = frozenset(
    """
    it that they those these this he she was were is are its the a an one ones of in from at on my our them and so right ok okay ah oh
    well sorry yes then think i guess probably there all both inside mean meant no not actually just only
    """.split()
)
"""Words that such an answer may hold besides names and numbers."""
NAMING = ("cohort", "mark", "species", "enclosure", "stage", "number")
"""Kinds of items of which such an answer holds one at least."""
LONGEST = 10
DOUBTING = 4
"""Words at most in front of a `?` inside a line that only say again what was asked (`no P? then B`)."""


def answered(line: Line, nursery, context: Context) -> Request | None:
    """The record that waits, with the parts that the line adds; None where the line is no answer to it."""
    if len(line.tokens) > LONGEST:
        return None
    if context.open is not None and context.open.topic == "record":
        before, mark, after = line.text.partition("?")
        return _reply(line, nursery, context) if mark and after.strip() and len(before.split()) <= DOUBTING else None
    asked = context.waiting
    if "?" in line.text:
        return None
    idle = all(turn.answer.topic == "help" for turn in context.turns[context.turns.index(asked) + 1 :])
    if not (idle or POINTING.match(line.plain)):
        return None
    return _reply(line, nursery, SimpleNamespace(open=asked.request, last=asked, turns=[asked], last_group=context.last_group))


def _reply(line: Line, nursery, context) -> Request | None:
    from nurserytui.language import record_replies, reply_numbers
    from nurserytui.language.record_items import items_of

    items = items_of(line, nursery.ledger.cohorts)
    if not any(item.kind in NAMING for item in items):
        return None
    if any(item.span is None and item.word not in SMALL and not _said_before(item.raw, line) for item in items):
        return None
    return (
        reply_numbers.righted(line, items, context)
        or record_replies.short_answer(line, items, nursery, context)
        or record_replies.reply(line, items, nursery, context)
    )


def _said_before(word: str, line: Line) -> bool:
    """Whether a word stands in front of a `?` inside the line: there it only says again what was asked."""
    before, mark, _ = line.text.partition("?")
    return bool(mark) and word in before.split()
