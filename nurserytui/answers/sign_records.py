"""Signs that were written down before on the animals asked about."""

from __future__ import annotations

from datetime import datetime, timedelta

from nurserytui.answers.wording import day_words
from nurserytui.records.events import Event

RECENT = timedelta(days=14)
"""How far back a recorded sign still speaks for what is seen now (judged)."""


def recorded(request, nursery) -> list[Event]:
    """The signs of the last two weeks on the cohort, mark or enclosure of a line, newest first."""
    cohort = request.cohorts[0] if request.cohorts else ""
    enclosure = request.enclosures[0] if request.enclosures and not cohort else ""
    return before(nursery, cohort, request.mark, enclosure, request.text)


def before(nursery, cohort: str, mark: str = "", enclosure: str = "", text: str = "") -> list[Event]:
    """As `recorded`, by name; one whose words stand in `text` is the one being written now, and left out."""
    if not (cohort or enclosure):
        return []
    said = text.casefold()
    found = [
        event
        for event in nursery.ledger.chronicle.events_of("sign")
        if event.detail
        and (event.cohort == cohort if cohort else event.enclosure == enclosure)
        and (not mark or event.mark in ("", mark))
        and nursery.now - datetime.fromisoformat(event.day) <= RECENT
        and event.detail.casefold() not in said
    ]
    return sorted(found, key=lambda event: event.when, reverse=True)[:4]


def told(events: list[Event], now: datetime) -> str:
    """`“limp” (Sun 12 July (2026-07-12))`, each of them."""
    return "; ".join(f"“{event.detail}” on {day_words(event.day, now)}" for event in events)
