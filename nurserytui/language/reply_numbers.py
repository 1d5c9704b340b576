"""A number put right while the record that it belongs to is still asked about: `only 2 then`, `actually 4`, `all of them`, `make it 9 for B`."""

from __future__ import annotations

from nurserytui.language import choosing, record_replies
from nurserytui.language.clause import STAGES, Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_events import ANIMAL_EVENTS
from nurserytui.language.record_words import ALL_WORDS
from nurserytui.language.request import Request

STEERING = frozenset(
    "actually only just make mean meant sorry no oh wait oops then rather instead not correction hang well".split()
)
"""Words of which a line holds one at least that puts another number in the place of the one told."""
SMALL = STEERING | frozenset(
    """
    ah hm er um ok okay right so i it that this was were is are be in fact of the them those these they there thats its for on to by
    one ones two did has have had said say says must should have been really after though but and
    """.split()
)
"""Words that such a line may hold besides."""
WHOLE = ALL_WORDS | frozenset("both lot whole".split())
LONGEST = 10


def righted(line: Line, items: list[Item], context) -> Request | None:
    """The open record with the number that the line puts in, None where the line tells more than that. `all` and `both` are numbers only
    where a number is asked for."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or not opened.drafts or len(items) > LONGEST:
        return None
    first = _first_part(items)
    words = [item.word for item in first]
    right = _numbers(first)
    whole = bool(WHOLE & set(words)) and choosing.asks_a_number(context)
    steers = bool(STEERING & set(words)) and not (words[0] in ("no", "not") and len(words) == 1)
    if len(right) > 1 or not (right and (steers or whole) or whole) or words == ["NUMBER"]:
        return None
    asked = _meant(first, opened.drafts, record_replies.asked_about(context, opened))
    if asked is None or opened.drafts[asked].what not in ANIMAL_EVENTS or not _nothing_else(first, opened.drafts[asked]):
        return None
    count = right[0] if right else "both" if "both" in words else "all"
    return record_replies.patched(line, opened, asked, Draft(opened.drafts[asked].what, count=count), override=True)


def _first_part(items: list[Item]) -> list[Item]:
    """The items up to the stop behind the first number or word for all of them: what follows says why."""
    for at, item in enumerate(items):
        if item.stop and (_numbers(items[: at + 1]) or any(one.word in WHOLE for one in items[: at + 1])):
            after = [one.word for one in items[at + 1 :]]
            return items if after[:1] in (["not"], ["i"], ["sorry"], ["actually"]) else items[: at + 1]
    return items


def _numbers(items: list[Item]) -> list[int]:
    """The whole numbers that the line does not deny."""
    return [
        item.span.value
        for at, item in enumerate(items)
        if item.word == "NUMBER" and isinstance(item.span.value, int)
        if not (at and items[at - 1].word in ("not", "isnt", "wasnt", "werent"))
    ]


def _meant(items: list[Item], drafts: tuple[Draft, ...], asked: int) -> int | None:
    """Which of the drafts the line is about: that of the cohort it names, else the one asked about; None where it names another."""
    labels = {item.span.value for item in items if item.kind == "cohort"}
    if not labels:
        return asked
    return next((at for at, draft in enumerate(drafts) if {draft.cohort} == labels), None)


def _nothing_else(items: list[Item], draft: Draft) -> bool:
    """Whether all that the line names besides the number is named by the draft too."""
    same = {draft.cohort, draft.enclosure, draft.to, draft.stage}
    for item in items:
        if item.span is None and item.word not in SMALL and item.word not in WHOLE:
            return False
        if item.span is not None and item.word != "NUMBER" and item.span.value not in same and item.word not in STAGES:
            return False
    return True
