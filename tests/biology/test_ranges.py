from __future__ import annotations

from math import exp, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology.ranges import Range, chance_above, exactly, inverse, pooled, product, quotient

RANGES = st.builds(
    lambda value, down, up: Range(value, value / down, value * up), st.floats(0.01, 100), st.floats(1, 10), st.floats(1, 10)
)


@given(RANGES, RANGES)
def test_a_product_is_wider_than_its_parts_and_narrower_than_their_corners(one, other):
    both = product(one, other)
    assert both.value == pytest.approx(one.value * other.value)
    for side in ("low", "high"):
        ratios = sorted(getattr(each, side) / each.value for each in (one, other))
        corner = ratios[0] * ratios[1]
        mine = getattr(both, side) / both.value
        if side == "low":
            assert corner * (1 - 1e-9) <= mine <= ratios[0] * (1 + 1e-9)
        else:
            assert ratios[1] * (1 - 1e-9) <= mine <= corner * (1 + 1e-9)


@given(RANGES)
def test_the_inverse_of_the_inverse_is_the_same(one):
    assert inverse(inverse(one)) == pytest.approx(one)
    assert quotient(one, exactly(2.0)) == pytest.approx(one.times(0.5))


def test_equal_spreads_multiply_by_the_square_root_of_two():
    one = Range(1.0, exp(-1), exp(1))
    assert product(one, one) == pytest.approx((1.0, exp(-sqrt(2)), exp(sqrt(2))))


@given(st.lists(RANGES, min_size=1, max_size=5))
def test_what_is_pooled_holds_every_bound(ranges):
    held = pooled(ranges)
    assert held.low == min(one.low for one in ranges) and held.high == max(one.high for one in ranges)
    assert held.low <= held.value * (1 + 1e-9) and held.value <= held.high * (1 + 1e-9)


@pytest.mark.parametrize(
    ("one", "least", "chance"),
    [
        (Range(1.0, 0.5, 2.0), 1.0, 0.5),
        (Range(1.0, 0.5, 2.0), 0.5, 0.95),
        (Range(1.0, 0.5, 2.0), 2.0, 0.05),
        (Range(1.0, 0.5, 8.0), 2.0, 0.292),
        (exactly(3.0), 2.9, 1.0),
        (exactly(3.0), 3.0, 1.0),
        (exactly(3.0), 3.1, 0.0),
    ],
)
def test_chances(one, least, chance):
    assert chance_above(one, least) == pytest.approx(chance, abs=5e-4)


@pytest.mark.parametrize("bad", [Range(1, 0, 2), Range(1, 2, 3), Range(3, 1, 2), Range(-1, -2, 1)])
def test_bounds_that_are_none(bad):
    for made in (lambda: product(bad), lambda: inverse(bad), lambda: pooled([bad]), lambda: chance_above(bad)):
        with pytest.raises(ValueError):
            made()
