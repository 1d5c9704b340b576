"""Enclosures past their clean."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from nurserytui.answers.tasks.living import animals, by_place, last_care, occupied_since, together
from nurserytui.answers.tasks.task import Task
from nurserytui.answers.wording import counted, day_words


def cleaning(nursery, until) -> Iterator[Task]:
    """Occupied enclosures with larvae that were last cleaned, or first occupied, longer ago than the rule."""
    today, rule = nursery.now.date(), nursery.knowledge.rule("clean-every")
    every = round(rule.value)
    for place, cohorts in by_place(nursery).items():
        stages = together(cohorts)
        if not place or not stages.get("larva"):
            continue
        event = last_care(nursery, place, ("cleaned",))
        cleaned = date.fromisoformat(event.day) if event else None
        if cleaned and (until.date() - cleaned).days < every:
            continue
        occupied = occupied_since(nursery, place)
        since = cleaned if cleaned and cleaned >= occupied else occupied
        due = max(since + timedelta(days=every), today)
        if due > until.date():
            continue
        last = f"last cleaned {day_words(cleaned.isoformat(), nursery.now)}" if cleaned else "no cleaning is recorded"
        reason = f"{animals(stages)} in it; {last}, occupied since {day_words(occupied.isoformat(), nursery.now)}; the rule is every {every} days"
        hanging = stages.get("prepupa", 0) + stages.get("pupa", 0)
        if hanging:
            reason += f"; mind the {counted(hanging, 'animal')} hanging in it"
        priority = 2 if (today - since).days >= rule.high else 3
        yield Task(
            "clean", place, f"Clean {place}", place, due, reason, priority, f"cleaned {place}", every=every, rule="clean-every",
            brief=place, cohorts=tuple(cohorts),
        )  # fmt: skip
