"""Dilution: C1·V1 = C2·V2, on amounts that a person can pour.

Strengths are mg of active substance per litre (ppm); a label's per cent is read as weight by volume, so 1 % is 10,000 ppm, as health
agencies do (World Health Organization, 2014, Infection prevention and control of epidemic- and pandemic-prone acute respiratory
infections, Annex G: 5 % is 50,000 ppm, and one part in a hundred of it 500 ppm).
"""

import math
from typing import Any, NamedTuple

PPM_PER_PERCENT = 10_000


class Mix(NamedTuple):
    """What to pour together; all three volumes in the unit of the total asked for."""

    stock: Any
    water: Any
    total: Any
    ppm: float | None
    """Strength of the mix, mg/L of active; None where the stock's is not known."""


def _positive(name: str, value: float) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value) or value <= 0:
        raise ValueError(f"{name} must be a number above zero, not {value!r}")
    return float(value)


def share_for(
    *,
    stock_percent: float | None = None,
    target_ppm: float | None = None,
    target_percent: float | None = None,
    share: float | None = None,
) -> float:
    """The share of stock in the mix, by volume (0-1).

    Exactly one target: `target_ppm` (mg/L), `target_percent` (% of active) or `share`. Raises ValueError for none or several targets,
    for a target by strength without the stock's, for numbers that are not above zero, and for a strength
    at or above the stock's, which no water can make.
    """
    given = [each for each in (target_ppm, target_percent, share) if each is not None]
    if len(given) != 1:
        raise ValueError("give exactly one target: ppm, per cent of active, or share of stock")
    if stock_percent is not None and _positive("stock_percent", stock_percent) > 100:
        raise ValueError(f"no stock holds {stock_percent} %")
    if share is not None:
        if _positive("share", share) > 1:
            raise ValueError(f"a share of stock is at most 1, not {share}")
        return float(share)
    if stock_percent is None:
        raise ValueError("a target by strength needs the strength of the stock")
    wanted = (
        _positive("target_ppm", target_ppm)
        if target_ppm is not None
        else _positive("target_percent", target_percent) * PPM_PER_PERCENT
    )
    have = stock_percent * PPM_PER_PERCENT
    if wanted >= have:
        raise ValueError(f"{wanted:g} ppm cannot be made from a stock of {have:g} ppm")
    return wanted / have


def strength(stock_percent: float, share: float) -> float:
    """ppm of a mix that holds this share of a stock of so many per cent."""
    return share_for(share=share) * _positive("stock_percent", stock_percent) * PPM_PER_PERCENT


def dilution(
    total: Any,
    *,
    stock_percent: float | None = None,
    target_ppm: float | None = None,
    target_percent: float | None = None,
    share: float | None = None,
) -> Mix:
    """How much stock and water make a total volume (a pint quantity of any registry) of a target strength.

    Exactly one target: `target_ppm` (mg/L of active), `target_percent` (% of active), or `share` of stock by volume (0-1). `Mix` has
    `stock`, `water` and `total` in the total's unit, and `ppm`, None if `stock_percent` is not given. Raises ValueError for what is
    impossible: a total that is no volume above zero, no or several targets, a target at or above the stock's strength.
    """
    dimensions = getattr(total, "dimensionality", None)
    if dimensions is None or dict(dimensions) != {"[length]": 3}:
        raise ValueError("the total must be a pint quantity of volume")
    magnitude = float(total.magnitude)
    _positive("the total volume", magnitude)
    part = share_for(stock_percent=stock_percent, target_ppm=target_ppm, target_percent=target_percent, share=share)
    total = total.__class__(magnitude, total.units)
    ppm = None if stock_percent is None else part * stock_percent * PPM_PER_PERCENT
    return Mix(total * part, total * (1 - part), total, ppm)
