"""Printed dilutions: agencies' own recipes and what they say those give."""

from __future__ import annotations

from checks import Check

from nurserytui.amounts import convert, dilution, registry, share_for, strength

ML = {name: convert(1, name, "milliliter") for name in ("teaspoon", "tablespoon", "cup", "pint", "quart", "gallon")}
PRINTED = 0.002
"""Recipes say whole parts per million and tenths of a millilitre."""

RESOURCES = (
    "Centers for Disease Control and Prevention, Best practices for environmental cleaning in limited resources, Appendix E"
)
PARTS = [
    # % of the stock, % wanted, parts of water to one of bleach
    (3.5, 0.5, 6),
    (5.0, 0.1, 49),
]
WHO = "World Health Organization, 2014, infection prevention and control of acute respiratory infections, Annex G, table G.1"
FIVE_HUNDRED = [
    # % of the stock, parts, parts of water
    (5.0, 1, 99),
    (2.5, 2, 98),
]
CDC_2021 = "Centers for Disease Control and Prevention, 2021, making 0.1 % from 5 %: 400 mL made up to 20 L"
HOME = "Centers for Disease Control and Prevention, 2020, Cleaning and disinfecting your home (at least 1,000 ppm)"
ONTARIO = "Northwestern Ontario health unit"
ADDED = [
    # source, recipe, mL of bleach, mL of water, % of the stock, ppm
    (HOME, "5 tablespoons to a gallon", 5 * ML["tablespoon"], ML["gallon"], 5.25, 1006),
    (HOME, "1/3 cup to a gallon", ML["cup"] / 3, ML["gallon"], 5.25, 1071),
    (HOME, "4 teaspoons to a quart", 4 * ML["teaspoon"], ML["quart"], 5.25, 1071),
    (ONTARIO, "10 mL to 4 L", 10, 4000, 5.25, 131),
    (ONTARIO, "5 mL to 500 mL", 5, 500, 5.25, 520),
    (ONTARIO, "50 mL to 500 mL", 50, 500, 5.25, 4773),
]
WASHINGTON = "Washington State rule"
MADE_UP = [
    # recipe made up to a quart, mL of bleach, ppm, called one part in
    ("1/3 cup and 1 tablespoon to a quart", ML["cup"] / 3 + ML["tablespoon"], 5195, 10),
    ("2 teaspoons to a quart", 2 * ML["teaspoon"], 547, 100),
]
TEXT = "Centers for Disease Control and Prevention, on 5.25-6.15 % bleach: 1:10 gives 5,250-6,150 ppm, 1:100 gives 525-615 ppm"
ONE_PART = [
    # % of the stock, one part in so many, ppm
    (5.25, 10, 5250),
    (6.15, 10, 6150),
    (5.25, 100, 525),
    (6.15, 100, 615),
]
HAND = "C1 V1 = C2 V2 worked by hand, US gallon of 231 cubic inches (NIST Handbook 44, Appendix C)"
BY_HAND = [
    # mL in all, what was asked, mL of bleach, mL of water
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
]


def made(total: float, **asked) -> tuple[float, float, float]:
    """mL of stock, mL of water, ppm of a mix of `total` mL."""
    mix = dilution(registry().Quantity(total, "milliliter"), **asked)
    return mix.stock.magnitude, mix.water.magnitude, mix.ppm


def _parts(stock: float, target: float, parts: float) -> Check:
    about = f"parts of water to one of {stock} % for {target} %"
    return Check(RESOURCES, about, parts, lambda: 1 / share_for(stock_percent=stock, target_percent=target) - 1)


def _five_hundred(stock: float, parts: float, water: float) -> Check:
    return Check(WHO, f"ppm of {parts} to {water} of {stock} %", 500, lambda: strength(stock, parts / (parts + water)))


def _added(source: str, recipe: str, bleach: float, water: float, stock: float, ppm: float) -> Check:
    return Check(source, f"ppm of {recipe}", ppm, lambda: strength(stock, bleach / (bleach + water)), PRINTED, relative=True)


def _made_up(recipe: str, bleach: float, ppm: float, called: float) -> list[Check]:
    return [
        Check(WASHINGTON, f"ppm of {recipe}", ppm, lambda: strength(5.25, bleach / ML["quart"]), PRINTED, relative=True),
        Check(WASHINGTON, f"one part in, {recipe}", called, lambda: ML["quart"] / bleach, 0.05, relative=True),
    ]


def _one_part(stock: float, whole: float, ppm: float) -> Check:
    return Check(TEXT, f"ppm of 1:{whole} of {stock} %", ppm, lambda: made(1000, stock_percent=stock, share=1 / whole)[2], 1e-6)


def _by_hand(total: float, asked: dict, bleach: float, water: float) -> list[Check]:
    about = f"{total:.0f} mL, " + ", ".join(f"{name} {value}" for name, value in asked.items())
    return [
        Check(HAND, f"mL of bleach, {about}", bleach, lambda: made(total, **asked)[0], PRINTED, relative=True),
        Check(HAND, f"mL of water, {about}", water, lambda: made(total, **asked)[1], PRINTED, relative=True),
    ]


def checks() -> list[Check]:
    return [
        *(_parts(*row) for row in PARTS),
        *(_five_hundred(*row) for row in FIVE_HUNDRED),
        *(
            Check(CDC_2021, what, value, lambda at=at: made(20_000, stock_percent=5, target_percent=0.1)[at], 1e-6)
            for at, (what, value) in enumerate((("mL of bleach", 400), ("mL of water", 19_600), ("ppm", 1000)))
        ),
        *(_added(*row) for row in ADDED),
        *(check for row in MADE_UP for check in _made_up(*row)),
        *(_one_part(*row) for row in ONE_PART),
        *(check for row in BY_HAND for check in _by_hand(*row)),
    ]
