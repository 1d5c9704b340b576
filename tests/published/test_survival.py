"""Survival estimates against published data and other people's programs."""

from __future__ import annotations

from math import sqrt

import pytest

from nurserytui.biology import kaplan_meier, wilson

# Freireich et al. 1963, The effect of 6-mercaptopurine on the duration of steroid-induced remissions in acute leukemia, Blood 21:699-716:
# weeks of remission of 21 treated children, False where still in remission.
WEEKS = [6, 6, 6, 7, 10, 13, 16, 22, 23, 6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
RELAPSED = [True] * 9 + [False] * 12

# As tabled in textbooks of survival analysis (Kleinbaum & Klein; Cox & Oakes): time, at risk, share, standard error (Greenwood).
TABLE = [
    (6, 21, 0.857, 0.0764),
    (7, 17, 0.807, 0.0869),
    (10, 15, 0.753, 0.0963),
    (13, 12, 0.690, 0.1068),
    (16, 11, 0.627, 0.1141),
    (22, 7, 0.538, 0.1282),
    (23, 6, 0.448, 0.1346),
]


def test_freireich_1963():
    curve = kaplan_meier(WEEKS, RELAPSED)
    assert list(curve.times) == [time for time, *_ in TABLE]
    assert list(curve.at_risk) == [at_risk for _, at_risk, *_ in TABLE]
    assert list(curve.survival) == pytest.approx([share for *_, share, _ in TABLE], abs=0.0005)
    assert [sqrt(each) for each in curve.variance] == pytest.approx([error for *_, error in TABLE], abs=0.00006)
    assert curve.median() == 23


# Freireich's untreated children: all relapsed, so the estimate is the plain share left. Median 8 weeks, as published.
def test_freireich_1963_placebo():
    weeks = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]
    curve = kaplan_meier(weeks, [True] * 21)
    assert curve.median() == 8
    for time in (0, 1, 4.5, 8, 22, 23):
        assert curve.at(time) == pytest.approx(sum(each > time for each in weeks) / 21)


# Newcombe 1998, Two-sided confidence intervals for the single proportion, Stat. Med. 17:857-872, Table I, method 3 (score, no continuity).
@pytest.mark.parametrize(
    "k, n, low, high",
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_newcombe_1998_table_1(k, n, low, high):
    assert wilson(k, n) == pytest.approx((low, high), abs=0.00006)


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
