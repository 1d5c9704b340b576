"""Who should not share an enclosure, who stands too close, and which enclosure is free for those that are taken out."""

from __future__ import annotations

from collections.abc import Iterator

from nurserytui.answers.sharing import frictions
from nurserytui.answers.tasks.health import kept_back, waiting_for_a_clean
from nurserytui.answers.tasks.living import groups
from nurserytui.answers.tasks.task import Task
from nurserytui.answers.wording import stage_count

KINDS = {"adults-with-larvae": "apart", "too-full": "crowd"}


def company(nursery, until) -> Iterator[Task]:
    """Each friction as a task. Adults that must not be released yet are moved to a free enclosure instead."""
    today = nursery.now.date()
    back = kept_back(nursery)
    for one in frictions(nursery):
        kind, cohort = KINDS.get(one.kind, "share"), one.animals[0]
        label, reason, record = one.label, one.reason, one.record
        if kind == "apart" and cohort in back:
            count = sum(number for _, number in nursery.heads(cohort=cohort, stage="adult", enclosure=one.enclosure))
            to = free_enclosure(nursery)
            reason = f"{reason}; {back[cohort]}, so they are not released"
            record = f"moved {stage_count(count, 'adult')} of {cohort} from {one.enclosure} to {to}"
        name = one.enclosure if kind == "crowd" else cohort
        yield Task(
            kind, name, label, one.enclosure, today, reason, one.priority, record, rule=one.rule, cohorts=one.animals,
        )  # fmt: skip


def free_enclosure(nursery) -> str:
    """An enclosure on record that stands empty and waits for no cleaning; else a name for a new one."""
    from nurserytui.answers.selection import known_enclosures

    known = known_enclosures(nursery)
    used = {place for _, place in groups(nursery)} | set(waiting_for_a_clean(nursery))
    free = sorted(place for place in known if place and place not in used)
    return free[0] if free else next(f"cage {number}" for number in range(1, len(known) + 2) if f"cage {number}" not in known)
