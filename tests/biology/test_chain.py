from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology.chain import NODES, SCENARIOS, _rest, even_points, smooth
from nurserytui.biology.evidence import found, known, within
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


def stepwise(survivor, reached: float, count: int) -> tuple[float, float]:
    """The rough bounds of what is still to go, one step after the other."""
    low, high, edge = 0.0, 1e-4, 0.25 / count
    while 1.0 - survivor(reached + high) / survivor(reached) < 1.0 - edge and high < 1e4:
        if 1.0 - survivor(reached + high) / survivor(reached) < edge:
            low = high
        high *= 1.25
    return low, high


@given(st.floats(-0.5, 0.5), st.floats(0.03, 0.4), st.floats(1e-3, 2.0), st.floats(-1.0, 1.3))
def test_what_is_still_to_go_lies_within_the_bounds_found_step_by_step(effect, spread, width, reached):
    for survivor in (within(effect, spread, width), known(effect, spread), found(effect, spread)):
        if survivor(reached) < 1e-200:
            continue
        low, high = stepwise(survivor, reached, NODES)
        places = [low + (high - low) * at / NODES for at in range(NODES + 1)]
        chances = [1.0 - survivor(reached + place) / survivor(reached) for place in places]
        for cell, rest in enumerate(_rest(survivor, reached, NODES)):
            target = (cell + 0.5) / NODES
            right = min(max(next((at for at, chance in enumerate(chances) if chance >= target), NODES), 1), NODES)
            step = chances[right] - chances[right - 1]
            into = (target - chances[right - 1]) / step if step > 0.0 else 1.0
            assert rest == pytest.approx(places[right - 1] + (places[right] - places[right - 1]) * into, abs=1e-9)
