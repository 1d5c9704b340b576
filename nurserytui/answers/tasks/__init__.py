"""What there is to do in the nursery: each task with its reason, its day and the sentence that records it as done."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime

from nurserytui.answers.tasks.task import Task
from nurserytui.records.progress import Progress

__all__ = ["Task", "rank", "tasks"]

ORDER = (
    "wasps", "sign", "watch", "hold", "apart", "share", "short", "crowd", "late", "due", "release", "nectar", "feed", "water", "cuttings",
    "pupae", "moult", "disinfect", "clean", "check",
)  # fmt: skip
"""Of one priority and one day, the gravest first."""
SEEN_BY = ("watch", "sign", "due", "late", "pupae")
"""Tasks in which the animals are looked at anyway."""


def tasks(nursery, until: datetime, progress: Progress | None = None) -> list[Task]:
    """All tasks due up to `until`, most pressing first; what was recorded today is not among them.

    What comes again once it is done (`Task.every`) is there with its next day only. Kept until the records or the moment change.
    `progress` is told how many were found, and may raise `Stopped`.
    """
    return nursery.until_moved(("tasks", until), lambda: _in_order(nursery, until, progress))


def _in_order(nursery, until: datetime, progress: Progress | None) -> list[Task]:
    everything = []
    for task in _all(nursery, until):
        everything.append(task)
        if progress is not None:
            progress(len(everything), 0, "tasks found")
    found = [task for task in _once(everything) if (task.begins or task.due) <= until.date()]
    return sorted(found, key=rank)


def rank(task: Task) -> tuple:
    """What tasks are sorted by: the most pressing first, then in the order of their days, kinds, names and places."""
    return task.priority, task.due, ORDER.index(task.kind), _by_number(task.name), task.enclosure


def _by_number(name: str) -> str:
    """So that tub 2 stands before tub 10."""
    return re.sub(r"\d+", lambda digits: digits[0].zfill(9), name)


def _all(nursery, until: datetime) -> Iterator[Task]:
    from nurserytui.answers.tasks.adults import adults
    from nurserytui.answers.tasks.cleaning import cleaning
    from nurserytui.answers.tasks.company import company
    from nurserytui.answers.tasks.feeding import feeding
    from nurserytui.answers.tasks.growth import growth
    from nurserytui.answers.tasks.health import health
    from nurserytui.answers.tasks.looks import looks

    for kind in (health, company, adults, growth, feeding, cleaning, looks):
        yield from kind(nursery, until)


def _once(found: list[Task]) -> Iterator[Task]:
    """One look at the same animals on one day is one task: the gravest reason stands, plain checks of animals already named are left out,
    and a sign on animals that are on watch is told with the watch."""
    signs = {(task.name, task.enclosure): task for task in found if task.kind == "sign"}
    for at, task in enumerate(found):
        sign = signs.get((task.cohorts[0], task.enclosure)) if task.kind == "watch" and len(task.cohorts) == 1 else None
        if sign is not None and sign in found:
            found[at] = task._replace(reason=f"{sign.reason}; {task.reason}", priority=1)
            found.remove(sign)
    seen = {(cohort, task.enclosure, task.due) for task in found if task.kind in SEEN_BY for cohort in task.cohorts}
    places = {(task.enclosure, task.due) for task in found if task.kind == "watch" and task.enclosure}
    taken_out = {(task.name, task.enclosure) for task in found if task.kind == "apart"}
    emerging = {
        (cohort, task.enclosure) for task in found if task.event == "emerge" and task.kind == "due" for cohort in task.cohorts
    }
    for task in found:
        if task.kind in ("release", "hold") and (task.name, task.enclosure) in taken_out:
            continue
        if task.kind == "pupae" and all((cohort, task.enclosure) in emerging for cohort in task.cohorts):
            continue
        named = task.cohorts and all((cohort, task.enclosure, task.due) in seen for cohort in task.cohorts)
        if task.kind != "check" or not (named or (task.enclosure, task.due) in places):
            yield task
