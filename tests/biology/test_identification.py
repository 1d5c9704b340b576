"""Bayes' rule over candidates, and the information of the next look, against exact fractions and another program's entropy."""

from __future__ import annotations

from fractions import Fraction
from math import log2

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology.identification import entropy, expected_information, posterior

scipy_stats = pytest.importorskip("scipy.stats")

chance = st.floats(0.001, 1)


def rows(count: int, width: int):
    row = st.lists(chance, min_size=width, max_size=width).map(lambda each: [one / sum(each) for one in each])
    return st.lists(row, min_size=count, max_size=count)


def test_a_worked_case_in_exact_fractions():
    # Three candidates, two things seen: weights 1/2·3/4·1/5, 1/3·1/4·4/5 and 1/6·1/2·1/2.
    exact = [Fraction(1, 2) * Fraction(3, 4) * Fraction(1, 5), Fraction(1, 3) * Fraction(1, 4) * Fraction(4, 5), Fraction(1, 24)]
    found = posterior([1 / 2, 1 / 3, 1 / 6], [[3 / 4, 1 / 5], [1 / 4, 4 / 5], [1 / 2, 1 / 2]])
    assert found == pytest.approx([float(one / sum(exact)) for one in exact], rel=1e-12)


def test_a_look_that_settles_it_tells_all_the_doubt_there_is():
    assert expected_information([1, 1], [[1, 0], [0, 1]]) == pytest.approx(1.0)
    assert expected_information([0.25, 0.75], [[1, 0], [0, 1]]) == pytest.approx(entropy([0.25, 0.75]))
    assert expected_information([1, 1], [[0.3, 0.7], [0.3, 0.7]]) == pytest.approx(0.0, abs=1e-12)


def test_a_worked_look():
    # Even odds, outcomes 3/4 and 1/4 against 1/4 and 3/4: one bit less the doubt that 3 to 1 leaves.
    assert expected_information([1, 1], [[0.75, 0.25], [0.25, 0.75]]) == pytest.approx(1 + 0.75 * log2(0.75) + 0.25 * log2(0.25))


@given(st.lists(chance, min_size=4, max_size=4), rows(4, 3))
def test_information_is_the_doubt_before_less_the_mean_doubt_after(weights, outcomes):
    total = sum(weights)
    shares = [weight / total for weight in weights]
    after = 0.0
    for column in zip(*outcomes):
        mass = sum(share * each for share, each in zip(shares, column))
        after += mass * scipy_stats.entropy([share * each for share, each in zip(shares, column)], base=2)
    expected = scipy_stats.entropy(shares, base=2) - after
    assert expected_information(weights, outcomes) == pytest.approx(expected, abs=1e-9)
    assert -1e-12 <= expected_information(weights, outcomes) <= entropy(shares) + 1e-9


@given(st.lists(chance, min_size=3, max_size=3), rows(3, 4))
def test_shares_sum_to_one_and_keep_their_order_under_scale(weights, likelihoods):
    found = posterior(weights, likelihoods)
    assert sum(found) == pytest.approx(1.0)
    assert posterior([7 * weight for weight in weights], likelihoods) == pytest.approx(found)


def test_many_unlikely_things_do_not_vanish():
    found = posterior([1, 1], [[1e-200, 1e-200], [1e-200, 2e-200]])
    assert found == pytest.approx([1 / 3, 2 / 3])


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: posterior([1], []),
        lambda: posterior([-1, 2], [[1], [1]]),
        lambda: posterior([1, 1], [[0], [0]]),
        lambda: posterior([], []),
        lambda: expected_information([1, 1], [[1.0], [0.5, 0.5]]),
        lambda: expected_information([1, 1], [[0.5, 0.4], [0.5, 0.5]]),
        lambda: expected_information([0, 0], [[1.0], [1.0]]),
        lambda: expected_information([1, -1], [[1.0], [1.0]]),
    ],
)
def test_impossible_arguments(impossible):
    with pytest.raises(ValueError):
        impossible()
