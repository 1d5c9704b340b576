"""Animals that nobody knows, told of without a verb: `2 unknown larvae in tub 9`, `mystery cats x3 from the hedge, jar 6`."""

from __future__ import annotations

from nurserytui.language import record_labels, record_slots
from nurserytui.language.clause import STAGES, Clause, Item, Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import built
from nurserytui.language.record_counts import numbers_in, plural
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.record_words import NO_IDEA
from nurserytui.language.request import Request


def entered(line: Line, items: list[Item], nursery) -> tuple[Draft, ...]:
    """`B-2, 8 peacock eggs off the nettles, jar 5`: a label of no cohort yet, and so many of a species and stage; () for any other line."""
    words = [item.word for item in items]
    new = items[0].kind == "cohort" and items[0].span.value not in nursery.ledger.cohorts and items[0].stop
    if not new or not {"NUMBER", "SPECIES"} <= set(words) or STAGES.isdisjoint(words) or best_verb(items, weak=False):
        return ()
    if words.count("NUMBER") != 1 or "COHORT" in words[1:]:
        return ()
    draft = record_slots.filled(Draft("found", cohort=items[0].span.value), items[1:], line, nursery.now)
    return (draft._replace(unknown="", refers=False, to=""),)


THEY = frozenset(
    "they theyre it its these those are is a an turns turn out to be actually i it's now know that really be all both".split()
)
"""Words that may stand beside the species when those who were unknown are named (`turns out they are commas`)."""


def brought_in(line: Line, items: list[Item], now) -> tuple[Draft, ...]:
    """The find that such a line tells: so many of a stage, and where they are or what they are called; () for any other line."""
    if not NO_IDEA.search(line.plain) or "?" in line.text or best_verb(items, weak=False):
        return ()
    label, labelled = record_labels.label_in(items, line)
    words = [item.word for item in items]
    others = any(item.kind in ("cohort", "mark") for at, item in enumerate(items) if at not in labelled)
    counted = bool(numbers_in(items)) or any(item.word in STAGES and not plural(item) for item in items)
    if others or "SPECIES" in words or STAGES.isdisjoint(words) or not counted or not (label or "ENCLOSURE" in words):
        return ()
    behind = len(items) - 1
    return tuple(built(line, Clause(tuple(items), None), Verb("found", behind, behind, frozenset(), 1), now, False, []))


def named(line: Line, items: list[Item], nursery, context) -> Request | None:
    """The species, told right after they were written down, of those whom nobody knew."""
    last = context.last if context is not None else None
    answer = last.answer if last is not None else None
    if answer is None or answer.status != "recorded" or answer.about.get("species") != "unknown" or "?" in line.text:
        return None
    species = [item.span.value for item in items if item.kind == "species"]
    said = {item.word for item in items if item.kind != "species"}
    if len(species) != 1 or not said or not said <= THEY:
        return None
    draft = Draft("identified", cohort=answer.about.get("cohort", ""), species=species[0])
    return Request(line.text, "record", drafts=(draft,), plain=line.plain, layer="follow-up", score=1.0)
