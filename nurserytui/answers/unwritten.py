"""A record that was asked about and that the keeper goes on from without answering: the next answer says that it was not written."""

from __future__ import annotations

from nurserytui.answers.answer import Answer
from nurserytui.language.context import Context
from nurserytui.language.request import Request

LONGEST = 80
"""Characters of the line that are said again."""


def with_unwritten(answer: Answer, request: Request, context: Context) -> Answer:
    """The answer, with a last sentence for the record that waited for an answer and is given up by this line; an answer to what was asked,
    a line that drops it, and the same told anew say nothing."""
    opened = context.open
    if opened is None or opened.topic != "record" or request.topic == "undo" or request.layer == "reply":
        return answer
    if not context.asked_about or request.topic == "record" and not _of_others(request, opened):
        return answer
    line = context.asked_about
    said = line if len(line) <= LONGEST else f"{line[:LONGEST].rstrip()}…"
    return answer._replace(text=f"{answer.text}\nNot written: “{said}”.")


def _of_others(request: Request, opened: Request) -> bool:
    """Whether a record tells of another event in other animals than the one that is open: else it may be the same, told anew."""
    events = ({draft.what for draft in each.drafts} for each in (request, opened))
    return next(events).isdisjoint(next(events)) and not (set(request.cohorts) & set(opened.cohorts))
