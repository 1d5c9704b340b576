from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology.feeding import (
    Feeder,
    eaten,
    food_left,
    food_shares,
    larval_progress,
    progress_until_gone,
    share_left,
    time_shares,
)


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
    ],
)
def test_impossible_arguments(ask):
    with pytest.raises(ValueError):
        ask()
