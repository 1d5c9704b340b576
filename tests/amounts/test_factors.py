"""Units by definition, checked against the unit library; sums; kitchen words."""

from __future__ import annotations

import pytest

from nurserytui.amounts import convert, evaluate, kitchen_words, registry
from nurserytui.amounts.factors import VOLUMES


@pytest.mark.parametrize("unit", sorted(VOLUMES))
def test_volumes_agree_with_the_unit_library(unit):
    assert convert(1, unit, "milliliter") == pytest.approx(registry().Quantity(1, unit).to("milliliter").magnitude, rel=1e-9)


@pytest.mark.parametrize(
    ("value", "unit", "target", "result"),
    [
        (68, "degF", "degC", 20),
        (-40, "degC", "degF", -40),
        (1, "inch", "centimeter", 2.54),
        (3, "week", "day", 21),
        (0.5, "percent", "ppm", 5000),
        (1, "imperial_pint", "milliliter", 568.26125),
        (1, "gallon", "liter", 3.785411784),
        (2, "pound", "gram", 907.18474),
    ],
)
def test_conversions(value, unit, target, result):
    assert convert(value, unit, target) == pytest.approx(result)


@pytest.mark.parametrize(
    ("value", "unit", "target"),
    [(1, "cup", "gram"), (1, "furlong", "meter"), (float("nan"), "cup", "pint"), (-300, "degC", "degF"), (-460, "degF", "degC")],
)
def test_no_conversion(value, unit, target):
    with pytest.raises(ValueError):
        convert(value, unit, target)


@pytest.mark.parametrize(
    ("text", "result"),
    [("14 * 4", 56), ("(3 + 2) * 0.5", 2.5), ("-3 + 5", 2), ("10 / 4 / 5", 0.5), ("2 - 3 - 4", -5), (".5*4", 2)],
)
def test_sums(text, result):
    assert evaluate(text) == pytest.approx(result)


@pytest.mark.parametrize("text", ["", "1/0", "2 +", "(2", "2)", "2**9", "__import__('os')", "1 2", "+".join("1" * 99)])
def test_no_sum(text):
    with pytest.raises(ValueError):
        evaluate(text)


@pytest.mark.parametrize(
    ("millilitres", "system", "words"),
    [
        (14.78676478125, "US", "1 Tbsp"),
        (236.5882365, "US", "1 cup"),
        (250, "metric", "1 cup"),
        (30.3, "US", "about 2 Tbsp"),
        (212.9, "US", "about 14½ Tbsp"),
        (0.1, "US", ""),
    ],
)
def test_kitchen_words(millilitres, system, words):
    assert kitchen_words(millilitres, system) == words


def test_factors_equal_those_of_a_general_unit_library():
    """pint, for every unit of ours that it has under the same name."""
    from nurserytui.amounts.factors import _FACTORS
    from nurserytui.amounts.registry import registry

    checked = 0
    units = registry()
    for kind, table in _FACTORS.items():
        first = next(iter(table))
        for name in table:
            if (
                kind in ("volume", "length", "mass", "time")
                and not name.startswith(("metric_", "australian_"))
                and name not in ("month", "year")
            ):
                ours, theirs = convert(1.0, name, first), units.Quantity(1.0, name).to(first).magnitude
                assert ours == pytest.approx(theirs, rel=1e-9), name
                checked += 1
    assert checked > 25
