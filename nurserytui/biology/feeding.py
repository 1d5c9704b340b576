"""How much of a larva's food is still to come."""

from bisect import bisect_right
from collections.abc import Sequence
from math import log
from typing import NamedTuple

from nurserytui.biology.groups import MONARCH_INSTAR_SHARES
from nurserytui.biology.ranges import Range, product, quotient

FOOD_SHARES = (0.005, 0.015, 0.05, 0.18, 0.75)
"""Planning shares of all food per instar: between the last instar's share of mass gained in *Pieris rapae* (70-73 % of pupal mass) and of
leaf eaten (85 %; James (ed.) 2017, The Book of Caterpillars), near the 78 % that equal growth per instar gives in *Danaus plexippus*."""

GROWTH = 4.0
"""From one instar to the next, for larvae with another number of instars: with five it puts 75 % into the last, as above."""


class Feeder(NamedTuple):
    """`count` larvae, each with the fraction `progress` (0-1) of its larval time behind it; below 0 for eggs that hatch by then."""

    count: int
    progress: float


def food_shares(instars: int = 5) -> tuple[float, ...]:
    """Share of all food per instar; the planning shares for five, else growing by the same factor from instar to instar."""
    if instars < 1:
        raise ValueError("a larva has an instar")
    if instars == len(FOOD_SHARES):
        return FOOD_SHARES
    weights = [GROWTH**at for at in range(instars)]
    return tuple(weight / sum(weights) for weight in weights)


def time_shares(instars: int = 5) -> tuple[float, ...]:
    """Share of larval time per instar: those fitted for *Danaus* for five, else equal ones with a last instar twice as long."""
    if instars < 1:
        raise ValueError("a larva has an instar")
    if instars == len(MONARCH_INSTAR_SHARES):
        return MONARCH_INSTAR_SHARES
    return (*[1.0 / (instars + 1)] * (instars - 1), 2.0 / (instars + 1))


def share_left(instar: int, progress: float = 0.0, shares: Sequence[float] = FOOD_SHARES) -> float:
    """Share of all the larva's food that is still to be eaten, `progress` (0-1) through `instar`; evenly within the instar."""
    if not 1 <= instar <= len(shares) or not 0.0 <= progress <= 1.0:
        raise ValueError("no such instar, or a progress outside 0 to 1")
    return (sum(shares[instar:]) + shares[instar - 1] * (1.0 - progress)) / sum(shares)


def larval_progress(instar: int, progress: float = 0.0, shares: Sequence[float] = MONARCH_INSTAR_SHARES) -> float:
    """Fraction of larval time behind a larva that is `progress` (0-1) through `instar`, by shares of time."""
    if not 1 <= instar <= len(shares) or not 0.0 <= progress <= 1.0:
        raise ValueError("no such instar, or a progress outside 0 to 1")
    return (sum(shares[: instar - 1]) + shares[instar - 1] * progress) / sum(shares)


def eaten(progress: float, times: Sequence[float] = MONARCH_INSTAR_SHARES, shares: Sequence[float] = FOOD_SHARES) -> float:
    """Share of all food eaten by the fraction `progress` of larval time (0 before 0, 1 after 1)."""
    if len(times) != len(shares):
        raise ValueError("as many shares of time as of food are needed")
    if progress <= 0.0:
        return 0.0
    ends, total = [], 0.0
    for share in times:
        total += share
        ends.append(total)
    at = bisect_right(ends, progress * total)
    if at == len(ends):
        return 1.0
    into = (progress * total - (ends[at] - times[at])) / times[at]
    return (sum(shares[:at]) + shares[at] * into) / sum(shares)


def food_left(
    feeders: Sequence[Feeder],
    per_larva: float,
    times: Sequence[float] = MONARCH_INSTAR_SHARES,
    shares: Sequence[float] = FOOD_SHARES,
) -> float:
    """What the larvae will still eat, in the unit of `per_larva` (all that one larva eats from hatching to pupation)."""
    return sum(each.count * (1.0 - eaten(each.progress, times, shares)) for each in feeders) * per_larva


def progress_until_gone(
    feeders: Sequence[Feeder],
    per_larva: float,
    supply: float,
    times: Sequence[float] = MONARCH_INSTAR_SHARES,
    shares: Sequence[float] = FOOD_SHARES,
) -> float | None:
    """Further fraction of larval time after which the larvae have eaten `supply`; None if it lasts until the last has pupated.

    `Timeline.when` turns it into a date.
    """
    if supply < 0.0 or per_larva <= 0.0:
        raise ValueError("a supply below 0, or a larva that eats nothing")

    def used(ahead: float) -> float:
        gone = (
            each.count * (eaten(each.progress + ahead, times, shares) - eaten(each.progress, times, shares)) for each in feeders
        )
        return sum(gone) * per_larva

    if used(1.0) <= supply:
        return None
    low, high = 0.0, 1.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if used(middle) < supply else (low, middle)
    return high


def by_day(
    feeders: Sequence[Feeder],
    ahead: Sequence[float],
    per_larva: float = 1.0,
    times: Sequence[float] = MONARCH_INSTAR_SHARES,
    shares: Sequence[float] = FOOD_SHARES,
) -> list[float]:
    """What the larvae eat up to each of the marks `ahead` since the mark before it, in the unit of `per_larva`.

    A mark is the further fraction of larval time gone by then (the end of a day); marks may not fall. What is eaten up to a mark at
    which all have pupated sums to `food_left`.
    """
    if any(late < early for early, late in zip(ahead, ahead[1:])) or (ahead and ahead[0] < 0.0):
        raise ValueError("the marks ahead fall, or begin before now")
    total = [0.0] * len(ahead)
    for each in feeders:
        before = eaten(each.progress, times, shares)
        for at, mark in enumerate(ahead):
            after = eaten(each.progress + mark, times, shares)
            total[at] += each.count * (after - before) * per_larva
            before = after
    return total


def fresh_from_dry(dry: Range, dry_share: Range) -> Range:
    """Fresh leaf (g) that holds `dry` grams of dry matter, `dry_share` of the fresh leaf being dry."""
    return quotient(dry, dry_share)


def fresh_food_per_pupa(growth_per_food: Range, pupa_dry_share: Range, leaf_dry_share: Range) -> Range:
    """Grams of fresh leaf eaten in a whole larval life for each gram of fresh pupa.

    `growth_per_food` is the dry matter grown for each gram of dry matter eaten (gross efficiency of growth, Waldbauer's ECI).
    """
    return quotient(quotient(pupa_dry_share, growth_per_food), leaf_dry_share)


def fresh_from_pupa(pupa: Range, per_pupa: Range) -> Range:
    """Fresh leaf (g) that one larva eats, from the fresh mass of its pupa (g)."""
    return product(pupa, per_pupa)


def food_at_rate(masses: Sequence[float], days: Sequence[float], rate: float) -> float:
    """Grams eaten by a larva that eats `rate` grams a day for each gram of itself and grows evenly (on a log scale) from each mass to
    the next in so many days."""
    if len(masses) != len(days) + 1 or min(masses) <= 0.0 or min(days, default=0.0) < 0.0:
        raise ValueError("one mass more than spans of days, all above 0")
    held = 0.0
    for before, after, span in zip(masses, masses[1:], days):
        held += span * (before if after == before else (after - before) / log(after / before))
    return rate * held
