"""What others did too, after a record that tells what: `the rest did too`, `so did 3 of B`, `2 more as well`."""

from __future__ import annotations

from nurserytui.language import record_slots
from nurserytui.language.clause import STAGES, Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_events import RESULT
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.record_words import REST_WORDS
from nurserytui.language.request import Request

DOING = frozenset("did do does have has had are is were was".split())
ALSO = frozenset("too also same likewise so now".split())
LIKE = frozenset(
    ("hatched", "prepupated", "pupated", "emerged", "moulted", "died", "released", "escaped", "moved", "given", "missing")
)
LONGEST = 12


def told(line: Line, items: list[Item], nursery, context) -> Request | None:
    """The event that was written last, of those whom the line says to have done it too."""
    last = context.last if context is not None else None
    answer = last.answer if last is not None else None
    if answer is None or answer.status != "recorded" or answer.topic != "record" or not answer.items or len(items) > LONGEST:
        return None
    words = [item.word for item in items]
    written = answer.items[0]
    if written.get("what") not in LIKE or DOING.isdisjoint(words) or ALSO.isdisjoint(words) or best_verb(items, weak=False):
        return None
    if "not" in words or "RANGE" in words:
        return None
    draft = record_slots.filled(Draft(written["what"], to=written.get("to", "")), items, line, nursery.now)
    if REST_WORDS & set(words):
        draft = draft._replace(count="rest")
    if draft.count is None or draft.what == "moved" and not draft.to:
        return None
    if not (draft.cohort or draft.species):
        place = draft.enclosure or written.get("enclosure", "")
        draft = draft._replace(cohort=written.get("cohort", ""), enclosure=place)
    if not draft.stage and draft.what not in RESULT and not STAGES & set(words):
        draft = draft._replace(stage=written.get("stage", ""))
    draft = draft._replace(refers=False, other=False, unknown="")
    return Request(line.text, "record", drafts=(draft,), plain=line.plain, layer="follow-up", score=1.0)
