"""Survival estimates against published tables (`survival_checks.py` holds them) and other people's programs."""

from __future__ import annotations

import pytest
from checks import ids
from survival_checks import PLACEBO, RELAPSED, WEEKS, checks

from nurserytui.biology import kaplan_meier, wilson

CHECKS = checks()


@pytest.mark.parametrize("check", CHECKS, ids=ids(CHECKS))
def test_published(check):
    assert check.holds, check.said


@pytest.mark.parametrize("time", [0, 1, 4.5, 8, 22, 23])
def test_without_anyone_leaving_the_estimate_is_the_plain_share_left(time):
    curve = kaplan_meier(PLACEBO, [True] * len(PLACEBO))
    assert curve.at(time) == pytest.approx(sum(each > time for each in PLACEBO) / len(PLACEBO))


@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
@pytest.mark.parametrize("k, n", [(0, 1), (1, 1), (3, 10), (50, 1213)])
def test_wilson_against_scipy(k, n, level):
    stats = pytest.importorskip("scipy.stats")
    other = stats.binomtest(k, n).proportion_ci(level, method="wilson")
    assert wilson(k, n, level) == pytest.approx((other.low, other.high), abs=1e-12)


def test_kaplan_meier_against_lifelines():
    lifelines = pytest.importorskip("lifelines")
    fitter = lifelines.KaplanMeierFitter().fit(WEEKS, RELAPSED)
    curve = kaplan_meier(WEEKS, RELAPSED)
    for time, share in zip(curve.times, curve.survival, strict=True):
        assert fitter.predict(time) == pytest.approx(share, abs=1e-12)
