from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology.normal import above, below, quantile


# Abramowitz & Stegun 1964, Handbook of Mathematical Functions, table 26.1 and its tail values.
@pytest.mark.parametrize("z, chance", [(0, 0.5), (1, 0.841344746068543), (1.96, 0.975002104851780), (3, 0.998650101968370)])
def test_tabled_values(z, chance):
    assert below(z) == pytest.approx(chance, abs=1e-14)
    assert above(-z) == pytest.approx(chance, abs=1e-14)


@given(st.floats(1e-12, 0.5))
def test_the_quantile_undoes_the_tail(chance):
    assert below(quantile(chance)) == pytest.approx(chance, rel=1e-9)
    assert quantile(1 - chance) == pytest.approx(-quantile(chance), abs=1e-4)


@pytest.mark.parametrize("chance", [0, 1, -0.1, 1.1, float("nan")])
def test_no_chance(chance):
    with pytest.raises(ValueError):
        quantile(chance)
