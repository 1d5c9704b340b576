"""A nursery that grew event by event answers as one that reads the same records afresh, whatever was written late, early, wrong or by others."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.growing import life
from oracle.nurseries import random_events
from oracle.pictures import ledger_of, sums_of
from oracle.sequences import lively

from nurserytui import answers
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records import keeping
from nurserytui.records.events import WHATS, Event
from nurserytui.records.lazily import Lazily
from nurserytui.records.store import Store
from tests.benchmarks.nursery import QUESTIONS

MORE = float(os.environ.get("NURSERY_EXAMPLES", "1"))


def lists_of(nursery):
    """The kept lists, and what they are by their own words."""
    ledger = nursery.ledger
    kept, events = ledger.chronicle, ledger.events
    for what in WHATS:
        assert kept.events_of(what) == [event for event in events if event.what == what]
    for day in {event.day for event in events}:
        assert kept.on(day) == [event for event in events if event.day == day]
    for place in {event.enclosure for event in events if event.enclosure}:
        named = [event for event in events if event.enclosure == place or (event.what == "moved" and event.to == place)]
        assert kept.at(place) == named
    for label in ledger.cohorts:
        assert kept.about(label) == [event for event in events if event.cohort == label]
        touched = [one for one in ledger.postings if any(key is not None and key.cohort == label for key in one[1:3])]
        assert kept.of_cohort(label) == touched


def told_of(nursery, keeping):
    found = []
    for topic, line in (
        ("headcount", "how many are there"),
        ("survival", "survival by species"),
        ("survival", "causes of death"),
        ("exposure", "who was exposed"),
        ("round", "what needs doing today"),
        ("history", "what happened"),
    ):
        found.append(answers.respond(keeping.request(line, topic), nursery).as_json())
    return found


def same(nursery, parts, *more):
    fresh = Nursery(nursery.store, nursery.knowledge, nursery.now)
    for part in parts:
        grown, read = part(nursery, *more), part(fresh, *more)
        if isinstance(grown, dict):
            assert [name for name in read if grown[name] != read[name]] == []
        assert grown == read


@settings(max_examples=int(12 * MORE), deadline=None)
@given(lively(20), st.lists(st.integers(0, 9), min_size=24, max_size=24))
def test_every_step_of_a_lively_day_book_grows_as_it_is_read(groups, hours):
    """Splits, merges, renamings and marks thick and fast; every step is looked at, and the moment goes on by some hours at each."""
    with Store.memory() as store:
        nursery = Nursery(store, load(), datetime(2031, 6, 1, 8))
        for group, later in zip(groups, hours, strict=False):
            nursery.write(group)
            same(nursery, [ledger_of])
            lists_of(nursery)
            nursery.at(nursery.now + timedelta(hours=later))
            same(nursery, [ledger_of])


@pytest.mark.parametrize("seed", range(int(3 * MORE)))
def test_the_ledger_grows_as_it_is_read(seed):
    with Store.memory() as store:
        for nursery in life(Random(seed), store, None, load(), checks=8):
            same(nursery, [ledger_of])
            lists_of(nursery)


@pytest.mark.parametrize("seed", range(int(2 * MORE)))
def test_what_is_counted_and_due_grows_as_it_is_read(seed, keeping):
    with Store.memory() as store:
        for nursery in life(Random(1000 + seed), store, None, load(), checks=2, cohorts=2, animals=(2, 4)):
            same(nursery, [ledger_of, sums_of])
        same(nursery, [told_of], keeping)


@pytest.mark.parametrize("seed", range(int(2 * MORE)))
def test_what_another_program_writes_is_taken_in(seed, tmp_path):
    path = tmp_path / "nursery.db"
    with Store.open(path) as store, Store.open(path) as other:
        for nursery in life(Random(2000 + seed), store, other, load(), checks=5, cohorts=2):
            same(nursery, [ledger_of])
            lists_of(nursery)
        same(nursery, [sums_of])


def test_a_date_without_a_time_reaches_to_its_midnight_once_that_day_is_over():
    with Store.memory() as store:
        nursery = Nursery(store, load(), datetime(2031, 6, 1, 20))
        nursery.write([Event("2031-06-01", "found", "A", species="Pieris rapae", stage="egg", count=5)])
        nursery.at(datetime(2031, 6, 2, 8))
        assert [entry.latest for entry in nursery.ledger.entries("A", "egg")] == [datetime(2031, 6, 2)]


@pytest.mark.parametrize(
    "instead",
    [
        Event("2031-06-02", "died", "A", count=2, detail="virus"),
        Event("2031-06-02", "died", "A", count=3, detail="spider"),
        Event("2031-06-02", "released", "A", count=2),
        Event("2031-06-03", "died", "A", count=2, detail="spider", stage="egg"),
    ],
)
def test_a_correction_is_taken_into_sums_that_were_kept(instead):
    """The cohort has as many postings as before; only what they say is another thing."""
    with Store.memory() as store:
        nursery = Nursery(store, load(), datetime(2031, 6, 5, 8))
        nursery.write([Event("2031-06-01", "found", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")])
        (wrong,) = nursery.write([Event("2031-06-02", "died", "A", count=2, detail="spider")]).events
        same(nursery, [ledger_of, sums_of])
        nursery.write([Event(wrong.when, "withdrawn", withdraws=wrong.id, group="x"), instead._replace(group="x")])
        same(nursery, [ledger_of, sums_of])


@pytest.fixture
def kept_soon(monkeypatch, tmp_path):
    """A ledger is kept of few events, in a folder of its own."""
    for name, value in (("LEAST", 12), ("BACK", 5), ("GROWN", 8)):
        monkeypatch.setattr(keeping, name, value)
    monkeypatch.setenv("NURSERYTUI_CACHE", str(tmp_path / "cache"))


@pytest.mark.parametrize("seed", range(int(2 * MORE)))
def test_what_is_opened_from_a_kept_ledger_is_as_it_is_read(seed, tmp_path, kept_soon):
    """Kept now and then by one program or the other, and opened, looked at and left for some days at every stop."""
    rng, path, went_on = Random(3000 + seed), tmp_path / "nursery.db", 0
    with Store.open(path, from_kept=True) as store, Store.open(path) as other:
        for nursery in life(rng, store, other, load(), checks=8, cohorts=3, animals=(2, 5)):
            if rng.random() < 0.6:
                nursery.keep()
            with Store.open(path, from_kept=True) as again:
                opened = Nursery(again, nursery.knowledge, nursery.now)
                went_on += opened._resting
                for days, parts in ((0, [ledger_of, sums_of]), (rng.choice((0, 1, 5)), [ledger_of])):
                    opened.at(opened.now + timedelta(days=days))
                    read = Nursery(other, nursery.knowledge, opened.now)
                    for part in parts:
                        one, two = part(opened), part(read)
                        assert [name for name in two if one[name] != two[name]] == []
                lists_of(opened)
                opened.keep()
            same(nursery, [ledger_of])
    assert went_on


def test_two_hundred_answers_are_the_same_from_a_kept_ledger(tmp_path, kept_soon):
    path = tmp_path / "nursery.db"
    events = random_events(41, 2, 9, looks_per_day=0.4)
    now = datetime.fromisoformat(events[-1].day) + timedelta(hours=32)
    with Store.open(path) as store:
        assert not store.append(events).faults
        Nursery(store, load(), now).keep()
    with Store.open(path, from_kept=True) as kept, Store.open(path) as plain:
        one, other = (Assistant(Nursery(store, load(), now)) for store in (kept, plain))
        assert one.nursery._resting and not other.nursery._resting
        labels = list(other.nursery.ledger.cohorts)
        places = sorted(other.nursery.ledger.enclosures - {""})
        about = ("history of", "survival of", "where are the animals of", "when will they be adults in", "who was exposed to")
        lines = [line.format(cohort=label, place=place) for line in QUESTIONS for label, place in zip(labels, places)]
        lines += [f"{ask} {label}" for ask in about for label in labels]
        lines += [f"{ask} {place}" for ask in ("what died in", "what is in", "when did I last clean") for place in places]
        lines = list(dict.fromkeys(lines))
        assert len(lines) >= 200
        for line in lines:
            answers_ = [assistant.reply(line).as_json() for assistant in (one, other)]
            assert answers_[0] == answers_[1], line


@pytest.mark.parametrize("seed", range(int(6 * MORE)))
def test_a_line_is_filled_on_the_ledger_of_its_moment(seed, tmp_path, kept_soon):
    """With what the clauses before it tell, and without what it puts right."""
    rng, path, went_on = Random(5000 + seed), tmp_path / "nursery.db", 0
    with Store.open(path, from_kept=True) as store, Store.open(path) as other:
        for nursery in life(rng, store, other, load(), checks=8, cohorts=3, animals=(2, 5)):
            nursery.keep()
            nursery._replay()
            read = Nursery(other, nursery.knowledge, nursery.now)
            for _ in range(6):
                until = nursery.now - timedelta(hours=rng.choice((0, 0, 5, 20, 60)))
                label = rng.choice(list(nursery.ledger.cohorts) or ["A"])
                more = [
                    Event(until.date().isoformat(), "checked", label),
                    Event(until.isoformat(timespec="minutes"), "died", label, count=1),
                ]
                more = more[: rng.randrange(3)]
                newest = [event for event in nursery.events if event.id in {one.id for one in nursery._everything[-4:]}]
                without = {event.id for event in rng.sample(newest, min(len(newest), rng.randrange(2)))}
                one, two = (each.ledger_at(until, more, without) for each in (nursery, read))
                went_on += nursery._resting and isinstance(one.events, Lazily)
                for part in ("heads", "postings", "events", "faults", "cohorts", "lost", "missing", "enclosures", "until"):
                    assert getattr(one, part) == getattr(two, part), part
    assert went_on
