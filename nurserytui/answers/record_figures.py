"""A bare number that is also the label of a cohort (`12 hatched`): which of the two it is has to be asked."""

from __future__ import annotations

from nurserytui.answers.record_ground import Ask
from nurserytui.answers.record_wording import sentence
from nurserytui.records.events import Event


def cohort_or_count(filled: Ask | list[Event], request, nursery) -> Ask:
    """The question which is meant, with what so many animals can be as far as the records tell, and with all of the cohort."""
    draft = request.drafts[0]
    label = str(draft.count)
    if isinstance(filled, Ask):
        counted = tuple(option for option in filled.options if label in option.split())
    else:
        first = filled[0]
        counted = (sentence(draft._replace(cohort=first.cohort, stage=draft.stage or _before(first)), nursery.knowledge),)
    whole = sentence(draft._replace(cohort=f"of cohort {label}", count="all"), nursery.knowledge)
    return Ask(f"Is {label} the cohort, or how many?", (*counted[:4], whole), draft)


def _before(event: Event) -> str:
    """The stage to say beside the number where an event keeps the animals in it."""
    return event.stage if event.what in ("moved", "died", "released", "escaped", "given", "missing") else ""
