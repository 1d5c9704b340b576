"""What is known of a rate curve before a species' own rows: its relatives' base and ceiling, and the shape that all species share."""

from nurserytui.biology.fitting import Prior
from nurserytui.knowledge.facts import RateShape


def rate_prior(shape: RateShape, base: float, ceiling: float) -> Prior:
    """The prior for a curve near a straight line above `base` °C whose rate stops rising near `ceiling` °C."""
    upper = max(ceiling, base + 5.0) + shape.upper_shift
    return Prior(base + shape.base_shift, shape.base_spread, upper, shape.upper_spread, shape.foot, shape.fall, shape.error)
