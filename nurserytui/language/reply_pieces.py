"""A reply that tells several apart which were asked about as one: `one A in tub 1 and two B` after `3 larvae died`."""

from __future__ import annotations

from nurserytui.language import record_replies, record_slots
from nurserytui.language.clause import JOINING, STAGES, Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_events import ANIMAL_EVENTS
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.request import Request

NAMING = STAGES | {"COHORT", "ENCLOSURE", "SPECIES"}


def told(line: Line, items: list[Item], nursery, context) -> Request | None:
    """The open record as one draft for each piece of the line with a number and a name; None for a reply of another kind. Where the numbers
    are not those that were told, it is asked whether they are right."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or not opened.drafts or best_verb(items, weak=False):
        return None
    asked = record_replies.asked_about(context, opened)
    draft = opened.drafts[asked]
    pieces = _pieces(items)
    named = [[item.word for item in piece] for piece in pieces]
    if draft.what not in ANIMAL_EVENTS or len(pieces) < 2 or not all(_tells(words) for words in named):
        return None
    drafts = []
    for piece in pieces:
        filled = record_slots.filled(Draft(draft.what), piece, line, nursery.now)
        if not isinstance(filled.count, int):
            return None
        parts = {
            part: getattr(filled, part) for part in ("cohort", "mark", "species", "stage", "enclosure") if getattr(filled, part)
        }
        base = (
            draft._replace(unknown="", impossible="")
            if "cohort" not in parts
            else draft._replace(species=None, unknown="", impossible="")
        )
        drafts.append(base._replace(count=filled.count, **parts))
    unequal = isinstance(draft.count, int) and sum(one.count for one in drafts) != draft.count
    return opened._replace(
        text=line.text,
        drafts=(*opened.drafts[:asked], *drafts, *opened.drafts[asked + 1 :]),
        cues=opened.cues - {"doubted", "holed"} | ({"doubted"} if unequal else set()),
        plain=line.plain,
        layer="reply",
    )


def _pieces(items: list[Item]) -> list[list[Item]]:
    """The items in pieces, as stops and joining words part them."""
    pieces: list[list[Item]] = [[]]
    for item in items:
        if item.word in JOINING and not item.span:
            pieces.append([])
            continue
        pieces[-1].append(item)
        if item.stop:
            pieces.append([])
    return [piece for piece in pieces if piece]


def _tells(words: list[str]) -> bool:
    return words.count("NUMBER") == 1 and not NAMING.isdisjoint(words)
