"""How much of a larva's food is still to come."""

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from nurserytui.biology.groups import MONARCH_INSTAR_SHARES

FOOD_SHARES = (0.005, 0.015, 0.05, 0.18, 0.75)
"""Planning shares of all food per instar: between the last instar's share of mass gained in *Pieris rapae* (70-73 % of pupal mass) and of
leaf eaten (85 %; James (ed.) 2017, The Book of Caterpillars), near the 78 % that equal growth per instar gives in *Danaus plexippus*."""

GROWTH = 4.0
"""From one instar to the next, for larvae with another number of instars: with five it puts 75 % into the last, as above."""


class Feeder(NamedTuple):
    """`count` larvae, each with the fraction `progress` (0-1) of its larval time behind it."""

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
