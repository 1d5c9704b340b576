"""Animals followed through the postings, against a slow replay that follows every animal by itself."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.nurseries import random_events

from nurserytui.answers.fates import between
from nurserytui.answers.life_sums import by_source, in_enclosures, total
from nurserytui.answers.lifetimes import watched
from nurserytui.answers.lives import families, lives_of
from nurserytui.answers.selection import Wanted

ORDER = ("egg", "larva", "prepupa", "pupa", "adult")
PAIRS = ((None, "adult"), ("egg", "larva"), ("larva", "pupa"), ("pupa", "adult"), ("egg", "adult"))
SEEDS = st.integers(0, 10_000)


@pytest.fixture(scope="module")
def nursery_of():
    """`nursery_of(seed)`: a nursery of three seasons drawn by chance."""
    from importlib.util import module_from_spec, spec_from_file_location
    from pathlib import Path

    from nurserytui.knowledge.base import load
    from nurserytui.nursery import Nursery

    spec = spec_from_file_location("keeping", Path(__file__).with_name("conftest.py"))
    keeping = module_from_spec(spec)
    spec.loader.exec_module(keeping)
    knowledge = load()

    def made(seed: int, seasons: int = 3, exact: bool = False) -> Nursery:
        events = random_events(seed, seasons, 4)
        if exact:
            events = [event._replace(estimate=False) for event in events]
        return Nursery(keeping.MemoryStore(events), knowledge, datetime(2060, 1, 1))

    return made


def replayed(ledger):
    """Every animal by itself: (how it came in, [(stage, cohort, enclosure, event) …], how it ended, the event of its end)."""
    groups, gone, animals = defaultdict(list), [], []
    for event, source, target, count in ledger.postings:
        for _ in range(count):
            if source is None and event.what in ("returned", "counted"):
                fitting = [one for one in gone if one[0].cohort == target.cohort and one[0].mark == target.mark]
                if fitting:
                    place, animal = fitting[0]
                    gone.remove(fitting[0])
                    animal["end"] = animal["ended"] = None
                    if place._replace(instar=None) != target._replace(instar=None):
                        animal["path"].append((target.stage, target.cohort, target.enclosure, event))
                else:  # an estimate that is put right: one like those that are there
                    like = groups[target][0]
                    animal = {"how": like["how"], "path": list(like["path"]), "end": None, "ended": None}
                    animals.append(animal)
                groups[target].append(animal)
                continue
            if source is None:
                animal = {"how": event.what, "path": [], "end": None, "ended": None}
                animals.append(animal)
            else:
                animal = groups[source].pop(0)
            if target is None:
                animal["end"], animal["ended"] = event.what, event
                if event.what in ("missing", "counted"):
                    gone.append((source, animal))
                continue
            if source is None or source._replace(instar=None) != target._replace(instar=None):
                animal["path"].append((target.stage, target.cohort, target.enclosure, event))
            groups[target].append(animal)
    return animals


@settings(deadline=None, max_examples=25)
@given(SEEDS)
def test_no_animal_is_made_or_lost(nursery_of, seed):
    nursery = nursery_of(seed)
    lives = [life for family in families(nursery) for life in lives_of(nursery, family)]
    assert Counter(
        {
            place: sum(life.count for life in lives if not life.end and life.steps[-1].enclosure == place)
            for place in {life.steps[-1].enclosure for life in lives}
        }
    ) == Counter(
        {
            place: sum(n for key, n in nursery.heads() if key.enclosure == place)
            for place in {key.enclosure for key, _ in nursery.heads()}
        }
    )
    died = sum(p.count for p in nursery.ledger.postings if p.target is None and p.event.what == "died")
    assert sum(life.count for life in lives if life.end == "died") == died
    for life in lives:
        assert life.count > 0 and life.low <= life.high
        assert all(step.low <= step.high for step in life.steps)
        orders = [ORDER.index(step.stage) for step in life.steps]
        assert orders == sorted(orders)


@settings(deadline=None, max_examples=25)
@given(SEEDS)
def test_rates_are_those_of_a_replay_of_single_animals(nursery_of, seed):
    nursery = nursery_of(seed, exact=True)
    animals = replayed(nursery.ledger)
    for origin, goal in PAIRS:
        first, last = ORDER.index(origin) if origin else 0, ORDER.index(goal)
        expected = Counter()
        for animal in animals:
            orders = [ORDER.index(stage) for stage, *_ in animal["path"]]
            if orders[0] >= last or (origin and orders[0] > first) or not any(first <= order < last for order in orders):
                continue
            expected["start"] += 1
            if max(orders) >= last:
                expected["reached"] += 1
            elif animal["end"] == "died":
                expected["died"] += 1
                expected[animal["ended"].detail or "cause not recorded"] += 1
            else:
                expected[animal["end"] or "alive"] += 1
        found = total(by_source(nursery, Wanted(), origin, goal))
        told = Counter({"start": found.start, "reached": found.reached, "died": found.died}) + found.censored + found.causes
        assert told == +expected


@settings(deadline=None, max_examples=15)
@given(SEEDS)
def test_days_watched_are_those_of_a_replay_of_single_animals(nursery_of, seed):
    nursery = nursery_of(seed, 2, exact=True)

    def when(event) -> datetime:
        return datetime.fromisoformat(event.when) + (timedelta(0) if event.timed else timedelta(hours=12))

    expected = []
    for animal in replayed(nursery.ledger):
        end = when(animal["ended"]) if animal["end"] else nursery.now
        expected.append((animal["end"] == "died", max(0.0, (end - when(animal["path"][0][3])) / timedelta(days=1))))
    durations, died = watched(nursery, Wanted()).durations()
    told, expected = sorted(zip(died, durations, strict=True)), sorted(expected)
    assert [one for one, _ in told] == [one for one, _ in expected]
    assert [days for _, days in told] == pytest.approx([days for _, days in expected], abs=1e-4)


@settings(deadline=None, max_examples=15)
@given(SEEDS)
def test_the_whole_way_is_told_as_it_was_before(nursery_of, seed):
    """Of whatever stage to adult, and of each cohort, the sums are those that fates.between reads off the postings directly."""
    nursery = nursery_of(seed)
    for want in (Wanted(), *(Wanted(cohorts=(label,)) for label in nursery.ledger.cohorts)):
        assert total(by_source(nursery, want, None, "adult")) == between(nursery, want, None, "adult")


@settings(deadline=None, max_examples=15)
@given(SEEDS)
def test_deaths_in_all_enclosures_are_all_deaths(nursery_of, seed):
    nursery = nursery_of(seed)
    deaths = Counter()
    for posting in nursery.ledger.postings:
        if posting.target is None and posting.event.what == "died" and posting.source.enclosure:
            deaths[posting.source.enclosure] += posting.count
    assert +Counter({place: fates.died for place, fates in in_enclosures(nursery, Wanted()).items()}) == deaths


ROWS = """when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by
2031-05-01T08:00,laid,A,,Pieris rapae,egg,,10,jar,,Brassica oleracea,,,
2031-05-04T08:00,checked,A,,,,,,jar,,,,,
2031-05-06T08:00,died,A,,,egg,,2,jar,,,dented,,
2031-05-07T08:00,hatched,A,,,,,8,jar,,,,,
2031-05-20T08:00,died,A,,,larva,,1,jar,,,drowned,,
2031-05-22T08:00,given,A,,,larva,,3,jar,,,the school,,
2031-05-25T08:00,missing,A,,,larva,,1,jar,,,,,
"""


@pytest.mark.parametrize(
    ("taken", "died", "left"),
    [
        # Two eggs died between the look of day 3 and day 5, the larva between the hatch of day 6 and day 19; three were given away on
        # day 21, one was missing by day 24 and seen last on day 6, three are alive on day 30, seen last on day 6.
        ("recorded", {5.0: 2, 19.0: 1}, {21.0: 3, 24.0: 1, 30.0: 3}),
        ("early", {3.0: 2, 6.0: 1}, {6.0: 7}),
        ("late", {5.0: 2, 19.0: 1}, {21.0: 3, 24.0: 1, 30.0: 3}),
    ],
)
def test_a_death_lies_between_two_looks(keeping, taken, died, left):
    watch = watched(keeping.nursery(ROWS, "2031-05-31T08:00"), Wanted(), taken=taken)
    assert dict(watch.died) == died and dict(watch.left) == left


def test_days_from_a_stage_on(keeping):
    nursery = keeping.nursery(ROWS, "2031-05-31T08:00")
    assert dict(watched(nursery, Wanted(), "larva").died) == {13.0: 1}
    # Hatched between the look of day 3 and day 6: it may have been a larva for up to three days more.
    assert dict(watched(nursery, Wanted(), "larva", "late").died) == {16.0: 1}


def test_an_estimate_that_is_put_right_was_never_missing(keeping):
    rows = ROWS.splitlines()[0] + (
        "\n2031-05-01,laid,B,,Pieris rapae,egg,,~30,jar,,Brassica oleracea,,,\n2031-05-03,counted,B,,,,,26,jar,,,,,\n"
        "2031-05-06,counted,B,,,,,25,jar,,,,,\n"
    )
    found = total(by_source(keeping.nursery(rows, "2031-05-31T08:00"), Wanted(), None, "adult"))
    assert (found.start, dict(found.censored)) == (26, {"alive": 25, "counted": 1})


def test_lives_are_kept_until_the_cohort_changes(keeping):
    nursery = keeping.nursery(ROWS, "2031-05-31T08:00")
    (family,) = families(nursery)
    before = lives_of(nursery, family)
    assert lives_of(nursery, family) is before
    nursery.store.add("2031-05-30T08:00,died,A,,,larva,,1,jar,,,virus,,")
    nursery.refresh()
    after = lives_of(nursery, family)
    assert after is not before and sum(life.count for life in after if life.end == "died") == 4
