"""A statement of how animals of the keeper look or behave, in words that only the examples know: a sign of theirs, not a question."""

from __future__ import annotations

import re

from nurserytui.language import weighing
from nurserytui.language.cues import Cues
from nurserytui.language.intents import FLOOR, Guess
from nurserytui.language.line import Line
from nurserytui.language.request import Request

SHOWING = ("health-sign", "egg-viability")
"""Topics of which such a line would be a question."""
LIKELY = 0.35
"""Chance of one of them from which a line without a topic tells of a sign."""
STATING = re.compile(
    r"\b(?:is|are|was|were|has|have|had|looks?|looked|looking|seems?|seemed|sits?|sitting|lies|lying|hangs?|hanging|stays?|stands?|went|goes|gone|got|gets|turned|turns|became|keeps?"
    r"|kept|refuses?|refused|does|doesnt|do|dont|did|didnt|isnt|arent|hasnt|havent|wont|wanders?|wandering|moves|wiggles?|twitch(?:es)?|when (?:touched|disturbed|poked|prodded|i \w+))\b"
)
"""What makes a line a statement."""
WONDERING = re.compile(
    r"\b(?:if|unless|whether|or not|or \w+|normal|why|wonder\w*|worr\w+|think|hope|should|could|might|may|supposed|ok|okay|fine)\b|^(?:is|are|was|were|has|have|do|does|did)\b"
)
"""What leaves it a question."""


def stated(line: Line, found: Cues, guess: Guess, weighed: weighing.Weighed | None, nursery) -> Request | None:
    """The record of a sign; None for a line that asks, or that names no animals of the records that live."""
    likely = weighed is not None and weighed.topic in (*SHOWING, "record") and sum(map(weighed.of, SHOWING)) >= LIKELY
    plain = line.plain.replace("'", "")
    if not (guess.topic in SHOWING or not guess.topic and likely) or "?" in line.text or "QUESTION" in found.names:
        return None
    if not STATING.search(plain) or WONDERING.search(plain) or "PLANT" in found.names:
        return None
    from nurserytui.language.record_grammar import request_of
    from nurserytui.language.record_guard import asks
    from nurserytui.language.record_items import items_of
    from nurserytui.language.record_signs import sign

    items = items_of(line, nursery.ledger.cohorts)
    if asks(line, items):
        return None
    draft = sign(line, items, line.text, nursery.now)
    alive = any(
        held and key.cohort == draft.cohort and key.mark in ("", draft.mark or key.mark)
        for key, held in nursery.ledger.heads.items()
    )
    return request_of(line, (draft,))._replace(score=FLOOR) if draft.cohort and alive else None
