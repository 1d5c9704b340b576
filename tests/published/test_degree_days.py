"""Degree-days against published tables and worked examples (`degree_day_checks.py` holds them), and what must hold by itself."""

from __future__ import annotations

from datetime import datetime, timedelta
from math import nan
from random import Random

import pytest
from checks import ids
from degree_day_checks import FAULTY, MISPRINT, TABLE_7, checks

from nurserytui.biology import degree_days, degree_days_of_readings

CHECKS = checks()
METHODS = ("average", "modified-average", "single-triangle", "double-triangle", "single-sine", "double-sine")


@pytest.mark.parametrize("check", CHECKS, ids=ids(CHECKS))
def test_published(check):
    assert check.holds, check.said


def test_every_cell_and_every_method_is_checked():
    assert sum("21373" in check.source for check in CHECKS) == 48 == 4 * len(TABLE_7)
    assert sum("McMaster" in check.source for check in CHECKS) == 20
    for method in METHODS:
        assert any(check.about.startswith(method) and check.corrected is None and check.expected > 0 for check in CHECKS)


def test_faults_of_the_sources_are_named_and_not_met():
    faulty = [check for check in CHECKS if check.corrected is not None]
    assert len(faulty) == 1 + len(FAULTY)
    assert all(check.fault and abs(check.computed() - check.published) > 1 for check in faulty)


def test_the_misprinted_cell_is_the_mean_of_its_halves():
    halves = [degree_days(60, 100, 55, 90, method="single-triangle"), degree_days(75, 100, 55, 90, method="single-triangle")]
    assert halves == pytest.approx([23.75, 30.5])
    low, high, next_low, method = MISPRINT
    assert degree_days(low, high, 55, 90, next_low=next_low, method=method) == pytest.approx(sum(halves) / 2)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("steady, expected", [(5, 0), (10, 0), (18.5, 8.5), (30, 20), (41, 20)])
def test_at_one_steady_temperature_every_method_gives_its_height_above_the_base(method, steady, expected):
    assert degree_days(steady, steady, 10, 30, next_low=steady, method=method) == pytest.approx(expected)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("low, high", [(12, 28), (10, 30), (15, 16)])
def test_with_both_thresholds_outside_the_day_every_method_is_the_plain_mean(method, low, high):
    """Acta Biotheoretica 2014, 62:69-90: the plain average is accurate there."""
    assert degree_days(low, high, 10, 30, next_low=low, method=method) == pytest.approx((low + high) / 2 - 10)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("low, high, ceiling, most", [(31, 40, 30, 20), (29, 45, 30, 20), (12, 50, 30, 20)])
def test_the_cut_off_is_horizontal(method, low, high, ceiling, most):
    """Never more than ceiling less base, and no less for more heat above the ceiling."""
    value = degree_days(low, high, 10, ceiling, next_low=low, method=method)
    assert value <= most + 1e-9
    hotter = degree_days(low, high + 5, 10, ceiling, next_low=low, method=method)
    assert hotter >= value - 1e-9
    assert degree_days(low, high, 10, next_low=low, method=method) > value


def test_the_two_averages_cut_off_each_by_its_own_rule():
    # The mean 29 of 18 to 40 is capped at 27; the extremes 18 and 40 are brought to 18 and 27, mean 22.5.
    assert degree_days(18, 40, 10, 27, method="average") == 17
    assert degree_days(18, 40, 10, 27, method="modified-average") == 12.5
    # Lower threshold inside the day: 4 to 18 has mean 11; with 4 raised to 10 it is 14.
    assert degree_days(4, 18, 10, method="average") == 1
    assert degree_days(4, 18, 10, method="modified-average") == 4


def four_cases(low: float, high: float, base: float) -> float:
    """The cruder rule of some weather services (Met Éireann, degree-day data page)."""
    mean = (low + high) / 2
    if low >= base:
        return mean - base
    if high <= base:
        return 0.0
    return (high - base) / 2 - (base - low) / 4 if mean > base else (high - base) / 4


@pytest.mark.parametrize("low, high", [(12, 20), (10, 25), (2, 9), (-4, 10)])
@pytest.mark.parametrize("method", ["single-sine", "single-triangle", "modified-average"])
def test_a_weather_service_rule_agrees_where_the_base_is_outside_the_day(low, high, method):
    assert degree_days(low, high, 10, method=method) == pytest.approx(four_cases(low, high, 10))


@pytest.mark.parametrize("low, high", [(5, 20), (0, 15), (8, 11), (2, 12)])
def test_and_is_near_the_sine_where_it_is_inside(low, high):
    assert degree_days(low, high, 10) == pytest.approx(four_cases(low, high, 10), abs=0.05 * (high - low))


def logger(seed: int) -> tuple[list[datetime], list[float]]:
    """Irregular readings of five days that cross both thresholds, not a few of them below the base."""
    chance, hours = Random(seed), [0.0]
    while hours[-1] < 120:
        hours.append(hours[-1] + chance.choice((0.25, 0.5, 1.0, 2.75, 5.5)))
    start = datetime(2031, 5, 3, 7, 20)
    return [start + timedelta(hours=each) for each in hours], [chance.uniform(2, 36) for _ in hours]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("base, ceiling", [(10, 30), (11.5, None), (0, 25), (20, 20.5)])
def test_the_integral_over_irregular_readings_is_exact(seed, base, ceiling):
    """Adaptive quadrature along the interpolated line."""
    integrate = pytest.importorskip("scipy.integrate")
    numpy = pytest.importorskip("numpy")
    times, values = logger(seed)
    days = [(each - times[0]) / timedelta(days=1) for each in times]

    def height(day: float) -> float:
        celsius = float(numpy.interp(day, days, values))
        return max(min(celsius, ceiling if ceiling is not None else celsius) - base, 0.0)

    corners = {*days}
    for (start, before), (end, after) in zip(zip(days, values), list(zip(days, values))[1:], strict=False):
        for line in (base, ceiling):
            if line is not None and (before - line) * (after - line) < 0:
                corners.add(start + (end - start) * (line - before) / (after - before))
    edges = sorted(corners)
    total = sum(integrate.quad(height, start, end, epsabs=1e-12)[0] for start, end in zip(edges, edges[1:], strict=False))
    result = degree_days_of_readings(times, values, base, ceiling)
    assert result.degree_days == pytest.approx(total, abs=1e-9)
    assert (result.gaps, result.rejected) == ([], [])


@pytest.mark.parametrize("seed", range(3))
def test_gaps_and_faulty_readings_are_named_and_their_hours_left_out(seed):
    times, values = logger(seed)
    whole = degree_days_of_readings(times, values, 10, 30)
    # Two readings are faults, and between two others the logger stood still for ten hours.
    broken = [*values]
    broken[5], broken[11] = 85.0, nan
    late = [when + timedelta(hours=10) if at >= 20 else when for at, when in enumerate(times)]
    result = degree_days_of_readings(late, broken, 10, 30)
    assert [when for when, _ in result.rejected] == [late[5], late[11]]
    assert (late[19], late[20]) in result.gaps
    kept = [at for at in range(len(times)) if at not in (5, 11)]
    parts = 0.0
    for before, after in zip(kept, kept[1:], strict=False):
        span = late[after] - late[before]
        if span <= timedelta(hours=6):
            parts += degree_days_of_readings([late[before], late[after]], [broken[before], broken[after]], 10, 30).degree_days
        else:
            assert (late[before], late[after]) in result.gaps
    assert result.degree_days == pytest.approx(parts)
    assert result.degree_days != pytest.approx(whole.degree_days, abs=0.01)


def test_hours_below_the_base_count_nothing_and_take_nothing_away():
    start = datetime(2031, 5, 3)
    times = [start + timedelta(hours=each) for each in (0, 6, 12, 18, 24)]
    # Six hours at 16, down to 0 in six hours, six hours at 0, up to 16: over 8, 8 for a quarter day and half of two slopes.
    result = degree_days_of_readings(times, [16, 16, 0, 0, 16], 8)
    assert result.degree_days == pytest.approx(8 * 0.25 + 2 * (4 * 0.125))
