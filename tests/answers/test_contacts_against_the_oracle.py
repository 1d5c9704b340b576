"""Who met a disease or a parasitoid, against the nursery lived through once more event by event: nobody is overlooked, few are called without cause."""

from __future__ import annotations

import os
from collections import Counter
from datetime import datetime, timedelta
from random import Random

import pytest
from oracle.crowd import Crowd
from oracle.meetings import Danger, ever_in, groups, met_disease, surely_struck
from oracle.nurseries import random_events
from oracle.shelf import NAMED, known, nursery

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.cases import outbreaks
from nurserytui.answers.contacts import contacts
from nurserytui.answers.loose import loose, same_air
from nurserytui.answers.sting_contacts import LIKELY
from nurserytui.answers.stings import origins
from nurserytui.answers.vulnerable import attacked
from nurserytui.records.events import Event

MORE = float(os.environ.get("NURSERY_EXAMPLES", "1"))
SEEDS = range(int(8 * MORE))
WEEK, DAY = timedelta(days=7), timedelta(days=1)
"""How long before its first sign a disease is carried, and how long a fresh pupa is soft: rules of the knowledge base, given here apart."""
BLAMES = {"virus": "virus", "tachinid fly": "fly", "Pteromalus puparum": "wasp", "bacteria": "bacteria"}
"""What the drawn records put deaths down to, and what kind of trouble that is."""


def nights(seed: int, timed: float):
    """A drawn nursery on four evenings of its seasons, with its crowd."""
    full = random_events(seed, 2, 6, animals=(3, 9), timed=timed)
    for day in Random(seed).sample(sorted({event.day for event in full}), 4):
        now = datetime.fromisoformat(day).replace(hour=23, minute=59, second=59)
        told = [event for event in full if event.day <= day]
        yield nursery(told, now), Crowd(told, now)


def named_nights(name: str):
    whole = known(name)
    for days in (0, 5, 20, 60):
        now = whole.now - timedelta(days=days)
        told = [event for event in whole.store.events() if datetime.fromisoformat(event.when) <= now]
        yield nursery(told, now), Crowd(told, now)


def nursery_of(name):
    if isinstance(name, str):
        return named_nights(name)
    return nights(name, 1.0 if name % 2 else 0.3)


def met(nursery, crowd, outbreak) -> set:
    """The living groups that the program calls contacts, likely or possible."""
    found = {tuple(contact.group) for contact in contacts(nursery, outbreak) if contact.grade != "unlikely" and not contact.left}
    return found & groups(set(crowd.animals))


def recent(nursery):
    return [one for one in outbreaks(nursery) if one.last >= nursery.now - timedelta(days=90)]


@pytest.mark.parametrize("name", (*NAMED, *SEEDS))
def test_nobody_who_met_a_disease_is_overlooked(name):
    for kept, crowd in nursery_of(name):
        for outbreak in recent(kept):
            if outbreak.kind not in PARASITOIDS:
                carrying, _ = met_disease(crowd, outbreak, WEEK)
                assert groups(carrying) - met(kept, crowd, outbreak) == set(), outbreak


def test_few_are_called_contacts_of_a_disease_that_never_met_it():
    """Of a group that left and of others that came there later the records cannot tell who is who; beyond that hardly any."""
    tally = Counter()
    for name in SEEDS:
        for kept, crowd in nights(name, 1.0):
            for outbreak in recent(kept):
                if outbreak.kind not in PARASITOIDS:
                    _, ever = met_disease(crowd, outbreak, WEEK)
                    called = met(kept, crowd, outbreak)
                    tally.update(called=len(called), without=len(called - ever))
    assert tally["called"] > 4 * len(SEEDS)
    assert tally["without"] <= 0.02 * tally["called"]


@pytest.mark.parametrize("name", (*NAMED, *SEEDS))
def test_nobody_who_could_be_struck_is_overlooked(name):
    """In a stage that is attacked, in the same air, while parasitoids were about or when the first hosts were struck."""
    for kept, crowd in nursery_of(name):
        for outbreak in recent(kept):
            if outbreak.kind in PARASITOIDS:
                struck = set()
                for danger in dangers(kept, outbreak):
                    struck |= groups(surely_struck(crowd, danger))
                assert struck - met(kept, crowd, outbreak) == set(), outbreak


@pytest.mark.parametrize("name", (*NAMED, *SEEDS))
def test_whoever_is_called_at_risk_was_in_that_air_or_came_with_those_that_had_it(name):
    for kept, crowd in nursery_of(name):
        for outbreak in recent(kept):
            if outbreak.kind in PARASITOIDS:
                air = {place for danger in dangers(kept, outbreak, 0) for place in danger.air}
                were = {
                    (animal.cohort.label, animal.mark)
                    for animal in ever_in(crowd, tuple(air | set(same_air(kept.settings, outbreak.place))))
                }
                finds = {(one.species, one.first.day) for one in crowd.cohorts if one.label in outbreak.cohorts}
                kin = {one.label for one in crowd.cohorts if one.origin == "found" and (one.species, one.first.day) in finds}
                for cohort, mark, _ in met(kept, crowd, outbreak):
                    assert (cohort, mark) in were or cohort in kin, (outbreak, cohort)


def dangers(nursery, outbreak, least: float = LIKELY) -> list[Danger]:
    stages, found = attacked(outbreak), []
    about = loose(nursery, outbreak)
    if about is not None:
        found.append(Danger(about.air, about.first, about.last, stages, DAY))
    for origin in origins(nursery, outbreak):
        for strike in origin.strikes:
            if strike.share >= least and not strike.outdoors:
                found.append(Danger(same_air(nursery.settings, strike.place), strike.first, strike.last, stages, DAY))
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_every_death_that_is_put_down_to_something_traced_is_a_case(seed):
    for kept, crowd in nights(seed, 0.5):
        told = Counter()
        for animal in crowd.animals:
            line = animal.story[-1]
            if line.fate == "died" and line.event.detail in BLAMES:
                told[BLAMES[line.event.detail], line.cohort.label, line.place] += 1
        found = Counter()
        for outbreak in outbreaks(kept):
            for case in outbreak.cases:
                if case.event.what == "died":
                    found[outbreak.kind, case.cohort, outbreak.place] += case.count
        assert found == told


def test_those_moved_out_before_a_graver_contact_of_their_group_are_not_forgotten():
    """Eggs that stood beside the sick and were moved out, while one that stayed behind hatched there later."""
    b = Event("2031-06-01T08:00", "found", "B", species="Pieris rapae", stage="larva", instar=3, count=3, enclosure="jar")
    e = Event("2031-06-01T09:00", "laid", "E", species="Pieris rapae", stage="egg", count=6, enclosure="jar")
    events = [
        b,
        e,
        Event("2031-06-02T08:00", "died", "B", stage="larva", count=1, enclosure="jar", detail="virus"),
        Event("2031-06-03T08:00", "moved", "E", stage="egg", count=5, enclosure="jar", to="tub"),
        Event("2031-06-06T08:00", "hatched", "E", count=1, enclosure="jar"),
    ]
    kept = nursery([event._replace(id=f"e{at}") for at, event in enumerate(events)], datetime(2031, 6, 7, 12))
    (outbreak,) = outbreaks(kept)
    grades = {tuple(contact.group): contact.grade for contact in contacts(kept, outbreak)}
    assert grades == {("B", "", "jar"): "likely", ("E", "", "jar"): "likely", ("E", "", "tub"): grades["E", "", "tub"]}
    assert grades["E", "", "tub"] in ("likely", "possible")


def test_an_enclosure_into_which_animals_were_moved_and_that_was_cleaned_later_that_day_is_not_clean():
    """Both without a clock time: the day is ordered as it was written down."""
    told = (
        ("2031-06-01", "found", "B", "larva", 1, "jar", ""),
        ("2031-06-01", "laid", "C", "egg", 2, "box", ""),
        ("2031-06-01", "laid", "D", "egg", 2, "box", ""),
        ("2031-06-02", "sign", "B", "larva", None, "jar", ""),
        ("2031-06-03", "moved", "B", "larva", 1, "jar", "cage"),
        ("2031-06-04", "moved", "B", "larva", 1, "cage", "tub"),
        ("2031-06-05", "moved", "C", "egg", 1, "box", "cage"),
        ("2031-06-05", "cleaned", "", "", None, "cage", ""),
        ("2031-06-08", "moved", "D", "egg", 1, "box", "cage"),
    )
    events = [
        Event(when, what, cohort, species="Pieris rapae" if what in ("found", "laid") else "", stage=stage, count=count,
              enclosure=place, to=to, detail="virus" if what == "sign" else "", id=f"e{at}")
        for at, (when, what, cohort, stage, count, place, to) in enumerate(told)
    ]  # fmt: skip
    kept = nursery(events, datetime(2031, 6, 9, 12))
    (outbreak,) = outbreaks(kept)
    assert ("D", "", "cage") in met(kept, Crowd(events), outbreak)
    swapped = [*events[:6], events[7], events[6], events[8]]
    assert ("D", "", "cage") not in met(nursery(swapped, kept.now), Crowd(swapped), outbreak)
