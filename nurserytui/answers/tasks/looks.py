"""Animals that want a look: longer unseen than their stage bears, and pupae soon to come out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from nurserytui.answers.overdue import expected, resting
from nurserytui.answers.tasks.living import groups, looked_last
from nurserytui.answers.tasks.task import Task, days_of, inside
from nurserytui.answers.wording import day_words, listed, species_label, stage_count

RULE = {"egg": "look-egg", "larva": "look-larva", "prepupa": "look-prepupa", "pupa": "look-pupa"}


def looks(nursery, until) -> Iterator[Task]:
    """One task an enclosure: all that want a look there. Where a pupa is near, that is what it is for."""
    due: dict[tuple[str, bool], list] = {}
    for (cohort, place), stages in groups(nursery).items():
        for stage, count in stages.items():
            found = _wanted(nursery, cohort, place, stage)
            if found is not None and found[1] <= until.date():
                rule, day, last = found
                due.setdefault((place or f"\0{cohort}", rule == "look-pupa-near"), []).append(
                    (cohort, stage, count, rule, day, last)
                )
    for (place, near), rows in due.items():
        yield _look(nursery, "" if place.startswith("\0") else place, near, rows)


def _wanted(nursery, cohort: str, place: str, stage: str) -> tuple[str, date, date | None] | None:
    """(rule, day on which the next look is due, last look) of a group; None for adults."""
    rule = RULE.get(stage)
    if rule is None:
        return None
    today = nursery.now.date()
    if stage == "pupa":
        if resting(nursery, cohort, stage):
            rule = "look-resting"
        elif (found := expected(nursery, cohort, place, stage)) is not None and not found.overdue:
            soon = nursery.now + timedelta(days=nursery.knowledge.rule("look-pupa-near").high)
            rule = "look-pupa-near" if (found.first.low or found.first.at) <= soon else rule
    last = looked_last(nursery, cohort, place)
    return rule, max(today, last + timedelta(days=days_of(nursery, rule))) if last else today, last


def _lasts(nursery, rows: list) -> str:
    """The day of the last look, of each cohort where they differ."""
    days = {(row[0], row[5]): day_words(row[5].isoformat(), nursery.now) for row in rows}
    if len(set(days.values())) == 1:
        return next(iter(days.values()))
    return listed(f"{day} at {cohort}" for (cohort, _), day in days.items())


def _look(nursery, place: str, near: bool, rows: list) -> Task:
    cohorts = list(dict.fromkeys(row[0] for row in rows))
    whose = listed(
        f"{listed(stage_count(count, stage) for one, stage, count, *_ in rows if one == cohort)} of {cohort}"
        for cohort in cohorts
    )
    lasts = [row[5] for row in rows]
    last = f"last look {_lasts(nursery, rows)}" if all(lasts) else "no look is recorded"
    kinds = listed(dict.fromkeys(species_label(nursery.ledger.cohorts[one].species, nursery.knowledge) for one in cohorts))
    one = len(cohorts) == 1
    where = inside(place)
    reason = f"{kinds}; {last}"
    if near:
        reason += "; they may come out within two days: wings show through the shell for a day or two before, and nothing stands below them"
    rule = min((row[3] for row in rows), key=lambda name: days_of(nursery, name))
    return Task(
        "pupae" if near else "check", cohorts[0] if one or not place else place,
        f"Look at {whose}{where}{' for darkening' if near else ''}", place, min(row[4] for row in rows), reason, 2 if near else 3,
        f"checked {cohorts[0]}{where}" if one or not place else f"checked {place}", every=days_of(nursery, rule), rule=rule,
        brief=f"{whose}{where}", cohorts=tuple(cohorts),
    )  # fmt: skip
