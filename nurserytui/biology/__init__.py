"""Pure numbers about insects: heat sums, development, forecasts, day length, survival. No files, no database, no clock.

The names below load on first use, so that a question pays only for the part that it needs.
"""

from __future__ import annotations

_HOMES = {
    "degree_days": "degree_days",
    "degree_days_of_readings": "degree_days",
    "ReadingsSum": "degree_days",
    "day_length": "daylight",
    "wilson": "survival",
    "kaplan_meier": "survival",
    "SurvivalCurve": "survival",
}

__all__ = list(_HOMES)


def __getattr__(name: str):
    home = _HOMES.get(name)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    # Bind every name of that module at once: importing the submodule `degree_days` has just put the module itself
    # where the function of the same name belongs.
    module = import_module(f"{__name__}.{home}")
    for each, where in _HOMES.items():
        if where == home:
            globals()[each] = getattr(module, each)
    return globals()[name]


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
