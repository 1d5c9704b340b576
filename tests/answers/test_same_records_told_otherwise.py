"""The same happenings told in other words give the same answers: what never happened, what was undone, what is only a label, what was written late."""

from __future__ import annotations

import os
from datetime import datetime
from random import Random

import pytest
from oracle.nurseries import random_events
from oracle.pictures import ledger_of, sums_of
from oracle.shelf import nursery

from nurserytui.answers.cases import outbreaks
from nurserytui.answers.contacts import contacts
from nurserytui.answers.fates import between
from nurserytui.answers.selection import Wanted
from nurserytui.answers.tasks import tasks
from nurserytui.records.events import Event

MORE = float(os.environ.get("NURSERY_EXAMPLES", "1"))
SEEDS = range(int(3 * MORE))
STEPS = ((None, "adult"), ("egg", "larva"), ("larva", "pupa"), ("egg", "adult"))


def drawn(seed: int) -> tuple[list[Event], datetime, Random]:
    rng = Random(seed)
    events = random_events(rng, 2, 3, animals=(2, 6))
    return events, datetime.fromisoformat(events[-1].day).replace(hour=20), rng


def differing(one: dict, other: dict) -> list[str]:
    return [name for name in one if one[name] != other[name]]


@pytest.mark.parametrize("seed", SEEDS)
def test_what_never_happened_changes_nothing(seed):
    """Ten events, each withdrawn at some later time: deaths, moves, signs, care and renamings that were slips of the pen."""
    events, now, rng = drawn(seed)
    told = list(events)
    for number in range(10):
        at = rng.randrange(len(events))
        model = events[at]
        cohort = next((event.cohort for event in reversed(events[: at + 1]) if event.cohort), "")
        place = next((event.enclosure for event in reversed(events[: at + 1]) if event.enclosure), "")
        slip = rng.choice(
            (
                Event(model.when, "died", cohort, count=1, detail="virus"),
                Event(model.when, "moved", enclosure=place, to="nowhere"),
                Event(model.when, "sign", enclosure=place, detail="limp and hanging head down, black fluid"),
                Event(model.when, "cleaned", enclosure=place),
                Event(model.when, "temperature", detail="44 C"),
                Event(model.when, "laid", cohort, species="Pieris rapae", count=500),
            )
        )
        told.insert(told.index(model) + 1, slip._replace(id=f"slip{number}"))
        later = rng.randrange(told.index(model) + 2, len(told) + 1)
        told.insert(later, Event(now.isoformat(), "withdrawn", withdraws=f"slip{number}", id=f"undo{number}"))
    plain, slipped = nursery(events, now), nursery(told, now)
    assert differing(ledger_of(plain), ledger_of(slipped)) == []
    assert differing(sums_of(plain), sums_of(slipped)) == []


@pytest.mark.parametrize("seed", SEEDS)
def test_splitting_off_and_merging_back_changes_no_survival(seed):
    events, now, rng = drawn(seed)
    told, halves = [], 0
    plain = nursery(events, now)
    groups: dict = {}
    for event in plain.ledger.events:
        told.append(event)
        for posting in plain.ledger.chronicle.of_cohort(event.cohort) if event.cohort else ():
            if posting.event is event and posting.target is not None and event.what in ("laid", "found", "hatched"):
                groups[posting.target] = posting.count
        if groups and rng.random() < 0.3:
            key, count = groups.popitem()
            if event.what in ("laid", "found", "hatched") and not key.mark and event.cohort:
                halves += 1
                half = Event(
                    event.when, "split", key.cohort, stage=key.stage, enclosure=key.enclosure, to=f"half{halves}", count=count
                )
                told.append(half._replace(instar=key.instar, id=f"h{halves}"))
                told.append(Event(event.when, "merged", f"half{halves}", to=key.cohort, id=f"m{halves}"))
            groups = {}
    again = nursery([event for event in told], now)
    assert halves and not again.ledger.faults
    assert again.ledger.heads == plain.ledger.heads
    sets = [Wanted(), *(Wanted(cohorts=(label,)) for label in plain.ledger.cohorts)]
    sets += [Wanted(species=(name,)) for name in sorted({cohort.species for cohort in plain.ledger.cohorts.values()})]
    sets += [Wanted(enclosures=(place,)) for place in sorted(plain.ledger.enclosures - {""})]
    for want in sets:
        for step in STEPS:
            assert between(again, want, *step) == between(plain, want, *step), (want, step)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_new_label_changes_only_labels(seed):
    events, now, rng = drawn(seed)
    plain = nursery(events, now)
    label = rng.choice(sorted({key.cohort for key in plain.ledger.heads}))
    again = nursery([*events, Event(now.isoformat(), "renamed", label, to="fresh name", id="r")], now)

    def name(text):
        return "fresh name" if text == label else text

    assert {key._replace(cohort=name(key.cohort)): count for key, count in plain.ledger.heads.items()} == again.ledger.heads
    for cohort in plain.ledger.cohorts:
        for step in STEPS:
            assert between(again, Wanted(cohorts=(name(cohort),)), *step) == between(plain, Wanted(cohorts=(cohort,)), *step)
    assert len(outbreaks(plain)) == len(outbreaks(again))
    for one, other in zip(outbreaks(plain), outbreaks(again), strict=True):
        met = {(name(it.group.cohort), *it.group[1:], it.grade, it.watch_until) for it in contacts(plain, one)}
        assert met == {(*it.group, it.grade, it.watch_until) for it in contacts(again, other)}
    until = now.replace(hour=23)
    due = {(task.kind, name(task.name), task.enclosure, task.due, task.priority) for task in tasks(plain, until)}
    assert due == {(task.kind, task.name, task.enclosure, task.due, task.priority) for task in tasks(again, until)}


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_in_which_days_are_written_down_does_not_matter(seed):
    """Whole days in any order; within a day the events stay as they are, and a withdrawal stays behind what it withdraws."""
    events, now, rng = drawn(seed)
    days = sorted({event.day for event in events})
    rng.shuffle(days)
    shuffled = [event for day in days for event in events if event.day == day]
    plain, again = nursery(events, now), nursery(shuffled, now)
    assert shuffled != events
    assert differing(ledger_of(plain), ledger_of(again)) == []
    assert differing(sums_of(plain), sums_of(again)) == []
