from __future__ import annotations

from math import exp, log, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.biology.fitting import Observed, Prior, fit

PRIOR = Prior(base=14.0, base_spread=3.0, upper=36.0, upper_spread=2.0, foot=10.0, fall=3.0, error=0.06)


def warmth(celsius: float, base: float = 14.0, upper: float = 36.0) -> float:
    straight = celsius - base if celsius >= base + 10 else max(celsius - base + 10, 0.0) ** 2 / 40
    return straight / (1 + exp((celsius - upper) / 3.0))


def test_rows_on_a_curve_of_the_family_give_that_curve_back():
    rows = [Observed(celsius, 60 / warmth(celsius, 12, 35), error=0.001) for celsius in (12, 16, 20, 25, 30, 34)]
    fitted = fit(rows, PRIOR)
    assert (fitted.base, fitted.upper, exp(fitted.log_need)) == pytest.approx((12, 35, 60), rel=0.01)
    for row in rows:
        assert fitted.days(row.celsius) == pytest.approx(row.days, rel=0.002)
        assert fitted.curve().days(row.celsius) == pytest.approx(row.days, rel=0.02)


def test_one_row_keeps_to_the_prior_and_to_the_row():
    fitted = fit([Observed(25, 5)], PRIOR)
    assert (fitted.base, fitted.upper) == pytest.approx((14, 36), abs=0.01)
    assert fitted.days(25) == pytest.approx(5, rel=1e-4)


def test_the_doubt_grows_away_from_what_was_observed():
    fitted = fit([Observed(24, 6), Observed(26, 5)], PRIOR)
    assert fitted.spread(25) < fitted.spread(20) < fitted.spread(15)
    assert fitted.spread(25) < fitted.spread(33)
    more = fit([Observed(24, 6), Observed(26, 5), Observed(15, 25)], PRIOR)
    assert more.spread(15) < fitted.spread(15)


def test_a_mean_of_many_animals_weighs_more_than_a_diary():
    diary, series = Observed(25, 8, count=1), Observed(25, 5, count=200)
    assert abs(log(fit([diary, series], PRIOR).days(25) / 5)) < abs(log(fit([diary, series], PRIOR).days(25) / 8))


def test_a_swing_is_the_mean_of_the_day():
    """What a chamber that swings shows is what a timeline of that swing gives along the fitted curve."""
    from datetime import datetime

    from nurserytui.biology.timeline import Timeline

    rows = [Observed(16, 35, 5), Observed(26, 13, 5), Observed(34, 13.7, 5)]
    fitted = fit(rows, PRIOR)
    start = datetime(2030, 1, 1)
    for row in rows:
        timeline = Timeline.daily_cycle(row.celsius - 5, row.celsius + 5, start.date(), 60)
        days = (timeline.when(fitted.curve(), start, 1.0) - start).total_seconds() / 86400
        assert days == pytest.approx(fitted.days(row.celsius, 5), rel=0.03)


def test_a_swing_across_the_bend_of_heat_slows():
    fitted = fit([Observed(20, 32), Observed(30, 13)], PRIOR)
    assert fitted.days(30, 10) > fitted.days(30)
    assert fitted.days(14, 8) < fitted.days(14)


@given(
    st.lists(st.tuples(st.floats(8, 34), st.floats(1, 100)), min_size=1, max_size=8),
    st.sampled_from([0.0, 5.0]),
)
@settings(max_examples=60, deadline=None)
def test_any_rows_give_a_curve_that_can_be_used(pairs, swing):
    fitted = fit([Observed(celsius, days, swing) for celsius, days in pairs], PRIOR)
    curve = fitted.curve()
    assert curve.knots[0][1] == curve.knots[-1][1] == 0.0
    assert all(fitted.spread(celsius) >= 0.0 for celsius in range(5, 40, 5))
    fastest = max(range(len(curve.knots)), key=lambda at: curve.knots[at][1])
    rates = [rate for _, rate in curve.knots]
    assert rates[: fastest + 1] == sorted(rates[: fastest + 1])
    assert rates[fastest:] == sorted(rates[fastest:], reverse=True)


@given(st.floats(0.2, 5))
@settings(max_examples=20, deadline=None)
def test_the_unit_of_time_does_not_matter(factor):
    rows = [Observed(16, 30), Observed(22, 15), Observed(30, 8)]
    one, other = fit(rows, PRIOR), fit([row._replace(days=row.days * factor) for row in rows], PRIOR)
    assert other.days(18) == pytest.approx(one.days(18) * factor, rel=1e-3)


@pytest.mark.parametrize("rows", [[], [Observed(20, 0)], [Observed(20, -3)], [Observed(nan, 5)], [Observed(20, nan)]])
def test_impossible_rows(rows):
    with pytest.raises(ValueError):
        fit(rows, PRIOR)


def test_the_same_best_fit_as_a_general_optimizer():
    """scipy.optimize.least_squares on the same residuals."""
    optimize = pytest.importorskip("scipy.optimize")
    rows = [Observed(15, 15), Observed(20, 6.7), Observed(30, 2.9), Observed(32, 2.8)]

    def residuals(at):
        need, base, upper = at
        off = [(need - log(warmth(row.celsius, base, upper)) - log(row.days)) / PRIOR.error for row in rows]
        return [*off, (base - PRIOR.base) / PRIOR.base_spread, (upper - PRIOR.upper) / PRIOR.upper_spread]

    best = optimize.least_squares(residuals, [4.0, 14.0, 36.0]).x
    fitted = fit(rows, PRIOR)
    assert (fitted.log_need, fitted.base, fitted.upper) == pytest.approx(tuple(best), abs=0.02)
