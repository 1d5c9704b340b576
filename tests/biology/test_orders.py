from __future__ import annotations

from math import comb, inf
from time import process_time

import pytest

from nurserytui.biology.normal import below
from nurserytui.biology.orders import Axis, Scenario, Share, chances, middle


def done(at: float) -> float:
    return below((at - 10) / 2)


def tail(count: int, k: int, chance: float) -> float:
    return sum(comb(count, each) * chance**each * (1 - chance) ** (count - each) for each in range(k, count + 1))


@pytest.mark.parametrize("count", [1, 2, 3, 8, 25, 60])
@pytest.mark.parametrize("chance", [0.0, 0.03, 0.3, 0.5, 0.77, 1.0])
def test_the_middle_is_a_binomial_tail(count, chance):
    middles = (count + 1) // 2, count // 2 + 1
    plain = sum(tail(count, k, chance) for k in middles) / 2
    assert middle(count, chance) == pytest.approx(plain, abs=0.002)


@pytest.mark.parametrize("count", [199, 200, 1000, 9_999, 30_001, 10**6, 10**12])
def test_the_middle_of_many(count):
    stats = pytest.importorskip("scipy.stats")
    for chance in (0.45, 0.49, 0.5, 0.52):
        plain = sum(stats.binom.sf(k - 1, count, chance) for k in ((count + 1) // 2, count // 2 + 1)) / 2
        assert middle(count, chance) == pytest.approx(plain, abs=0.001)


def test_groups_multiply_and_branches_average():
    two = [Scenario(1.0, [Share(2, [(1.0, lambda at: 0.3)]), Share(1, [(0.25, lambda at: 0.8), (0.75, lambda at: 0.4)])])]
    seen = chances(two, 1.0)
    assert seen.first == pytest.approx(1 - 0.7**2 * (0.25 * 0.2 + 0.75 * 0.6))
    assert seen.last == pytest.approx(0.3**2 * (0.25 * 0.8 + 0.75 * 0.4))
    assert seen.one == pytest.approx((2 * 0.3 + 0.25 * 0.8 + 0.75 * 0.4) / 3)


def test_one_age_for_all_goes_together():
    apart = [Scenario(1.0, [Share(10, [(1.0, lambda at: 0.5)])])]
    together = [Scenario(1.0, [Share(10, [(0.5, lambda at: 0.0), (0.5, lambda at: 1.0)])])]
    assert chances(apart, 1.0).first == pytest.approx(1 - 0.5**10)
    assert chances(together, 1.0) == pytest.approx((0.5, 0.5, 0.5, 0.5))


@pytest.mark.parametrize("target", [0.01, 0.05, 0.5, 0.95, 0.99])
@pytest.mark.parametrize("count", [1, 7, 80])
def test_places_are_where_the_chance_is_reached(target, count):
    scenarios = [Scenario(1.0, [Share(count, [(1.0, done)])])]
    axis = Axis(scenarios, 4.0)
    for which in ("one", "first", "middle", "last"):
        place = axis.reach(which, target)
        assert getattr(chances(scenarios, place), which) == pytest.approx(target, abs=0.004)


def test_beyond_the_end_is_never():
    axis = Axis([Scenario(1.0, [Share(5, [(1.0, done)])])], 4.0, end=10.0)
    assert axis.reach("last", 0.5) == inf
    assert axis.reach("first", 0.5) < 10


def test_the_middle_of_a_million_million_costs_no_more_than_that_of_a_few():
    start = process_time()
    assert middle(10**12, 0.5) == pytest.approx(0.5, abs=1e-6)
    assert process_time() - start < 0.05
