"""The days ahead: what is to be done and what may happen on each of them, laid out from the tasks and their rhythms."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.tasks import Task, tasks
from nurserytui.answers.tasks.living import by_place, together

CHANGES = ("due", "late", "moult")
"""Tasks that are changes of the animals, not work."""
LONGEST = 60
"""Days that are laid out at most."""


class Ahead(NamedTuple):
    until: datetime
    days: dict[date, list[Task]]
    """Day -> what falls due on it, also what comes again; every day from today on is there."""
    daily: list[Task]
    """What is done every day, once each, in the order of the round."""
    changes: list[Task]
    """What may happen, by its first day; that day may lie beyond the last, where it is possible before but likelier later."""

    @property
    def work(self) -> list[tuple[date, Task]]:
        """What is due on a day and neither daily nor a change, in the order of the days."""
        known = set(map(id, self.daily))
        return [
            (day, task) for day, rows in self.days.items() for task in rows if task.kind not in CHANGES and id(task) not in known
        ]


def ahead(nursery, until: datetime) -> Ahead:
    """From today to `until`, at most `LONGEST` days."""
    today = nursery.now.date()
    last = min(until.date(), today + timedelta(days=LONGEST))
    until = datetime.combine(last, time(23, 59, 59))
    days: dict[date, list[Task]] = {today + timedelta(days=step): [] for step in range((last - today).days + 1)}
    daily, changes = [], []
    for task in tasks(nursery, until):
        first = max(task.due, today)
        if task.kind in CHANGES:
            changes.append(task)
        elif task.every == 1 and first <= today + timedelta(days=1):
            daily.append(task)
        day = first
        end = min(last, task.last) if task.last and task.kind in ("watch", "sign") else last
        while day <= end:
            days[day].append(task)
            if not task.every:
                break
            day += timedelta(days=task.every)
    changes.sort(key=lambda task: (task.due, task.priority))
    return Ahead(until, days, daily, changes)


def places_in_order(nursery, daily: list[Task]) -> list[str]:
    """The enclosures in the order of a careful round: eggs, small and large larvae, pupae, adults, and those on watch or with a sign last."""
    suspect = {task.enclosure for task in daily if task.kind in ("watch", "sign", "hold", "wasps")}
    stages = {place: together(cohorts) for place, cohorts in by_place(nursery).items() if place}
    rank = {"egg": 0, "larva": 1, "prepupa": 2, "pupa": 3, "adult": 4}
    most = {place: min((rank[stage] for stage in found), default=5) for place, found in stages.items()}
    return sorted(stages, key=lambda place: (place in suspect, most[place], place))
