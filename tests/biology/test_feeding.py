from __future__ import annotations

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology.feeding import (
    Feeder,
    by_day,
    eaten,
    food_at_rate,
    food_left,
    food_shares,
    fresh_food_per_pupa,
    fresh_from_dry,
    fresh_from_pupa,
    larval_progress,
    progress_until_gone,
    share_left,
    time_shares,
)
from nurserytui.biology.ranges import Range, exactly


@pytest.mark.parametrize(
    "instar, progress, left", [(1, 0, 1), (2, 0, 0.995), (4, 0, 0.93), (5, 0, 0.75), (5, 0.5, 0.375), (5, 1, 0)]
)
def test_planning_shares(instar, progress, left):
    assert share_left(instar, progress) == pytest.approx(left)


@pytest.mark.parametrize("count", [1, 4, 5, 6, 7])
def test_shares_of_any_number_of_instars_sum_to_one_and_peak_last(count):
    for shares in (food_shares(count), time_shares(count)):
        assert len(shares) == count
        assert sum(shares) == pytest.approx(1)
        assert max(shares) == shares[-1]


# Instars 4 and 5 of Pieris rapae gain 20-23 and 70-73 % of pupal mass (rearing records, North Carolina and California); 85 % of all leaf
# falls in the last (James (ed.) 2017, The Book of Caterpillars, p. 134): the planning share lies between.
def test_the_last_instar_lies_between_the_published_shares():
    assert 0.70 <= food_shares(5)[-1] <= 0.85
    assert food_shares(6)[-1] == pytest.approx(0.75, abs=0.01)


@given(st.integers(1, 5), st.floats(0, 1))
def test_both_ways_to_say_how_far_a_larva_is_agree(instar, progress):
    assert eaten(larval_progress(instar, progress)) == pytest.approx(1 - share_left(instar, progress), abs=1e-9)


def test_food_left_sums_over_larvae():
    feeders = [Feeder(2, larval_progress(5)), Feeder(1, 0.0)]
    assert food_left(feeders, 120.0) == pytest.approx(2 * 0.75 * 120 + 120)


@given(st.integers(1, 20), st.floats(0, 0.95), st.floats(0.01, 30))
def test_the_supply_is_gone_when_it_is_eaten(count, progress, supply):
    feeders = [Feeder(count, progress), Feeder(3, 0.2)]
    ahead = progress_until_gone(feeders, 1.0, supply)
    if ahead is None:
        assert food_left(feeders, 1.0) <= supply + 1e-9
    else:
        later = [feeder._replace(progress=feeder.progress + ahead) for feeder in feeders]
        assert food_left(feeders, 1.0) - food_left(later, 1.0) == pytest.approx(supply, abs=1e-6)


FEEDERS = st.lists(st.builds(Feeder, st.integers(0, 40), st.floats(-0.8, 0.95)), min_size=1, max_size=4)
DAYS = st.lists(st.floats(0.0, 0.3), min_size=1, max_size=25)


def marks(days) -> list[float]:
    """Running sums: how much more of larval time is over at the end of each day, until even the eggs have pupated."""
    return [*accumulate(days), sum(days) + 2.0]


@given(FEEDERS, DAYS, st.floats(0.1, 30))
def test_days_sum_to_what_is_left_and_none_is_below_nothing(feeders, days, per_larva):
    eaten_by_day = by_day(feeders, marks(days), per_larva)
    assert all(grams >= -1e-12 for grams in eaten_by_day)
    assert sum(eaten_by_day) == pytest.approx(food_left(feeders, per_larva), abs=1e-6)


@given(FEEDERS, DAYS)
def test_twice_the_larvae_eat_twice_each_day(feeders, days):
    twice = [feeder._replace(count=2 * feeder.count) for feeder in feeders]
    assert by_day(twice, marks(days)) == pytest.approx([2 * grams for grams in by_day(feeders, marks(days))])


@given(FEEDERS, FEEDERS, DAYS)
def test_groups_add_up(some, others, days):
    both = [one + other for one, other in zip(by_day(some, marks(days)), by_day(others, marks(days)), strict=True)]
    assert by_day([*some, *others], marks(days)) == pytest.approx(both, abs=1e-9)


@given(st.floats(-0.8, 0.9), st.floats(0, 0.5), st.floats(0.01, 0.5))
def test_nothing_is_eaten_in_the_egg_and_nothing_after_pupation(progress, first, more):
    day = by_day([Feeder(1, progress)], [first, first + more])[1]
    if progress + first + more <= 0 or progress + first >= 1:
        assert day == pytest.approx(0, abs=1e-12)


def test_eggs_eat_as_hatchlings_do_once_they_are_out():
    assert by_day([Feeder(3, -0.25)], [0.25, 0.6, 1.3])[1:] == pytest.approx(by_day([Feeder(3, 0.0)], [0.35, 1.05]))


@pytest.mark.parametrize(
    ("masses", "days", "rate", "food"),
    [
        ((2.0, 2.0), (5.0,), 1.5, 15.0),  # no growth: rate x mass x days
        ((1.0, 2.718281828459045), (1.0,), 1.0, 1.718281828459045),  # e-fold growth in a day holds e - 1 gram-days
        ((1.0, 2.0, 2.0), (0.0, 3.0), 2.0, 12.0),
    ],
)
def test_food_at_a_rate_by_mass(masses, days, rate, food):
    assert food_at_rate(masses, days, rate) == pytest.approx(food)


def test_fresh_food_by_dry_shares():
    assert fresh_from_dry(exactly(0.6), exactly(0.15)).value == pytest.approx(4.0)
    per_pupa = fresh_food_per_pupa(exactly(0.2), exactly(0.25), exactly(0.125))
    assert per_pupa.value == pytest.approx(10.0)  # 1 g of pupa holds 0.25 g dry, grown from 1.25 g dry, in 10 g fresh
    wide = fresh_from_pupa(Range(0.5, 0.4, 0.6), per_pupa)
    assert (wide.low, wide.value, wide.high) == pytest.approx((4.0, 5.0, 6.0))


@pytest.mark.parametrize(
    "ask",
    [
        lambda: share_left(0),
        lambda: share_left(6),
        lambda: share_left(2, 1.5),
        lambda: larval_progress(9),
        lambda: food_shares(0),
        lambda: time_shares(0),
        lambda: eaten(0.5, (1, 1), (1, 1, 1)),
        lambda: progress_until_gone([Feeder(1, 0)], 1.0, -1),
        lambda: by_day([Feeder(1, 0)], [0.5, 0.4]),
        lambda: by_day([Feeder(1, 0)], [-0.1, 0.4]),
        lambda: food_at_rate([1, 2], [1, 1], 1.3),
        lambda: food_at_rate([0, 2], [1], 1.3),
    ],
)
def test_impossible_arguments(ask):
    with pytest.raises(ValueError):
        ask()
