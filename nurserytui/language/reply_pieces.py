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
        cues=opened.cues - {"doubted", "figured", "holed"} | ({"doubted"} if unequal else set()),
        plain=line.plain,
        layer="reply",
    )


LISTED = ("cohort", "mark", "enclosure", "plant")
AROUND = frozenset("and & + plus also both the a an from in of on it was were they just all too".split())
"""What a list of names may hold besides them."""


def listed(line: Line, items: list[Item], nursery, context) -> Request | None:
    """The open record once for each of the names of a reply that are all that was asked for (`tub 2 and jar 1`). Of so many animals as
    there are names each is one, which is asked; of another number it is asked how many of each."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or not opened.drafts:
        return None
    names = [item for item in items if item.kind in LISTED]
    kinds = {"cohort" if item.kind == "mark" else item.kind for item in names}
    if len(names) < 2 or len(kinds) > 1 or any(item.word not in AROUND for item in items if item not in names):
        return None
    asked = record_replies.asked_about(context, opened)
    draft = opened.drafts[asked]
    if (
        draft.what == "moved"
        and kinds != {"cohort"}
        or draft.cohort
        or getattr(draft, "host" if kinds == {"plant"} else kinds.copy().pop())
    ):
        return None
    counted = isinstance(draft.count, int)
    base = draft._replace(count=1 if draft.count == len(names) else None) if counted else draft._replace(count=None)
    each = tuple(record_slots.filled(base._replace(unknown="", impossible=""), [item], line, nursery.now) for item in names)
    return opened._replace(
        text=line.text,
        drafts=(*opened.drafts[:asked], *each, *opened.drafts[asked + 1 :]),
        cues=opened.cues - {"doubted", "holed"} | ({"doubted"} if counted else set()),
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
