"""Lines that would change what was written before: `delete A`, `undo the find of A`, `correct: A had 5 eggs`, `I mistyped`."""

from __future__ import annotations

import re

from nurserytui.language.line import Line
from nurserytui.language.request import Request
from nurserytui.language.small_words import TAKING_BACK

TAKING = (*TAKING_BACK, "remove", "erase", "revert", "retract")
DELETING = ("delete", "remove", "erase", "scrap", "discard", "wipe", "strike", "get rid of")
CORRECTING = ("correct", "correction", "edit", "amend")
BEGINNING = frozenset(words.split()[0] for words in (*TAKING, *DELETING, *CORRECTING)) | {"please"}
"""The words that such lines begin with."""
_ALL = r"(?: (?:the|my|that|this|whole|all|of|entire|record|records|entry|entries|cohort|group|batch))*"
GONE = re.compile(rf"(?:{'|'.join(DELETING)})(?: out)?{_ALL} COHORT(?: (?:please|again|completely|entirely))*")
FIND = re.compile(
    rf"(?:{'|'.join(TAKING)})(?: (?:the|my|that|first))* (?:find|finding|found|arrival|laying)(?: (?:of|for|the|cohort|group))* COHORT(?: please)?"
)
RIGHTED = re.compile(rf"(?:{'|'.join(CORRECTING)})\b.* ?COHORT\b.*")
MISTYPED = re.compile(
    r"i (?:mistyped|made a (?:typo|mistake|typing error)|typed (?:it|that|something) wrong(?:ly)?)(?: it| that| something)?"
)


def told(line: Line, nursery, context) -> Request | None:
    """The line as a wish to change older records, which `answers/older_records.py` answers; None if it is none."""
    if not line.tokens or "?" in line.text:
        return None
    first, *more = (token.text for token in line.tokens[:2])
    if first not in BEGINNING and (first, *more) not in (("i", "mistyped"), ("i", "made"), ("i", "typed")):
        return None
    from nurserytui.language.record_items import items_of

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
