"""What one clause of a record says of each part of an event, filled into its draft."""

from __future__ import annotations

from datetime import datetime

from nurserytui.language.clause import Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_counts import count_of, numbers_in
from nurserytui.language.record_days import when_of
from nurserytui.language.record_labels import unknown_label
from nurserytui.language.record_places import places_of
from nurserytui.language.record_words import BACK_WORDS

LASTING = frozenset(["prepupated", "missing", "escaped"])
"""Events told as how things stand since (`hanging since Monday`)."""
ORIGINS = ("site", "person", "coordinates", "remark")
"""Kinds of items of `record_origins`."""


def _origin(draft: Draft, item: Item) -> dict:
    """The parts that an item of `record_origins` fills; what has no room any more is noted."""
    value = item.span.value
    if item.kind == "coordinates" and draft.latitude is None:
        return {"latitude": value[0], "longitude": value[1]}
    part = {"site": "place", "person": "by", "remark": "note"}.get(item.kind, "note")
    if part != "note" and not getattr(draft, part):
        return {part: value}
    text = value if item.kind == "remark" else item.raw
    return {"note": f"{draft.note}, {text}" if draft.note else text}


def filled(
    draft: Draft, items, line: Line, now: datetime, taken: frozenset[int] = frozenset(), labelled: frozenset[int] = frozenset()
) -> Draft:
    """The draft with every part that these items say and that it does not have yet."""
    free = [item for at, item in enumerate(items) if at not in labelled]
    given: dict = {}
    for at, item in enumerate(items):
        if at in labelled or not item.span:
            continue
        if item.kind == "cohort" and not draft.cohort:
            given.setdefault("cohort", item.span.value)
        elif item.kind == "mark" and not draft.mark and not draft.cohort and "cohort" not in given:
            given.setdefault("cohort", item.span.value[0])
            given.setdefault("mark", item.span.value[1])
        elif item.kind == "species" and draft.species is None:
            given.setdefault("species", item.span.value)
        elif item.kind == "plant" and draft.host is None:
            given.setdefault("host", item.span.value)
        elif item.kind == "stage" and not draft.stage and at not in taken:
            given.setdefault("stage", item.span.value)
        elif item.kind == "instar" and draft.instar is None:
            given.setdefault("instar", item.span.value)
        elif item.kind in ORIGINS:
            given |= _origin(draft, item)
    given |= {key: value for key, value in places_of(free, draft.what).items() if not getattr(draft, key)}
    if draft.count is None:
        skip = frozenset(place - sum(1 for gone in labelled if gone < place) for place in taken if place not in labelled)
        counted = count_of(free, skip)
        if (
            draft.what in ("laid", "found")
            and counted.get("count") in ("all", "some")
            or draft.what == "laid"
            and not numbers_in(free)
        ):
            counted = {}
        given |= counted
    if draft.when is None:
        given["when"] = when_of(items, now, draft.what in LASTING)
    if not draft.cohort and "cohort" not in given and not draft.unknown:
        given["unknown"] = unknown_label(free, line)
    given["refers"] = draft.refers or bool({item.word for item in free if not item.span} & BACK_WORDS)
    given["other"] = draft.other or bool(
        {item.word for item in free if not item.span} & {"other", "others", "rest", "remaining", "else", "otherwise"}
    )
    return draft._replace(**given)
