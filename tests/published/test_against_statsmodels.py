"""Shares, curves and comparisons against another program: statsmodels 0.15 (Seabold & Perktold 2010, Proc. 9th Python in Science Conf.)."""

from __future__ import annotations

import random

import pytest

from nurserytui.biology import kaplan_meier, wilson
from nurserytui.biology.differences import holm, log_rank

stats = pytest.importorskip("statsmodels.stats.proportion")

ISLAND_MARBLE = (1213, 1094, 968, 930)
"""Eggs, hatched, pupated, adults: rearing records of the island marble 2015-2023 (open data, repository bbecker1000/IMB)."""


@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
@pytest.mark.parametrize(
    ("k", "n"), [(0, 1), (1, 1), (3, 7), (11, 12), (50, 100), *zip(ISLAND_MARBLE[1:], ISLAND_MARBLE, strict=False)]
)
def test_the_interval_of_a_share(k, n, level):
    low, high = stats.proportion_confint(k, n, alpha=1 - level, method="wilson")
    assert wilson(k, n, level) == pytest.approx((low, high), abs=1e-12)


def drawn(seed: int, count: int) -> tuple[list[float], list[bool]]:
    rng = random.Random(seed)
    return [float(rng.randint(1, 20)) for _ in range(count)], [rng.random() < 0.7 for _ in range(count)]


@pytest.mark.parametrize("seed", range(5))
def test_the_share_still_alive(seed):
    from statsmodels.duration.survfunc import SurvfuncRight

    durations, seen = drawn(seed, 40)
    other, ours = SurvfuncRight(durations, [int(one) for one in seen]), kaplan_meier(durations, seen)
    assert ours.times == pytest.approx(other.surv_times) and ours.survival == pytest.approx(other.surv_prob)
    deviations = [variance**0.5 for variance, share in zip(ours.variance, ours.survival, strict=True) if share > 0]
    assert deviations == pytest.approx(list(other.surv_prob_se)[: len(deviations)])


@pytest.mark.parametrize("seed", range(5))
def test_whether_two_curves_differ(seed):
    from statsmodels.duration.survfunc import survdiff

    (one, seen), (two, seen_too) = drawn(seed, 25), drawn(seed + 100, 31)
    chi_square, p = survdiff([*one, *two], [int(each) for each in (*seen, *seen_too)], [0] * len(one) + [1] * len(two))
    found = log_rank(one, seen, two, seen_too)
    assert (found.chi_square, found.p) == pytest.approx((chi_square, p), abs=1e-9)


@pytest.mark.parametrize("chances", [[0.01], [0.04, 0.01, 0.03], [0.5, 0.5, 0.001, 0.2], [0.02, 0.02, 0.02]])
def test_several_comparisons_at_once(chances):
    from statsmodels.stats.multitest import multipletests

    assert holm(chances) == pytest.approx(list(multipletests(chances, method="holm")[1]))
