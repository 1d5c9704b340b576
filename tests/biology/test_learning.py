from __future__ import annotations

import random
from datetime import datetime, timedelta
from math import exp, log1p, sqrt

import pytest

from nurserytui.biology.groups import Changed, Group, Known, Stage
from nurserytui.biology.learning import COHORT, learn
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

ZERO = datetime(2024, 5, 1)
ROOM = Timeline.constant(20, ZERO)
EGG = Stage(RateCurve.from_degree_days(10, 50, 30), 0.1, 0.15)


def at(days: float) -> datetime:
    return ZERO + timedelta(days=days)


def cohort(took: float, count: int = 10):
    return [Group(0, Known(ZERO), changed=(Changed(at(took - 0.5), at(took + 0.5), count),))], ROOM


def test_nothing_finished_teaches_nothing():
    assert learn(EGG, [], at(30)) is None
    assert learn(EGG, [([Group(4, Known(ZERO))], ROOM)], at(30)) is None


def test_the_factor_is_drawn_towards_one_and_goes_on_with_more_cohorts():
    one, five = learn(EGG, [cohort(6)], at(30)), learn(EGG, [cohort(6)] * 5, at(30))
    assert 1 < one.factor < five.factor < five.observed
    assert five.observed == pytest.approx(1.2, abs=0.02)
    assert 0 < one.weight < five.weight < 1
    assert COHORT < five.between < one.between < EGG.between
    assert (five.cohorts, five.animals) == (5, 50)


def test_few_animals_teach_less_than_many():
    assert learn(EGG, [cohort(6, 1)], at(30)).weight < learn(EGG, [cohort(6, 30)], at(30)).weight


def test_the_stage_as_this_nursery_sees_it():
    learned = learn(EGG, [cohort(6)] * 5, at(30))
    stage = learned.applied(EGG)
    assert stage.curve.days(20) == pytest.approx(5 * learned.factor)
    assert stage.between == learned.between
    assert stage.within == EGG.within


def test_it_finds_the_nursery_that_made_the_records():
    """Nurseries and cohorts drawn by plain chance: nine of ten next cohorts lie within what is left uncertain."""
    chance, hits, rounds = random.Random(17), 0, 150
    spread = sqrt(log1p(EGG.within**2))
    for _ in range(rounds):
        nursery = chance.gauss(0, sqrt(EGG.between**2 - COHORT**2))
        finished = []
        for _ in range(3):
            effect = nursery + chance.gauss(0, COHORT)
            took = [5 * exp(effect + chance.gauss(0, spread) - spread**2 / 2) for _ in range(6)]
            changed = tuple(Changed(at(int(each)), at(int(each) + 1)) for each in took)
            finished.append(([Group(0, Known(ZERO), changed=changed)], ROOM))
        learned = learn(EGG, finished, at(60))
        coming = exp(nursery + chance.gauss(0, COHORT))
        reach = exp(1.645 * learned.between)
        hits += learned.factor / reach <= coming <= learned.factor * reach
    assert 0.84 <= hits / rounds <= 0.96
