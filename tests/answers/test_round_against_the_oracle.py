"""What the round asks for, against what was done to whom by the life stories; and that what is recorded as done drops off, and nothing else."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from functools import cache
from random import Random

import pytest
from oracle import rounds
from oracle.crowd import Crowd
from oracle.nurseries import random_events
from oracle.shelf import NAMED, known, nursery

from nurserytui.answers.cases import outbreaks
from nurserytui.answers.tasks import SEEN_BY, tasks
from nurserytui.answers.tasks.health import kept_back
from nurserytui.records.events import Event

MORE = float(os.environ.get("NURSERY_EXAMPLES", "1"))
SEEDS = range(int(4 * MORE))
LEAF, CLEAN, LOOK = 1, 7, 1
"""Days after which leaf, an enclosure with larvae, and eggs, larvae and prepupae want renewing, cleaning and looking at."""
PUPA_LOOK = 3


@cache
def evenings(name):
    """A nursery at some moments of its seasons, with its crowd."""
    if isinstance(name, str):
        whole = known(name)
        events, whens = whole.store.events(), [whole.now - timedelta(days=days) for days in (0, 3, 9, 30)]
    else:
        events = random_events(name, 2, 4, animals=(3, 9))
        days = sorted({event.day for event in events if "05" <= event.day[5:7] <= "08"})
        whens = [datetime.fromisoformat(day).replace(hour=18) for day in Random(name).sample(days, 3)]
    found = []
    for now in whens:
        told = [event for event in events if datetime.fromisoformat(event.when) <= now]
        found.append((nursery(told, now), Crowd(told, now)))
    return found


def end_of(now: datetime, days: int = 0) -> datetime:
    return datetime.combine(now.date() + timedelta(days=days), datetime.max.time())


def told(nursery, *kinds: str, days: int = 0):
    return [task for task in tasks(nursery, end_of(nursery.now, days)) if task.kind in kinds]


ALL = (*NAMED, *SEEDS)


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("days", [0, 3])
def test_larvae_that_want_leaf(name, days):
    for kept, crowd in evenings(name):
        wanted = rounds.to_feed(crowd, kept.now.date(), LEAF)
        until = end_of(kept.now, days).date()
        assert {task.enclosure: task.due for task in told(kept, "feed", days=days) if task.enclosure} == {
            place: due for place, due in wanted.items() if due <= until
        }


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("days", [0, 3])
def test_enclosures_that_want_cleaning(name, days):
    for kept, crowd in evenings(name):
        unsure = rounds.unsure_since(crowd)
        wanted = rounds.to_clean(crowd, kept.now.date(), CLEAN)
        until = end_of(kept.now, days).date()
        found = {task.enclosure: task.due for task in told(kept, "clean", days=days)}
        assert {place: due for place, due in found.items() if place not in unsure} == {
            place: due for place, due in wanted.items() if due <= until and place not in unsure
        }


@pytest.mark.parametrize("name", ALL)
def test_adults_that_wait(name):
    """Each group of adults is released, held back or taken out within three days, and nobody else is."""
    for kept, crowd in evenings(name):
        adults = {whose for whose, those in rounds.here(crowd).items() if any(one.stage == "adult" for one in those)}
        back = kept_back(kept)
        named = {(task.name, task.enclosure) for task in told(kept, "release", "apart", days=3)}
        assert {whose for whose in adults if whose[0] not in back} <= named
        assert {(task.name, task.enclosure) for task in told(kept, "release", "hold", days=3)} <= adults


@pytest.mark.parametrize("name", ALL)
def test_adults_among_the_young(name):
    for kept, crowd in evenings(name):
        assert {task.enclosure for task in told(kept, "apart")} == rounds.mixed(crowd)


@pytest.mark.parametrize("name", ALL)
def test_animals_that_want_a_look(name):
    """Nobody is left unseen for longer than their stage bears, and nobody is to be looked at who was today."""
    for kept, crowd in evenings(name):
        today, seen = kept.now.date(), rounds.looked(crowd)
        checks = {(cohort, task.enclosure) for task in told(kept, "check") if task.due == today for cohort in task.cohorts}
        others = {(cohort, task.enclosure) for task in told(kept, *SEEN_BY) for cohort in task.cohorts}
        watched = {task.enclosure for task in told(kept, "watch")}
        for whose, those in rounds.here(crowd).items():
            stages = {one.stage for one in those}
            unseen = (today - seen[whose]).days if whose in seen else 99
            if unseen >= LOOK and stages <= {"egg", "larva", "prepupa"}:
                assert whose in checks | others or whose[1] in watched, whose
            if unseen == 0 or (unseen < PUPA_LOOK and stages == {"pupa"}):
                assert whose not in checks, whose


@pytest.mark.parametrize("name", ALL)
def test_empty_enclosures_that_wait_for_a_clean(name):
    for kept, crowd in evenings(name):
        used = {place for _, place in rounds.here(crowd)}
        last = {one.place: one.last for one in outbreaks(kept) if one.place}
        for task in told(kept, "disinfect"):
            assert task.enclosure not in used and task.enclosure in last
        named = {task.enclosure for task in told(kept, "disinfect")}
        for place, when in last.items():
            cleaned = rounds.days_of(crowd, "cleaned", place, set())
            if place not in used and not any(day >= when.date() for day in cleaned):
                assert place in named


DONE = (
    ("feed", "fed", lambda task: {"enclosure": task.enclosure}),
    ("clean", "cleaned", lambda task: {"enclosure": task.enclosure}),
    ("check", "checked", lambda task: {"enclosure": task.enclosure}),
    ("watch", "checked", lambda task: {"enclosure": task.enclosure}),
    ("sign", "checked", lambda task: {"enclosure": task.enclosure}),
    ("hold", "checked", lambda task: {"enclosure": task.enclosure}),
    ("disinfect", "cleaned", lambda task: {"enclosure": task.enclosure}),
)


@pytest.mark.parametrize("name", (*NAMED, *range(int(2 * MORE))))
@pytest.mark.parametrize(("kind", "what", "parts"), DONE, ids=[kind for kind, *_ in DONE])
def test_what_was_done_today_drops_off_and_nothing_else_of_its_kind(name, kind, what, parts):
    for kept, _ in evenings(name)[:2]:
        before = told(kept, kind)
        places = {task.enclosure for task in before if task.enclosure}
        for place in sorted(places)[:1]:
            task = next(one for one in before if one.enclosure == place)
            event = Event(kept.now.isoformat(timespec="minutes"), what, id="done", **parts(task))
            after = nursery([*kept.store.events(), event], kept.now)
            left = {one.enclosure for one in told(after, kind)}
            assert place not in left
            # What a look answers for one enclosure says nothing of another; elsewhere all stays as it was.
            assert places - {place} <= left


def test_an_enclosure_is_cleaned_by_the_day_animals_came_not_by_the_day_they_hatched():
    laid = Event("2031-06-01T08:00", "laid", "A", species="Pieris rapae", stage="egg", count=6, enclosure="jar", id="a")
    hatched = Event("2031-06-05T08:00", "hatched", "A", count=6, enclosure="jar", id="b")
    assert [task.due.day for task in told(nursery([laid, hatched], datetime(2031, 6, 7, 9)), "clean", days=9)] == [8]


def test_animals_that_were_looked_at_and_then_moved_are_not_unseen():
    found = Event(
        "2031-06-01T08:00", "found", "A", species="Pieris rapae", stage="larva", instar=2, count=6, enclosure="jar", id="a"
    )
    looked = Event("2031-06-04T08:00", "checked", "A", enclosure="jar", id="b")
    moved = Event("2031-06-04T09:00", "moved", "A", count=6, enclosure="jar", to="tub", id="c")
    assert not told(nursery([found, looked, moved], datetime(2031, 6, 4, 18)), "check")
    assert told(nursery([found, moved], datetime(2031, 6, 4, 18)), "check")
