"""Lines that would change what was written before: `delete A`, `undo the find of A`, `correct: A had 5 eggs`, `I mistyped`."""

from __future__ import annotations

import re

from nurserytui.language.line import Line
from nurserytui.language.request import Request

SURELY = frozenset(
    "delete remove erase scrap discard wipe strike get undo take withdraw cancel revert retract correct correction edit amend".split()
)
"""The words that such lines begin with."""
_ALL = r"(?: (?:the|my|that|this|whole|all|of|entire|record|records|entry|entries|cohort|group|batch))*"
GONE = re.compile(
    rf"(?:delete|remove|erase|scrap|discard|wipe|strike|get rid of)(?: out)?{_ALL} COHORT(?: (?:please|again|completely|entirely))*"
)
FIND = re.compile(
    r"(?:undo|take back|withdraw|delete|remove|erase|scrap|cancel|revert|retract)(?: (?:the|my|that|first))* (?:find|finding|found|arrival|laying)"
    r"(?: (?:of|for|the|cohort|group))* COHORT(?: please)?"
)  # fmt: skip
RIGHTED = re.compile(r"(?:correct|correction|edit|amend)\b.* ?COHORT\b.*")
MISTYPED = re.compile(
    r"i (?:mistyped|made a (?:typo|mistake|typing error)|typed (?:it|that|something) wrong(?:ly)?)(?: it| that| something)?"
)


def told(line: Line, nursery, context) -> Request | None:
    """The line as a wish to change older records, which `answers/older_records.py` answers; None if it is none."""
    if not line.tokens or "?" in line.text:
        return None
    first, *more = (token.text for token in line.tokens[:2])
    if first not in SURELY and (first, *more) not in (("i", "mistyped"), ("i", "made"), ("i", "typed")) and first != "please":
        return None
    from nurserytui.language.record_clauses import items_of

    items = items_of(line, nursery.ledger.cohorts)
    phrase = " ".join("COHORT" if item.kind == "cohort" else item.word for item in items).removeprefix("please ")
    cohorts = tuple(dict.fromkeys(item.span.value for item in items if item.kind == "cohort"))
    if MISTYPED.fullmatch(phrase):
        kind = "mistyped"
    elif len(cohorts) != 1:
        return None
    elif FIND.fullmatch(phrase):
        kind = "find"
    elif GONE.fullmatch(phrase):
        kind = "delete"
    elif RIGHTED.fullmatch(phrase) and not _just_told(cohorts[0], nursery, context):
        kind = "righted"
    else:
        return None
    number = next((item.span.value for item in items if item.word == "NUMBER" and isinstance(item.span.value, int)), None)
    return Request(
        line.text,
        "undo",
        cohorts=cohorts,
        count=number,
        cues=frozenset(("older", kind)),
        plain=line.plain,
        layer="grammar",
        score=1.0,
    )


def _just_told(cohort: str, nursery, context) -> bool:
    """Whether the last record of the conversation is about that cohort: a correction puts that one right."""
    group = nursery.ledger.chronicle.together(context.last_group) if context.last_group else ()
    return any(cohort in (event.cohort, event.to) for event in group)
