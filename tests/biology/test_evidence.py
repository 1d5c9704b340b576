"""Chances in progress, against plain numerical integration and an oracle."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise
from math import exp, log1p, sqrt

import pytest

from nurserytui.biology.evidence import FARTHEST, Seen, _excess, found, grid, known, posterior, within
from nurserytui.biology.groups import Changed, Group, Known, Look, Stage, Unknown, Window
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

ZERO = datetime(2024, 6, 1)
ROOM = Timeline.constant(20, ZERO)
STAGE = Stage(RateCurve.from_degree_days(10, 50, 30), 0.12, 0.15)
SPREAD = sqrt(log1p(0.12**2))


def at(days: float) -> datetime:
    return ZERO + timedelta(days=days)


def mean_of(function, low: float, high: float, steps: int = 4000) -> float:
    return sum(function(low + (high - low) * (each + 0.5) / steps) for each in range(steps)) / steps


@pytest.mark.parametrize("effect", [-0.2, 0.0, 0.3])
def test_a_known_age_is_the_lognormal_of_that_mean_and_variation(effect):
    stats = pytest.importorskip("scipy.stats")
    other = stats.lognorm(SPREAD, scale=exp(effect - SPREAD**2 / 2))
    assert other.mean() == pytest.approx(exp(effect))
    assert other.std() / other.mean() == pytest.approx(0.12)
    for place in (0.2, 0.8, 1.0, 1.3, 2.0):
        assert known(effect, SPREAD)(place) == pytest.approx(other.sf(place), rel=1e-9)


@pytest.mark.parametrize("width", [0.05, 0.3, 1.5])
@pytest.mark.parametrize("place", [-0.2, 0.1, 0.6, 0.9, 1.2, 1.6])
def test_a_window_is_the_mean_over_its_ages(width, place):
    plain = known(0.1, SPREAD)
    expected = mean_of(lambda age: plain(place + age), 0, width)
    assert within(0.1, SPREAD, width)(place) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("place", [0.0, 0.2, 0.7, 1.0, 1.4])
def test_found_is_the_residual_of_a_duration(place):
    plain = known(0.1, SPREAD)
    beyond = mean_of(plain, place, 6) * (6 - place)
    assert found(0.1, SPREAD)(place) == pytest.approx(beyond / exp(0.1), abs=1e-4)


@pytest.mark.parametrize("survivor", [known(0, SPREAD), known(0, SPREAD, 0.7), within(0, SPREAD, 0.4), found(0, SPREAD)])
def test_chances_fall_from_one_and_never_reach_zero(survivor):
    places = [each / 10 for each in range(-10, 400)]
    values = [survivor(place) for place in places]
    assert values[0] == 1
    assert all(later <= earlier + 1e-12 for earlier, later in pairwise(values))
    assert values[-1] > 0


def test_the_grid_narrows_to_where_the_density_is():
    sharp = grid(lambda value: -0.5 * ((value - 0.123) / 0.002) ** 2, -3, 3)
    assert sharp.mean() == pytest.approx(0.123, abs=1e-4)
    assert sharp.quantile(0.841345) - sharp.quantile(0.5) == pytest.approx(0.002, rel=0.05)
    assert exp(sharp.top) * sharp.total * sharp.step == pytest.approx(0.002 * sqrt(2 * 3.14159265), rel=1e-3)


def test_the_posterior_is_bayes_rule():
    group = Group(3, Known(at(0)), (Look(at(5.5)), Look(at(2), 1)), (Changed(at(4), at(5), 2),))
    shift = posterior([Seen(group, STAGE, ROOM, at(6))], STAGE.between)

    def weight(effect: float) -> float:
        tail = known(effect, SPREAD)
        return exp(-0.5 * (effect / 0.15) ** 2) * tail(1.1) ** 3 * tail(0.4) * (tail(0.8) - tail(1.0)) ** 2

    total = mean_of(weight, -0.9, 0.9)
    expected = mean_of(lambda effect: effect * weight(effect), -0.9, 0.9) / total
    assert shift.mean() == pytest.approx(expected, abs=1e-3)


def test_one_age_of_a_batch_is_bayes_rule_too():
    group = Group(8, Unknown(at(0), together=True), (Look(at(1)),), (Changed(at(0), at(1), 2),))
    likelihood, branches = Seen(group, STAGE, ROOM, at(1)).weigh(0.05)
    fresh = known(0.05, SPREAD)

    def weight(age: float) -> float:
        tail = known(0.05, SPREAD, age)
        return fresh(age) / exp(0.05) * tail(0.2) ** 8 * (tail(0.0) - tail(0.2)) ** 2

    total = mean_of(weight, 0.0, 2.0) * 2
    assert exp(likelihood) == pytest.approx(total, rel=0.02)
    ahead = mean_of(lambda age: weight(age) * known(0.05, SPREAD, age)(0.5), 0.0, 2.0) * 2 / total
    assert sum(part * survivor(0.5) for part, survivor in branches) == pytest.approx(ahead, abs=0.01)


def test_without_a_shared_spread_nothing_is_learnt():
    group = Group(3, Known(at(0)), (Look(at(9)),))
    assert posterior([Seen(group, STAGE, ROOM, at(9))], 0).nodes == [(0.0, 1.0)]


def test_what_lies_after_now_counts_as_now():
    early = Seen(Group(1, Window(at(0), at(1)), (Look(at(9)),)), STAGE, ROOM, at(3))
    assert early.last == early.now == pytest.approx(0.4)
    assert early.width == pytest.approx(0.2)


@pytest.mark.parametrize("effect", [-0.4, 0.0, 0.3])
@pytest.mark.parametrize("spread", [0.05, 0.12, 0.4])
@pytest.mark.parametrize("width", [1e-6, 0.2, 1.5])
def test_the_tail_over_a_window_is_the_difference_of_two_excesses(effect, spread, width):
    excess, survivor = _excess(effect, spread), within(effect, spread, width)
    farthest = exp(effect + (FARTHEST - 1.0) * spread)
    for step in range(-200, 500):
        reached = step / 100
        place = min(farthest, reached)
        expected = 1.0 if reached <= -width else min(max((excess(place) - excess(place + width)) / width, 1e-300), 1.0)
        assert survivor(reached) == pytest.approx(expected, abs=1e-9)
