from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology.chain import NODES, SCENARIOS, even_points, smooth
from nurserytui.biology.normal import below, quantile


@given(st.sampled_from([SCENARIOS, NODES]), st.integers(1, 20), st.integers(0, 40))
def test_every_coordinate_takes_every_cell_once(count, dimensions, turn):
    points = even_points(count, dimensions, turn)
    assert len(points) == count
    for column in zip(*points, strict=True):
        assert sorted(column) == list(range(count))


@pytest.mark.parametrize("dimensions", [2, 3, 4])
def test_sums_over_the_points_come_out_normal(dimensions):
    scores = [quantile((cell + 0.5) / SCENARIOS) for cell in range(SCENARIOS)]
    unit = sqrt(sum(z * z for z in scores) / SCENARIOS)
    sums = sorted(sum(scores[cell] for cell in cells) / unit / sqrt(dimensions) for cells in even_points(SCENARIOS, dimensions))
    assert sqrt(sum(each * each for each in sums) / SCENARIOS) == pytest.approx(1, abs=0.06)
    assert sums[SCENARIOS // 2] == pytest.approx(0, abs=0.1)
    # The stretch that intervals at a level of 0.9 are read from.
    off = [each - quantile((at + 0.5) / SCENARIOS) for at, each in enumerate(sums)][1:-1]
    assert sqrt(sum(each * each for each in off) / len(off)) < 0.1


def test_nodes_of_a_normal_give_it_back_into_the_tails():
    done = smooth([10 + 2 * quantile((at + 0.5) / 40) for at in range(40)])
    for z in (-3.5, -2, -0.3, 0, 1, 2.5, 4):
        assert done(10 + 2 * z) == pytest.approx(below(z), abs=1e-6)
    assert done(0) == done(-1) == 0


def test_nothing_is_done_before_now():
    done = smooth([0.5 + at / 10 for at in range(40)])
    chances = [done(at / 100) for at in range(60)]
    assert chances[0] == 0
    assert chances == sorted(chances)
    assert chances[1] < 0.001


def test_nodes_in_one_place_are_a_step():
    done = smooth([5.0] * 40)
    assert done(4.9) < 1e-9
    assert done(5.1) > 1 - 1e-9
