"""Printed dilutions: agencies' own recipes and what they say those give."""

from __future__ import annotations

import pytest

from nurserytui.amounts import convert, dilution, registry, share_for, strength

ML = {name: convert(1, name, "milliliter") for name in ("teaspoon", "tablespoon", "cup", "pint", "quart", "gallon")}


def made(total_ml, **asked):
    mix = dilution(registry().Quantity(total_ml, "milliliter"), **asked)
    return mix.stock.magnitude, mix.water.magnitude, mix.ppm


@pytest.mark.parametrize(
    ("stock", "target", "parts"),
    [
        # Centers for Disease Control and Prevention, Best practices for environmental cleaning in limited resources, Appendix E
        (3.5, 0.5, 6),
        (5.0, 0.1, 49),
    ],
)
def test_parts_of_water_to_one_of_bleach(stock, target, parts):
    assert 1 / share_for(stock_percent=stock, target_percent=target) - 1 == pytest.approx(parts)


# World Health Organization, 2014, infection prevention and control of acute respiratory infections, Annex G, table G.1
@pytest.mark.parametrize(("stock", "parts", "water"), [(5.0, 1, 99), (2.5, 2, 98)])
def test_500_ppm(stock, parts, water):
    assert strength(stock, parts / (parts + water)) == pytest.approx(500)


# CDC, 2021, making 0.1 % from 5 %: 400 mL made up to 20 L
def test_400_ml_in_20_litres():
    assert made(20_000, stock_percent=5, target_percent=0.1) == pytest.approx((400, 19_600, 1000))


@pytest.mark.parametrize(
    ("bleach", "water", "stock", "ppm"),
    [
        # CDC, 2020, Cleaning and disinfecting your home: 5 tablespoons, or 1/3 cup, to a gallon; 4 teaspoons to a quart (>= 1,000 ppm)
        (5 * ML["tablespoon"], ML["gallon"], 5.25, 1006),
        (ML["cup"] / 3, ML["gallon"], 5.25, 1071),
        (4 * ML["teaspoon"], ML["quart"], 5.25, 1071),
        # Northwestern Ontario health unit: 10 mL to 4 L, 5 mL to 500 mL, 50 mL to 500 mL
        (10, 4000, 5.25, 131),
        (5, 500, 5.25, 520),
        (50, 500, 5.25, 4773),
    ],
)
def test_recipes_that_add_bleach_to_water(bleach, water, stock, ppm):
    assert strength(stock, bleach / (bleach + water)) == pytest.approx(ppm, rel=0.002)


@pytest.mark.parametrize(
    # Washington State rule: 1/3 cup + 1 Tbsp made up to a quart is called 1:10, 2 tsp made up to a quart 1:100
    ("bleach", "ppm", "called"),
    [(ML["cup"] / 3 + ML["tablespoon"], 5195, 10), (2 * ML["teaspoon"], 547, 100)],
)
def test_recipes_made_up_to_a_quart(bleach, ppm, called):
    assert strength(5.25, bleach / ML["quart"]) == pytest.approx(ppm, rel=0.002)
    assert ML["quart"] / bleach == pytest.approx(called, rel=0.05)


# CDC text on 5.25-6.15 % bleach: 1:10 gives 5,250-6,150 ppm, 1:100 gives 525-615 ppm (one part in so many)
@pytest.mark.parametrize(("stock", "whole", "ppm"), [(5.25, 10, 5250), (6.15, 10, 6150), (5.25, 100, 525), (6.15, 100, 615)])
def test_one_part_in_so_many(stock, whole, ppm):
    assert made(1000, stock_percent=stock, share=1 / whole)[2] == pytest.approx(ppm)


@pytest.mark.parametrize(
    # C1 V1 = C2 V2 worked by hand, US gallon of 231 cubic inches (NIST Handbook 44, Appendix C)
    ("total", "asked", "bleach", "water"),
    [
        (2 * ML["gallon"], {"stock_percent": 6, "target_ppm": 1000}, 126.2, 7444.6),
        (500, {"stock_percent": 8.25, "target_ppm": 5000}, 30.3, 469.7),
        (ML["gallon"], {"stock_percent": 8.25, "target_ppm": 1000}, 45.9, 3739.5),
        (5000, {"stock_percent": 5.25, "share": 0.2}, 1000, 4000),
        (2000, {"stock_percent": 8.25, "target_ppm": 10_500}, 254.5, 1745.5),
        (10_000, {"stock_percent": 4.5, "target_percent": 0.5}, 1111, 8889),
        (10_000, {"stock_percent": 12.5, "target_percent": 0.5}, 400, 9600),
        (8000, {"stock_percent": 5.25, "target_ppm": 500}, 76.2, 7923.8),
        (1.5 * ML["gallon"], {"stock_percent": 7.5, "target_ppm": 2500}, 189.3, 5488.8),
        (1000, {"stock_percent": 3.6, "target_percent": 0.5}, 138.9, 861.1),
        (ML["pint"], {"stock_percent": 6, "target_ppm": 500}, 3.94, 469.2),
    ],
)
def test_worked_by_hand(total, asked, bleach, water):
    stock, rest, _ = made(total, **asked)
    assert stock == pytest.approx(bleach, rel=0.002)
    assert rest == pytest.approx(water, rel=0.002)
