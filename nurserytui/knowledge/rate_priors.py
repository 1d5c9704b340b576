"""What a rate curve is made from: the rows of a species, and before them its relatives' base and ceiling and the shape of all species."""

from collections.abc import Iterable

from nurserytui.biology.fitting import Observed, Prior
from nurserytui.knowledge import facts
from nurserytui.knowledge.facts import RateShape

ANY_GROUP = "any"


def prior_of(knowledge, species: str) -> facts.Prior:
    """What the relatives of a species suggest; the widest prior for an animal without known relatives."""
    known = knowledge.species(species)
    return (knowledge.prior(known.group) if known and known.group else None) or knowledge.prior(ANY_GROUP)


def observed(rows: Iterable[facts.Duration], share: float = 1.0) -> list[Observed]:
    """The rows that say a mean at a temperature, `share` of each."""
    return [
        Observed(row.temperature, row.mean * share, row.swing, row.n) for row in rows if row.mean and row.temperature is not None
    ]


def rate_prior(shape: RateShape, base: float, ceiling: float) -> Prior:
    """The prior for a curve near a straight line above `base` °C whose rate stops rising near `ceiling` °C."""
    upper = max(ceiling, base + 5.0) + shape.upper_shift
    return Prior(base + shape.base_shift, shape.base_spread, upper, shape.upper_spread, shape.foot, shape.fall, shape.error)
