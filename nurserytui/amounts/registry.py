"""The one pint registry of the process, made when first asked for."""

from __future__ import annotations

from functools import lru_cache


@lru_cache(maxsize=1)
def registry():
    """Pint's units and our own spoons and cups; what pint parsed is kept in its cache folder between runs where that can be written."""
    import pint

    try:
        units = pint.UnitRegistry(cache_folder=":auto:")
    except OSError:  # no folder to keep it in: read the definitions each time
        units = pint.UnitRegistry()
    units.define("metric_teaspoon = 5 * milliliter")
    units.define("metric_tablespoon = 15 * milliliter")
    units.define("australian_tablespoon = 20 * milliliter")
    units.define("metric_cup = 250 * milliliter")
    return units


def quantity(value: float, unit: str):
    """A pint quantity of a unit name out of our own table (never typed text). Raises ValueError for any other name."""
    from nurserytui.amounts.factors import kind

    if kind(unit) == "strength":
        return registry().Quantity(value, "ppm" if unit == "ppm" else "percent")
    return registry().Quantity(value, unit)
