"""Truths fall into the forecast's intervals as often as it says; `report.py` prints the same tables with more cohorts."""

from __future__ import annotations

from math import erfc, exp, sqrt
from random import Random

import pytest
from calibration import (
    CASES,
    CHAINED,
    INSTAR_NEEDS,
    NEEDS,
    OTHERWISE,
    OWN,
    SPRING,
    STEADY,
    Row,
    draw_standing,
    irregular,
    moment,
    rows,
    tables,
)
from uniform import SIGNIFICANCE, Tally, chi_square_tail

from nurserytui.biology.forecast import Group, Known, Unknown, forecast

REPLICATES = {OWN: 100, CHAINED: 50, OTHERWISE: 50}
ALONE = 1000
"""Of one animal few things can be known, and forecasts are computed once."""


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_truths_fall_where_the_forecast_says(case):
    replicates = ALONE if case.count == 1 else REPLICATES[case.kind]
    found = rows(case, replicates)
    assert found and all(row.tally.total == replicates for row in found)
    assert not [(row.what, row.tally.counts, row.faults) for row in found if row.faults]


# The checks themselves: they must be able to fail, and the simulation must be what it says.


@pytest.mark.parametrize(
    "counts, faults",
    [
        ([8, 30, 37, 38, 30, 7], []),
        ([25, 25, 25, 25, 25, 25], ["50 % interval too narrow", "90 % interval too narrow", "ranks uneven"]),
        ([0, 25, 50, 50, 25, 0], ["50 % interval too wide", "90 % interval too wide", "ranks uneven"]),
        ([2, 10, 25, 40, 55, 18], ["ranks uneven"]),
    ],
)
def test_a_wrong_forecast_would_be_found(counts, faults):
    tally = Tally((0.05, 0.20, 0.25, 0.25, 0.20, 0.05), counts)
    assert Row(CASES[0], "middle", tally).faults == faults


def test_a_spread_taken_too_small_is_found_in_the_simulation_itself(monkeypatch):
    import calibration

    monkeypatch.setattr(calibration, "EGG", calibration.EGG._replace(between=0.02, within=0.05))
    assert "90 % interval too narrow" in rows(CASES[0], 150)[0].faults


def test_chi_square_tail():
    # Upper 5 % and 0.1 % points: Abramowitz & Stegun 1964, table 26.8.
    for freedom, five, least in ((1, 3.84146, 10.828), (2, 5.99146, 13.816), (4, 9.48773, 18.467), (5, 11.0705, 20.515)):
        assert chi_square_tail(five, freedom) == pytest.approx(0.05, rel=1e-4)
        assert chi_square_tail(least, freedom) == pytest.approx(0.001, rel=1e-3)
    assert chi_square_tail(2.0, 1) == pytest.approx(erfc(1.0))
    assert chi_square_tail(3.0, 2) == pytest.approx(exp(-1.5))


def test_the_air_of_the_simulation_and_the_timeline_give_the_same_heat():
    """Two ways to the same degree-days: plain steps here, exact integrals there."""
    from nurserytui.biology.rate import RateCurve

    curve = RateCurve.from_degree_days(10.0, 100.0, 30.0)
    for air in (STEADY, SPRING):
        for start, end in ((0.3, 1.1), (20.0, 45.5), (60.2, 61.9)):
            steps = air.sum_at(end) - air.sum_at(start)
            assert 100 * air.timeline.progress(curve, moment(start), moment(end)) == pytest.approx(steps, abs=0.02)
            assert air.sum_at(air.after(start, steps)) == pytest.approx(air.sum_at(end))


def test_animals_met_in_a_stage_have_half_of_it_behind_them_and_are_the_slow_ones():
    chance = Random(3)
    met = [draw_standing(chance, 50.0, 0.0, 0.3) for _ in range(6000)]
    assert sum(age / whole for age, whole in met) / len(met) == pytest.approx(0.5, abs=0.015)
    # Met in proportion to the duration: mean of squares over mean, 1 + 0.3².
    assert sum(whole for _, whole in met) / len(met) / 50 == pytest.approx(1 + 0.3**2, abs=0.02)
    assert sum(INSTAR_NEEDS) == pytest.approx(NEEDS["larva"])


def test_irregular_looks_end_now_and_lie_after_the_start():
    looks = irregular(Random(1), 3.0, 12.0)
    assert looks[-1] == 12.0 and looks == sorted(looks) and looks[0] > 3.0 and len(looks) > 3


def test_the_tables_are_whole():
    ((_, header, table),) = tables(20, CASES[:2])
    assert all(len(row) == len(header) for row in table)
    assert [row[:2] for row in table] == [
        *((CASES[0].name, what) for what in ("middle", "effect")),
        *((CASES[1].name, what) for what in ("first", "middle", "last", "effect")),
    ]
    assert SIGNIFICANCE == 0.001


def test_a_batch_is_not_taken_for_younger_than_it_may_be():
    """The youngest age counted double once, so that a batch found today was forecast too late: its 95 % point lay at 98 %."""
    from calibration import EGG, _batch, effect_of

    chance, now = Random(17), moment(20.0)
    seen = forecast([EGG], Group(12, Unknown(now, together=True)), STEADY.timeline, now)
    left = []
    for _ in range(4000):
        left.append(sorted(_batch(chance, 50.0, effect_of(chance), 12))[5] / 10.0)
    days = [(each - now).total_seconds() / 86400 for each in (seen.median.low, seen.median.at, seen.median.high)]
    below = [sum(each <= day for each in left) / len(left) for day in days]
    # Four standard errors of a share of 4,000, and half a point for the sixth of twelve as the middle.
    for share, expected in zip(below, (0.05, 0.5, 0.95), strict=True):
        assert abs(share - expected) < 4 * sqrt(expected * (1 - expected) / 4000) + 0.005


def test_the_shared_effect_of_a_batch_is_said_as_wide_as_it_is():
    """A batch's effect stands on fifteen nodes: taken as even cells, its 90 % interval held 91.4 %."""
    from calibration import EGG

    now = moment(20.0)
    batch = forecast([EGG], Group(12, Unknown(now, together=True)), STEADY.timeline, now)
    plain = forecast([EGG], Group(12, Known(now)), STEADY.timeline, now)
    for seen in (batch, plain):
        assert seen.shift_high == pytest.approx(exp(1.6449 * 0.1), abs=0.002)
        assert seen.shift_low == pytest.approx(exp(-1.6449 * 0.1), abs=0.002)
