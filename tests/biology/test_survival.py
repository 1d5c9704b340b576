from __future__ import annotations

from math import nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.biology import kaplan_meier, wilson
from nurserytui.biology.survival import curve_of


@given(st.integers(1, 500), st.data())
def test_wilson_holds_the_share_and_mirrors(n, data):
    k = data.draw(st.integers(0, n))
    low, high = wilson(k, n)
    assert 0 <= low <= k / n <= high <= 1
    assert wilson(n - k, n) == pytest.approx((1 - high, 1 - low))


def test_wilson_narrows_with_number_and_widens_with_level():
    def width(*arguments):
        low, high = wilson(*arguments)
        return high - low

    assert width(80, 100) < width(8, 10) < width(8, 10, 0.99)


@pytest.mark.parametrize("arguments", [(1, 0), (0, 0), (-1, 5), (6, 5), (2, 5, 0), (2, 5, 1), (2, 5, nan), (nan, 5)])
def test_wilson_refuses_what_is_no_proportion(arguments):
    with pytest.raises(ValueError):
        wilson(*arguments)


@given(st.lists(st.integers(0, 40), min_size=1, max_size=60))
def test_with_all_observed_the_curve_is_the_plain_share(durations):
    curve = kaplan_meier(durations, [True] * len(durations))
    for time, share in zip(curve.times, curve.survival, strict=True):
        plain = sum(each > time for each in durations) / len(durations)
        assert share == pytest.approx(plain, abs=1e-12)
    for share, variance in zip(curve.survival, curve.variance, strict=True):
        assert variance == pytest.approx(share * (1 - share) / len(durations), abs=1e-12)


@given(st.lists(st.tuples(st.integers(0, 40), st.booleans()), max_size=60))
def test_curves_fall_and_lose_animals(pairs):
    curve = kaplan_meier([time for time, _ in pairs], [seen for _, seen in pairs])
    assert len(curve.times) == len(curve.survival) == len(curve.variance) == len(curve.at_risk)
    assert list(curve.times) == sorted({time for time, seen in pairs if seen})
    assert list(curve.survival) == sorted(curve.survival, reverse=True)
    assert list(curve.at_risk) == sorted(curve.at_risk, reverse=True)
    assert all(0 <= share <= 1 for share in curve.survival)


def test_one_that_leaves_at_the_time_of_an_event_was_at_risk():
    curve = kaplan_meier([5, 5, 8], [True, False, True])
    assert curve.at_risk == (3, 1)
    assert curve.survival == pytest.approx((2 / 3, 0))
    assert curve.at(4.9) == 1
    assert curve.at(5) == pytest.approx(2 / 3)
    assert curve.median() == 8


def test_nothing_seen():
    assert kaplan_meier([], []) == ((), (), (), ())
    assert kaplan_meier([3, 4], [False, False]).median() is None


@pytest.mark.parametrize("durations, observed", [([1, 2], [True]), ([-1], [True]), ([nan], [True]), ([float("inf")], [False])])
def test_impossible_arguments(durations, observed):
    with pytest.raises(ValueError):
        kaplan_meier(durations, observed)


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(1, 30), st.booleans()), min_size=2, max_size=40), st.sampled_from((0.8, 0.95)))
def test_intervals_like_another_program(pairs, level):
    lifelines, utils = pytest.importorskip("lifelines"), pytest.importorskip("lifelines.utils")
    durations, observed = [time for time, _ in pairs], [seen for _, seen in pairs]
    curve = kaplan_meier(durations, observed)
    fitter = lifelines.KaplanMeierFitter(alpha=1 - level).fit(durations, observed)
    bounds = fitter.confidence_interval_
    for time, share in zip(curve.times, curve.survival, strict=True):
        if 0 < share < 1:
            assert curve.interval(time, level) == pytest.approx(tuple(bounds.loc[time]), abs=1e-9)
    middles = utils.median_survival_times(bounds)
    if curve.survival and curve.survival[-1] > 0:
        expected = [None if value == float("inf") else value for value in middles.iloc[0]]
        assert list(curve.median_interval(level)) == expected


def test_intervals_outside_the_steps():
    curve = kaplan_meier([5, 5, 8], [True, False, True])
    assert curve.interval(4) == (1.0, 1.0) and curve.interval(8) == (0.0, 0.0)
    with pytest.raises(ValueError):
        curve.interval(4, 1.0)


def test_a_curve_of_tallies_is_that_of_single_animals():
    assert curve_of({5: 2, 8: 1}, {5: 1, 9: 3}) == kaplan_meier(
        [5, 5, 5, 8, 9, 9, 9], [True, True, False, True, False, False, False]
    )
