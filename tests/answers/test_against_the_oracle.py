"""Survival as the program sums it from postings, against what the slow nursery tells of every animal by its life story."""

from __future__ import annotations

import os
from collections import Counter
from datetime import datetime

import pytest
from hypothesis import assume, given, settings
from oracle import lives
from oracle.crowd import Crowd
from oracle.nurseries import nurseries
from oracle.sequences import flat, lively
from oracle.shelf import NAMED, known, nursery
from oracle.telling import taken_back

from nurserytui.answers.fates import between, cause_of, deaths
from nurserytui.answers.selection import Wanted
from nurserytui.answers.survival import of_seasons, values_of

MORE = float(os.environ.get("NURSERY_EXAMPLES", "1"))
STEPS = (
    (None, "adult"),
    (None, "pupa"),
    ("egg", "larva"),
    ("larva", "pupa"),
    ("pupa", "adult"),
    ("egg", "adult"),
    ("prepupa", "pupa"),
)
ALL = (*NAMED, *range(int(6 * MORE)))


def crowd_of(nursery) -> Crowd:
    crowd = Crowd(nursery.store.events(), nursery.now)
    assert not crowd.refused
    return crowd


def told(fates) -> tuple:
    censored = Counter({{"split off": "elsewhere"}.get(why, why): count for why, count in fates.censored.items()})
    return (fates.start, fates.reached, fates.died, censored, fates.causes)


def compare(nursery, crowd, want, meant, places=()) -> int:
    """How many of the steps are told by the records without a doubt, once they are shown to be the same."""
    sure = 0
    for step in STEPS:
        true = lives.between(crowd, meant, *step, places)
        if true.corrected or not true.sure:
            continue
        sure += 1
        assert told(between(nursery, want, *step)) == told(true), (want, step)
    return sure


def sets_of(nursery, crowd):
    """Every set of animals that is asked about: (what the program is asked, which cohorts, which enclosures)."""
    yield Wanted(), lambda cohort: True, ()
    for one in crowd.cohorts:
        yield Wanted(cohorts=(one.label,)), lambda cohort, one=one: cohort is one, ()
    for name in sorted({cohort.species for cohort in crowd.cohorts}):
        yield Wanted(species=(name,)), lambda cohort, name=name: cohort.species == name, ()
    for name in sorted({cohort.host for cohort in crowd.cohorts} - {""}):
        yield Wanted(hosts=(name,)), lambda cohort, name=name: cohort.host == name, ()
    for place in sorted({line.place for animal in crowd.animals for line in animal.story} - {""}):
        yield Wanted(enclosures=(place,)), lambda cohort: True, (place,)
    start = nursery.settings.season_start
    for year in sorted({lives.season_of(cohort, start) for cohort in crowd.cohorts}):
        meant = {cohort for cohort in crowd.cohorts if lives.season_of(cohort, start) == year}
        yield of_seasons(nursery, Wanted(), (year,)), lambda cohort, meant=meant: cohort in meant, ()


@pytest.mark.parametrize("name", ALL)
def test_survival_is_what_the_life_stories_tell(name):
    """By cohort, species, host, enclosure and season, from every stage to every other."""
    crowd = crowd_of(known(name))
    sure = [compare(known(name), crowd, *one) for one in sets_of(known(name), crowd)]
    assert sum(sure) > 0.6 * len(sure) * len(STEPS)


@settings(max_examples=int(60 * MORE), deadline=None)
@given(lively())
def test_survival_is_what_the_life_stories_tell_however_wild(groups):
    events = flat(groups)
    crowd = Crowd(events)
    # What cannot have happened never comes into the records.
    refused = {event.id for event in crowd.refused}
    events = [event for event in events if event.id not in refused and event.withdraws not in refused]
    crowd = Crowd(events)
    assume(not crowd.refused and not crowd.unsaid and not taken_back(events) & refused)
    grown = nursery(events, datetime(2031, 8, 1))
    for one in sets_of(grown, crowd):
        compare(grown, crowd, *one)


@settings(max_examples=int(10 * MORE), deadline=None)
@given(nurseries())
def test_survival_is_what_the_life_stories_tell_of_any_keeper(events):
    grown = nursery(events, datetime.fromisoformat(events[-1].day).replace(hour=23))
    crowd = crowd_of(grown)
    for one in sets_of(grown, crowd):
        compare(grown, crowd, *one)


@pytest.mark.parametrize("name", ALL)
def test_deaths_are_those_of_the_life_stories(name):
    found = Counter()
    for posting in deaths(known(name), Wanted()):
        found[posting.source.cohort, posting.source.stage, cause_of(posting.event), posting.event.day] += posting.count
    told = Counter()
    for (cohort, *rest), count in lives.deaths(crowd_of(known(name))).items():
        told[known(name).ledger.label(cohort), *rest] += count
    assert found == told


@pytest.mark.parametrize("name", ALL)
def test_the_rate_that_is_answered_is_the_one_of_the_life_stories(name, keeping):
    """The values `rate` and `n` of an answer, cohort by cohort."""
    from nurserytui import answers

    crowd, seen = crowd_of(known(name)), 0
    for cohort in crowd.cohorts:
        true = lives.between(crowd, lambda one, cohort=cohort: one is cohort, None, "adult")
        if true.corrected or not true.sure or not true.start:
            continue
        request = keeping.request(f"survival of {cohort.label}", "survival", cohorts=(cohort.label,))
        values = answers.respond(request, known(name)).values
        dead = true.reached + true.died
        assert values["n"].value == dead
        assert values["rate"].value == (round(true.reached / dead, 4) if dead else None)
        seen += 1
    assert seen > len(crowd.cohorts) / 2


def test_what_nobody_started_has_no_rate():
    assert values_of(between(known("demo"), Wanted(cohorts=("",)), None, "adult"))["rate"].value is None
