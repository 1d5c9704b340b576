"""What the clause of a find, or of eggs that were laid, tells of those that come in."""

from __future__ import annotations

import re

from nurserytui.language import record_counts, record_unheld
from nurserytui.language.clause import STAGES, Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line

LARVAL = re.compile(r"(?:worms?|loopers?|woo?lly bears?)$", re.IGNORECASE)
"""Ends of names that only caterpillars have (`cabbage worms`, `inchworm`)."""


def brought_in(line: Line, items, draft: Draft, verb: Verb, labelled: frozenset[int]) -> Draft:
    """Animals that are new: a single one that is named without a number counts as one, and what a find has no part for is noted."""
    draft = draft._replace(unknown="", refers=False)
    if draft.what == "found" and draft.instar and not draft.stage:
        draft = draft._replace(stage="larva")
    if draft.what == "laid":
        draft = draft._replace(stage="egg")
    if not draft.stage and any(LARVAL.search(item.raw) for item in items):
        draft = draft._replace(stage="larva")
    staged = [item for item in items if item.word in STAGES]
    numbered = any(item.word == "NUMBER" for item in items)
    if draft.count is None and staged and not numbered and not any(record_counts.plural(item) for item in staged):
        draft = draft._replace(count=1)
    return record_unheld.noted(line, items, draft, verb.taken, labelled)


def lays(items, verb: Verb) -> bool:
    """Whether the cohort of a clause is whose animal laid (`a K laid 40`, `laid by the K female`)."""
    at = next(at for at, item in enumerate(items) if item.kind == "cohort")
    return at < verb.first or "by" in (item.word for item in items[max(0, at - 2) : at])
