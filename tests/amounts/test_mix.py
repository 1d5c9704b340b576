"""Dilution: volumes add up, strengths follow, and what cannot be is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.amounts import dilution, registry, share_for, strength


def litres(value):
    return registry().Quantity(value, "liter")


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"share": 0.1, "target_ppm": 500, "stock_percent": 5},
        {"target_ppm": 500},
        {"target_percent": 0.5},
        {"target_ppm": 52_500, "stock_percent": 5.25},
        {"target_ppm": 60_000, "stock_percent": 5.25},
        {"target_percent": 6, "stock_percent": 6},
        {"target_percent": 10, "stock_percent": 8.25},
        {"share": 0},
        {"share": 1.2},
        {"share": -0.1},
        {"share": float("nan")},
        {"target_ppm": 0, "stock_percent": 5},
        {"target_ppm": -5, "stock_percent": 5},
        {"target_ppm": 500, "stock_percent": 0},
        {"target_ppm": 500, "stock_percent": 101},
        {"share": True},
    ],
)
def test_the_impossible_is_refused(asked):
    with pytest.raises(ValueError):
        dilution(litres(1), **asked)


@pytest.mark.parametrize("total", [0, -1, float("inf"), float("nan")])
def test_a_total_above_zero_is_needed(total):
    with pytest.raises(ValueError):
        dilution(litres(total), share=0.1)


@pytest.mark.parametrize("total", [5, None, "1 litre"])
def test_a_total_without_a_unit_is_refused(total):
    with pytest.raises(ValueError):
        dilution(total, share=0.1)


def test_a_length_is_no_volume():
    with pytest.raises(ValueError):
        dilution(registry().Quantity(1, "meter"), share=0.1)


def test_a_share_needs_no_label_and_then_has_no_strength():
    mix = dilution(litres(2), share=0.1)
    assert mix.ppm is None
    assert mix.stock.to("milliliter").magnitude == pytest.approx(200)
    assert mix.water.to("milliliter").magnitude == pytest.approx(1800)


def test_volumes_come_in_the_unit_of_the_total():
    mix = dilution(registry().Quantity(1, "gallon"), stock_percent=6, target_ppm=1000)
    assert {str(each.units) for each in mix[:3]} == {"gallon"}


@given(st.floats(0.001, 1000), st.floats(1, 15), st.floats(0.001, 0.99))
def test_parts_add_up_and_carry_the_strength(total, stock, part):
    mix = dilution(litres(total), stock_percent=stock, target_ppm=part * stock * 10_000)
    assert (mix.stock + mix.water).magnitude == pytest.approx(mix.total.magnitude)
    assert mix.stock.magnitude * stock * 10_000 / mix.total.magnitude == pytest.approx(mix.ppm)
    assert strength(stock, share_for(stock_percent=stock, target_ppm=mix.ppm)) == pytest.approx(mix.ppm)
