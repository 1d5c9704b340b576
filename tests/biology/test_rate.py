from __future__ import annotations

from math import nan

import pytest

from nurserytui.biology.rate import RateCurve


@pytest.mark.parametrize("celsius, rate", [(-5, 0), (10, 0), (11, 0.02), (20, 0.2), (30, 0.4), (31, 0.4), (50, 0.4)])
def test_degree_days_make_a_line_with_a_flat_top(celsius, rate):
    assert RateCurve.from_degree_days(10, 50, 30).rate(celsius) == pytest.approx(rate)


@pytest.mark.parametrize("celsius, rate", [(30, 0.4), (35, 0.2), (40, 0), (45, 0)])
def test_a_lethal_limit_ends_development(celsius, rate):
    assert RateCurve.from_degree_days(10, 50, 30, 40).rate(celsius) == pytest.approx(rate)


def test_without_a_ceiling_the_line_runs_on():
    assert RateCurve.from_degree_days(10, 50).rate(45) == pytest.approx(0.7)


def test_days_at_a_steady_temperature():
    curve = RateCurve.from_degree_days(11.5, 48, 30)
    assert curve.days(23.5) == pytest.approx(4)
    assert curve.days(11.5) is None


def test_scaled_multiplies_the_days():
    curve = RateCurve.from_degree_days(10, 50, 30)
    assert curve.scaled(1.2).days(20) == pytest.approx(6)


def test_curves_are_keys():
    assert len({RateCurve.from_degree_days(10, 50, 30), RateCurve.from_degree_days(10, 50, 30)}) == 1


@pytest.mark.parametrize(
    "build",
    [
        lambda: RateCurve.of([(10, 0)]),
        lambda: RateCurve.of([(10, 0.1), (20, 0.2)]),
        lambda: RateCurve.of([(10, 0), (20, 0)]),
        lambda: RateCurve.of([(10, 0), (20, -0.1)]),
        lambda: RateCurve.of([(20, 0), (10, 0.2)]),
        lambda: RateCurve.of([(nan, 0), (10, 0.2)]),
        lambda: RateCurve.from_degree_days(10, 0),
        lambda: RateCurve.from_degree_days(10, nan),
        lambda: RateCurve.from_degree_days(30, 50, 20),
        lambda: RateCurve.from_degree_days(10, 50, 30, 30),
        lambda: RateCurve.from_degree_days(10, 50).scaled(0),
    ],
)
def test_impossible_curves(build):
    with pytest.raises(ValueError):
        build()


@pytest.mark.parametrize("celsius", [8.0, 12.0, 20.0, 29.0, 34.0])
def test_a_warmed_curve_is_the_curve_two_degrees_further_on(celsius):
    curve = RateCurve.from_degree_days(10.0, 100.0, 30.0)
    assert curve.warmed(2.0).rate(celsius) == pytest.approx(curve.rate(celsius + 2.0))
