"""What a clause without an event of its own adds to the event beside it."""

from __future__ import annotations

import re
from datetime import timedelta

from nurserytui.language import record_counts, record_days, record_labels, record_slots, record_unheld
from nurserytui.language.clause import STAGES, Clause
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import UNKNOWN
from nurserytui.language.record_events import ANIMAL_EVENTS, RESULT
from nurserytui.language.record_places import new_place, places_of
from nurserytui.language.record_words import CAUSE_WORDS, COMMON, DARK_WORDS, FEMALE, MALE, NO_IDEA


def modified(line: Line, draft: Draft, clause: Clause, now, late: bool = False) -> Draft:
    """The draft with what a clause of no event of its own adds: a label, a place, a time, a cause, a species, a sex."""
    items, words = clause.items, clause.words()
    if draft.what == "temperature" and draft.when is None and words == ["PERIOD"]:
        return draft._replace(when=record_days.when_of(items, now))
    if draft.what in ("note", "temperature", "setting"):
        return draft
    if late and set(words) & {"stay", "stays", "stayed", "staying"} and set(words) & (STAGES | {"COHORT", "NUMBER"}):
        return draft
    if late and draft.what == "prepupated" and set(words) & DARK_WORDS and "NUMBER" not in words:
        return draft._replace(what="sign", stage="larva", detail=line.text.strip(), note="")
    if late and draft.what == "renamed" and not draft.to and len(items) == 1 and items[0].kind != "enclosure":
        return draft._replace(to=items[0].span.value if items[0].kind == "cohort" else record_labels.raw_label(line, items[0]))
    if late and draft.what in ANIMAL_EVENTS - {"laid", "found", "sign"} and (remark := _remark(line, draft, clause)) is not None:
        return remark
    label, labelled = record_labels.label_in(items, line)
    headed = not late and draft.what in ("laid", "found") and line.text[items[-1].end :].lstrip().startswith(":")
    if not label and (headed or late and draft.what == "split" and not draft.to) and (label := record_labels.alone(items, line)):
        labelled = frozenset((0,))  # `R1: 3 eggs found`, `split 4 off as a new cohort, K-b`
    if late and draft.what == "split" and draft.to and "ENCLOSURE" in words and not draft.enclosure:
        return draft
    if label and draft.what in ("laid", "found") and not draft.cohort:
        draft = draft._replace(cohort=label)
    elif label and draft.what == "split" and not draft.to:
        draft = draft._replace(to=label)
    elif label and draft.what == "laid" and not draft.parent and label != draft.cohort:
        draft = draft._replace(parent=draft.cohort, cohort=label)  # `K: a female laid 40, call them K2`
    elif label and draft.what in ("laid", "found"):
        pass
    else:
        labelled = frozenset()
    before = draft
    if draft.what == "found" and draft.count == 1 and not draft.stage and record_counts.by_stage(items):
        draft = draft._replace(count=None)  # `found a peacock nest, 60 caterpillars`
    if draft.what == "moved" and late and not draft.to:
        said = places_of(items, "moved")
        if not said and (named := new_place(items)):
            said = {"to": named}
        goal = said.get("to") or ("" if draft.enclosure == said.get("enclosure") else said.get("enclosure", ""))
        source = said.get("enclosure", "") if said.get("to") else ""
        draft = draft._replace(to=goal, enclosure=draft.enclosure or source)
        items = tuple(item for item in items if item.word != "ENCLOSURE")
        if not items:
            return draft
    if NO_IDEA.search(" ".join(words)) and draft.what == "found":
        return draft._replace(species=draft.species or UNKNOWN)
    if draft.what == "found" and draft.cohort and not label:
        items = tuple(item for item in items if item.kind != "cohort")
    if draft.inherits and "ENCLOSURE" in words:
        draft = draft._replace(enclosure="", inherits=False)
    draft = record_slots.filled(draft, items, line, now, frozenset(), labelled)
    draft = draft._replace(host=draft.host if draft.what in ("laid", "found", "fed", "cut", "watered", "stocked") else None)
    if draft.what in ("laid", "found"):
        draft = draft._replace(unknown="")
        if draft.instar and not draft.stage:
            draft = draft._replace(stage="larva")
    if (
        late
        and draft.count != before.count
        and draft.what not in ("laid", "found")
        and (before.count is not None or set(words) & {"left", "remaining", "still", "go"})
    ):
        draft = draft._replace(count=before.count)
    if late and draft.what in RESULT and draft.stage != before.stage:
        draft = draft._replace(stage=before.stage)
    if draft.what == "moulted":
        draft = draft._replace(stage="")
    if late and draft.what not in ("laid", "found"):
        draft = draft._replace(refers=before.refers)
    if draft.what in ("emerged", "released") and not draft.detail:
        draft = draft._replace(detail=record_counts.sex_of(items))
        if draft.detail and draft.count is None and set(words) & ((MALE | FEMALE) - {"males", "females", "boys", "girls"}):
            draft = draft._replace(count=1)
    if draft.what in ("laid", "found"):
        return record_unheld.noted(line, items, draft, labelled=labelled)
    return _with_words(line, draft, clause, late, bool(label))


def _remark(line: Line, draft: Draft, clause: Clause) -> Draft | None:
    """What is said behind an event of the place (`2 died, jar 1 smelled bad`), or of a year (`first ones this year`): a note. Where
    no other place is said, they died there."""
    named = [item for item in clause.items if item.word not in ("the", "my", "our", "that", "this", "whole")]
    tells = any(not item.span and item.word.isalpha() and item.word not in COMMON for item in named)
    of_place = tells and named[0].word == "ENCLOSURE" and draft.what != "moved"
    of_year = any(item.kind == "period" and item.span.value.end - item.span.value.start > LONG for item in clause.items)
    if not (of_place or of_year and {"NUMBER", "COHORT", "ENCLOSURE"}.isdisjoint(clause.words())):
        return None
    text = clause.text(line).strip()
    place = named[0].span.value if of_place else ""
    return draft._replace(note=f"{draft.note}, {text}" if draft.note else text, enclosure=draft.enclosure or place)


LONG = timedelta(days=3)
"""A time longer than this says when nothing happened."""


def _with_words(line: Line, draft: Draft, clause: Clause, late: bool, labelled: bool) -> Draft:
    """The draft with the clause's own words as its cause, its sign or its note, where they tell more than its parts."""
    words, text = set(clause.words()), clause.text(line).strip()
    besides = f"{draft.detail}, {text}" if draft.detail else text
    if draft.what == "died" and late and words & (CAUSE_WORDS | {"AGENT"}) and not words & {"rest", "others", "still"}:
        return draft._replace(detail=besides)
    if not late or (draft.what == "tested" and not draft.detail):
        return draft
    if draft.what == "counted" and WHY_OTHER.search(text.casefold()):
        return draft._replace(note=text)
    parts = labelled or words & {"ENCLOSURE", "PERIOD", "COHORT"} or len(clause.items) < 2
    if draft.what in ANIMAL_EVENTS and draft.what != "sign" and not parts:
        return draft._replace(note=f"{draft.note}, {text}" if draft.note else text)
    if draft.what == "sign":
        return draft._replace(detail=f"{draft.detail}, {text}")
    return draft._replace(detail=besides) if draft.what == "cleaned" else draft


WHY_OTHER = re.compile(r"\b(missed|miscounted|overlooked|missing|died|dead|lost|vanished|gone|escaped|wrong|estimate)\b")
"""Words that tell why a stocktake is not what was expected."""
