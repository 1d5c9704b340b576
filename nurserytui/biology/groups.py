"""What a forecast is told: stages with their spread, and groups of animals with what was seen of them."""

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from nurserytui.biology.rate import RateCurve

MONARCH_INSTAR_SHARES = (0.17, 0.15, 0.13, 0.19, 0.36)
"""Share of larval time per instar in *Danaus* (fitted means for *D. plexippus* and *D. genutia*); other sets agree within 3 points."""


class Stage(NamedTuple):
    """One stage to be gone through.

    `within` is the coefficient of variation between animals kept alike; `between` the standard deviation of the logarithm of
    the mean duration that all animals of the cohort share: how far the published number may be off for them. Stages of the same
    non-empty `shared` name (instars of one larva) share that one effect.
    """

    curve: RateCurve
    within: float = 0.10
    between: float = 0.10
    shared: str = ""


class Known(NamedTuple):
    """Entered the stage at a seen moment (laid before the keeper's eyes)."""

    at: datetime


class Window(NamedTuple):
    """Entered some time between two looks, each animal on its own."""

    after: datetime
    by: datetime


class Unknown(NamedTuple):
    """Found in the stage at `found`, age unknown. `together`: one batch laid at one time, so the unknown age is the same for all."""

    found: datetime
    together: bool = False


Entry = Known | Window | Unknown


class Look(NamedTuple):
    """Seen unchanged at `at`: all that remain (`count` None), or `count` others that later died or left, unchanged as far as is known."""

    at: datetime
    count: int | None = None


class Changed(NamedTuple):
    """`count` animals of the group went on to the next stage after the look at `after` and by the look at `by`."""

    after: datetime
    by: datetime
    count: int = 1


class Group(NamedTuple):
    """`count` animals still in stage number `stage` of the forecast's stages, that entered it alike.

    A group with `count` 0 is evidence only: what its changed animals tell about the shared effect.
    """

    count: int
    entry: Entry
    looks: tuple[Look, ...] = ()
    changed: tuple[Changed, ...] = ()
    stage: int = 0


def instars(larva: Stage, shares: Sequence[float] = MONARCH_INSTAR_SHARES, first: int = 1) -> tuple[Stage, ...]:
    """The instars from number `first` to the last as stages of their own, from the curve of the whole larva.

    They share the larva's effect, and their own spread is widened so that the whole larva keeps its coefficient of variation.
    """
    total = sum(shares)
    if not 1 <= first <= len(shares) or min(shares) <= 0:
        raise ValueError("no such instar, or a share that is not above zero")
    parts = [share / total for share in shares]
    within = larva.within / sum(part * part for part in parts) ** 0.5
    return tuple(Stage(larva.curve.scaled(part), within, larva.between, larva.shared or "larva") for part in parts[first - 1 :])
