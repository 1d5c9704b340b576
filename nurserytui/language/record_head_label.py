"""The label of new animals in front of the line that tells of them (`R1: one red admiral egg found on a nettle leaf`)."""

from __future__ import annotations

import re

from nurserytui.language.clause import Clause
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_labels import looks_like_label, raw_label

HEAD = re.compile(r"\s*[:,]|\s+[-–—]\s")
"""What parts a label in front from the line."""


def in_front(line: Line, items) -> str:
    """The label that stands alone in front of these items; "" for none."""
    alone = bool(items) and not items[0].span and HEAD.match(line.text[items[0].end :]) is not None
    label = raw_label(line, items[0]) if alone else ""
    return label if looks_like_label(label) else ""


def labelled(line: Line, clauses: list[Clause], found: list[Draft]) -> list[Draft]:
    """The drafts, the one of those that came in with the label that stands alone in front."""
    new = [at for at, draft in enumerate(found) if draft.what in ("laid", "found")]
    label = in_front(line, clauses[0].items) if clauses and len(new) == 1 and not found[new[0]].cohort else ""
    if not label:
        return found
    draft = found[new[0]]
    note = ", ".join(piece for piece in draft.note.split(", ") if piece != label)
    return [*found[: new[0]], draft._replace(cohort=label, unknown="", note=note), *found[new[0] + 1 :]]
