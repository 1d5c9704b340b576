"""What larvae eat: shares by instar, food from growth, and frass, against what was measured."""

from __future__ import annotations

from functools import lru_cache
from math import sqrt

from checks import Check

from nurserytui.biology import feeding
from nurserytui.biology.ranges import Range

MATHAVAN = "Mathavan & Bhaskaran 1975, Food selection and utilization in a danaid butterfly, Oecologia 18:55-62"
DAVID = "David & Gardiner 1962, Observations on the larvae and pupae of Pieris brassicae, Bull. Entomol. Res. 53"
KENYON = "Kenyon College, Manduca sexta caterpillars (data set Caterpillars of the R package Stat2Data)"
TUSSOCK = "Energy, matter and nitrogen utilization by larvae of Euchaetes egle on Asclepias syriaca (abstract)"
FRASS = "Use of faecal weight as an indicator of food consumption in some lepidopterans (abstract)"
PARKER = "Parker, Kingsolver et al. 2024, Pieris rapae, individual rearing records 2022-2023"

# Food eaten, frass and body gained by a plain tiger larva, mg, on two milkweeds.
PLAIN_TIGER = {"Calotropis gigantea": (605.0, 308.0, 115.0), "Asclepias curassavica": (563.0, 287.0, 85.0)}

# Grams of wet food a day of five hornworms from hatching on, by instar. What dries off the food weighs in the first two instars.
HORNWORMS = (
    ((0.165, 0.201), (0.189, 0.283, 0.260), (0.328, 0.222), (0.843, 1.175, 0.491, 1.473), (3.970, 6.413, 6.846, 1.400)),
    ((0.142, 0.157, 0.262), (0.253, 0.230), (0.273, 0.444, 0.266), (0.914, 0.881, 0.162), (1.736, 3.585, 4.910, 5.307, 2.986)),
    ((0.119, 0.155, 0.205, 0.152), (0.234, 0.188, 0.205), (0.283, 0.457, 0.519), (0.713, 0.706, 0.134, 1.465), (3.560, 5.255, 6.654, 2.845)),
    ((0.088, 0.158, 0.131, 0.190), (0.253, 0.211), (0.249, 0.359, 0.333), (0.577, 1.160, 0.161, 1.435), (4.258, 6.568, 6.754, 2.153)),
    ((0.081, 0.226, 0.126), (0.206, 0.254), (0.237, 0.330, 0.441, 0.729), (1.152, 0.465, 1.163), (3.354, 5.497, 6.284, 2.589)),
)  # fmt: skip

# Small white: mg at the start of the fourth and the fifth instar and as a fresh pupa (North Carolina).
SMALL_WHITE = (14.4, 58.3, 193.7)


@lru_cache
def fact(name: str) -> Range:
    from nurserytui.knowledge.base import load

    rule = load().rule(name)
    return Range(rule.value, rule.low, rule.high)


def hornworm_share(*instars: int) -> float:
    """Mean share of all food that the hornworms ate in those instars."""
    shares = [sum(sum(worm[at - 1]) for at in instars) / sum(map(sum, worm)) for worm in HORNWORMS]
    return sum(shares) / len(shares)


def growth_per_food() -> float:
    """Body gained for each gram eaten, over the three published figures."""
    figures = [gain / food for food, _, gain in PLAIN_TIGER.values()] + [0.146]
    return sum(figures) / len(figures)


def small_white_at_rate() -> float:
    """Grams eaten at the large white's rate from the third moult on, at 24 °C (instars of 2.7 and 5 days), by masses in grams."""
    masses = [mass / 1000 for mass in (3.3, *SMALL_WHITE)]
    return feeding.food_at_rate(masses, (1.8, 2.7, 5.0), sqrt(1.29 * 1.42))


def fresh_plain_tiger() -> float:
    return feeding.fresh_from_dry(Range(0.584, 0.563, 0.605), fact("leaf-dry-share")).value


def plain_tiger_from_growth() -> float:
    """The same from the body gained: 0.1 g of dry body is the pupa's dry part."""
    pupa = 0.1 / fact("pupa-dry-share").value
    return pupa * feeding.fresh_food_per_pupa(fact("growth-per-food"), fact("pupa-dry-share"), fact("leaf-dry-share")).value


def checks() -> list[Check]:
    shares = feeding.food_shares(5)
    found = [
        Check(KENYON, "share of all food in the last instar", round(hornworm_share(5), 3), lambda: shares[4], 0.05),
        Check(KENYON, "share of all food in the last two instars", round(hornworm_share(4, 5), 3), lambda: shares[3] + shares[4], 0.03),
        Check(KENYON, "share of all food in the third instar", round(hornworm_share(3), 3), lambda: shares[2], 0.02),
        Check(TUSSOCK, "dry body gained for each gram eaten", 0.146, lambda: fact("growth-per-food").value, 0.03),
        Check(MATHAVAN, "dry body gained for each gram eaten", growth_per_food(), lambda: fact("growth-per-food").value, 0.03, True),
        Check(DAVID, "fresh leaf eaten by a small white at the large white's rate", small_white_at_rate(), lambda: fact("food-small-white").value, 0.1, True),
        Check(PARKER, "mass of a small white's pupa, g", (193.7 + 172.0) / 2000, lambda: fact("pupa-small-white").value, 0.01, True),
        Check(MATHAVAN, "fresh leaf of a plain tiger, by its growth and by its food", fresh_plain_tiger(), plain_tiger_from_growth, 0.1, True),
    ]  # fmt: skip
    found += [
        Check(FRASS, f"dry food to dry frass of a plain tiger on {plant}", 1.9, lambda food=food, frass=frass: food / frass, 0.1)
        for plant, (food, frass, _) in PLAIN_TIGER.items()
    ]
    return found
