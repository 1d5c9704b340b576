"""Which animals should have gone on to their next stage by now: the one judgement that the board, the strip and the round go by."""

from __future__ import annotations

from datetime import timedelta
from typing import NamedTuple


class Overdue(NamedTuple):
    """Animals of one cohort and stage in one enclosure that should have changed."""

    cohort: str
    enclosure: str
    stage: str
    count: int
    found: object
    """Their forecast."""


def overdue(nursery) -> list[Overdue]:
    """Every overdue group, in the order of the labels. Whether somebody looked at them today does not change that they are."""
    return nursery.until_moved("overdue groups", lambda: list(_overdue(nursery)))


def _overdue(nursery):
    from nurserytui.answers.tasks.living import groups

    for (cohort, place), stages in groups(nursery).items():
        for stage, count in stages.items():
            found = expected(nursery, cohort, place, stage)
            if is_overdue(nursery, cohort, stage, found):
                yield Overdue(cohort, place, stage, count, found)


def is_overdue(nursery, cohort: str, stage: str, found) -> bool:
    """Whether the group that the forecast `found` is about is overdue: hardly any healthy one would be unchanged by now, and they do not
    rest for months."""
    return found is not None and found.overdue and not resting(nursery, cohort, stage)


def expected(nursery, cohort: str, place: str, stage: str):
    """The forecast for the animals of that group to leave their stage; None where there is none."""
    from nurserytui.answers.outlook import EVENT_AFTER, outlook

    event = EVENT_AFTER.get(stage)
    found = outlook(nursery, cohort, event, place, stages=(stage,)) if event else None
    return found if found is not None and found.first.at is not None else None


def resting(nursery, cohort: str, stage: str) -> bool:
    """Pupae that have been pupae for two months and more are resting, where their species may rest as a pupa: a look a month will do."""
    if stage != "pupa" or not _may_rest(nursery, cohort):
        return False
    entries = [entry for entry in nursery.ledger.entries(cohort, "pupa") if entry.left]
    long = timedelta(days=round(nursery.knowledge.rule("resting-after").value))
    return bool(entries) and min(entry.latest for entry in entries) < nursery.now - long


def _may_rest(nursery, cohort: str) -> bool:
    """Whether the species winters as a pupa, as far as is known: where it is not, they are given the benefit of the doubt."""
    species = nursery.knowledge.species(nursery.ledger.cohorts[cohort].species)
    return species is None or species.winters_as in ("", "pupa")
