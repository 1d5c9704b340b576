"""Who should not share an enclosure, who stands too close, and where those go that are taken out."""

from __future__ import annotations

from collections.abc import Iterator

from nurserytui.answers.selection import known_enclosures
from nurserytui.answers.sharing import frictions
from nurserytui.answers.tasks.health import kept_back
from nurserytui.answers.tasks.task import Task
from nurserytui.answers.wording import stage_count

KINDS = {"adults-with-larvae": "apart", "too-full": "crowd"}


def company(nursery, until) -> Iterator[Task]:
    """Each friction as a task. Adults that must not be released yet are moved to an enclosure of their own instead."""
    today = nursery.now.date()
    back = kept_back(nursery)
    leaving = {(one.animals[0], one.enclosure) for one in frictions(nursery) if one.kind == "adults-with-larvae"}
    for one in frictions(nursery):
        kind, cohort = KINDS.get(one.kind, "share"), one.animals[0]
        if (
            kind == "share"
            and (cohort, one.enclosure) in leaving
            and nursery.heads(cohort, "adult", one.enclosure) == nursery.heads(cohort, None, one.enclosure)
        ):
            continue  # they are taken out anyway
        label, reason, record = one.label, one.reason, one.record
        if kind == "apart" and cohort in back:
            count = sum(number for _, number in nursery.heads(cohort=cohort, stage="adult", enclosure=one.enclosure))
            to = new_enclosure(nursery)
            reason = f"{reason}; {back[cohort]}, so they are not released"
            record = f"moved {stage_count(count, 'adult')} of {cohort} from {one.enclosure} to {to}"
        name = one.enclosure if kind == "crowd" else cohort
        yield Task(
            kind, name, label, one.enclosure, today, reason, one.priority, record, rule=one.rule, cohorts=one.animals,
        )  # fmt: skip


def new_enclosure(nursery) -> str:
    """A name that no enclosure has: those that stand empty are offered to others already."""
    known = known_enclosures(nursery)
    return next(f"cage {number}" for number in range(1, len(known) + 2) if f"cage {number}" not in known)
