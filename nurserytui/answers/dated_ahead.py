"""Dates of changes that are still to come, asked for as if they were on record (`date of the first chrysalis`)."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer
from nurserytui.answers.selection import Wanted

AHEAD = {"hatched": "hatch", "prepupated": "prepupate", "pupated": "pupate", "emerged": "emerge"}
DATED = re.compile(r"\b(?:dates?|when|(?:what|which) days?|first|earliest)\b")
OF_THE_PAST = re.compile(
    r"\b(?:did|was|were|have|has|had|ever|any|many|already|yet|so far|last|latest|ago|hatched|pupated|emerged|eclosed|came|went|became|turned)\b"
)
"""Words by which what has happened is asked for, and nothing else."""


def dated_ahead(request, nursery, want: Wanted, kinds: tuple[str, ...]) -> Answer | None:
    """The forecast of a change of which no record tells and which the animals meant have before them; None for any other question."""
    event = AHEAD.get(kinds[0]) if len(kinds) == 1 or kinds == ("hatched", "found") else None
    if event is None or request.period is not None or not (want.animals or want.enclosures):
        return None
    if not DATED.search(request.plain) or OF_THE_PAST.search(request.plain):
        return None
    from nurserytui.answers.forecasts import stage_forecast

    told = stage_forecast(request._replace(topic="stage-forecast", event=event, stages=()), nursery)
    return told if told.status == "answered" else None
