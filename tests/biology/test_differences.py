"""Tests of two groups, what several of them at once cost, and how many animals a difference takes."""

from __future__ import annotations

from itertools import combinations
from math import nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.biology.differences import holm, log_rank, log_rank_exact, needed

DURATIONS = st.lists(st.tuples(st.integers(0, 12), st.booleans()), min_size=1, max_size=30)
SHORT = st.lists(st.tuples(st.integers(0, 5), st.booleans()), min_size=1, max_size=5)


def split(pairs):
    return [time for time, _ in pairs], [seen for _, seen in pairs]


@settings(deadline=None)
@given(DURATIONS, DURATIONS)
def test_log_rank_like_another_program(first, second):
    statistics = pytest.importorskip("lifelines.statistics")
    ours, theirs = split(first), split(second)
    found = log_rank(*ours, *theirs)
    if found.chi_square:
        other = statistics.logrank_test(ours[0], theirs[0], ours[1], theirs[1])
        assert (found.chi_square, found.p) == pytest.approx((other.test_statistic, other.p_value), abs=1e-9)


@given(DURATIONS, DURATIONS)
def test_either_order_tells_the_same_and_all_deaths_are_shared_out(first, second):
    one, other = log_rank(*split(first), *split(second)), log_rank(*split(second), *split(first))
    assert one.chi_square == pytest.approx(other.chi_square) and one.observed == other.observed[::-1]
    assert sum(one.expected) == pytest.approx(sum(one.observed))


def statistic(pairs, chosen) -> float:
    """Observed less expected deaths of the chosen animals, from each moment's own table."""
    total = 0.0
    for time in sorted({at for at, seen in pairs if seen}):
        at_risk = [place for place, (at, _) in enumerate(pairs) if at >= time]
        dead = [place for place in at_risk if pairs[place] == (time, True)]
        total += sum(place in chosen for place in dead) - len(dead) * sum(place in chosen for place in at_risk) / len(at_risk)
    return total


@settings(deadline=None)
@given(SHORT, SHORT)
def test_exact_by_dealing_out_every_animal_by_hand(first, second):
    pairs = [*first, *second]
    seen = abs(statistic(pairs, range(len(first))))
    every = [abs(statistic(pairs, chosen)) for chosen in combinations(range(len(pairs)), len(first))]
    expected = sum(value >= seen - 1e-9 for value in every) / len(every)
    assert log_rank_exact(*split(first), *split(second)) == pytest.approx(expected)


def test_too_many_ways_are_left_to_the_limit():
    times, seen = [float(number) for number in range(60)], [True] * 60
    assert log_rank_exact(times, seen, times, seen) is None


def test_without_a_death_nothing_differs():
    assert log_rank([3, 4], [False, False], [5], [False]).p == 1.0


@pytest.mark.parametrize("first", [([], []), ([1], []), ([-1], [True]), ([nan], [True])])
def test_what_is_no_group(first):
    with pytest.raises(ValueError):
        log_rank(*first, [1], [True])


@pytest.mark.parametrize(
    ("chances", "expected"),
    [
        # The example of Holm's procedure by hand: 0.01 x 4, 0.02 x 3, 0.03 x 2 is less than 0.06 and so 0.06, 0.04 likewise.
        ([0.01, 0.04, 0.03, 0.02], [0.04, 0.06, 0.06, 0.06]),
        ([0.5, 0.9], [1.0, 1.0]),
        ([0.2], [0.2]),
        ([], []),
    ],
)
def test_holm(chances, expected):
    assert holm(chances) == pytest.approx(expected)


@given(st.lists(st.floats(0, 1), max_size=12))
def test_holm_never_makes_a_difference_surer(chances):
    found = holm(chances)
    assert all(after >= before and after <= 1 for before, after in zip(chances, found, strict=True))
    order = sorted(range(len(chances)), key=lambda at: chances[at])
    assert [found[at] for at in order] == sorted(found)


def test_holm_refuses_what_is_no_chance():
    with pytest.raises(ValueError):
        holm([0.5, 1.2])


def test_equal_shares_cannot_be_told_apart_and_small_differences_take_more():
    assert needed(0.5, 0.5) is None
    assert needed(0.8, 0.7) > needed(0.8, 0.5) > needed(0.8, 0.2)
    assert needed(0.8, 0.5) > needed(0.8, 0.5, exact=False)


@pytest.mark.parametrize("arguments", [(1.2, 0.5), (0.5, -0.1), (nan, 0.5)])
def test_needed_refuses_what_is_no_share(arguments):
    with pytest.raises(ValueError):
        needed(*arguments)


def test_as_many_as_needed_are_told_four_times_in_five():
    """Exact power of Fisher's test at the number given for 90 % against 60 %, summed over all outcomes."""
    from math import comb

    from nurserytui.answers.odds import fisher

    each = needed(0.9, 0.6)

    def chance(k: int, share: float) -> float:
        return comb(each, k) * share**k * (1 - share) ** (each - k)

    power = sum(
        chance(a, 0.9) * chance(c, 0.6)
        for a in range(each + 1)
        for c in range(each + 1)
        if chance(a, 0.9) * chance(c, 0.6) > 1e-9 and fisher(a, each - a, c, each - c) < 0.05
    )
    assert 0.78 < power < 0.87
