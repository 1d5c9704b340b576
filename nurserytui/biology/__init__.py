"""Pure numbers about insects: heat sums, development, forecasts, day length, survival. No files, no database, no clock.

The names below load on first use, so that a question pays only for the part that it needs. No module here may bear the
name of one of its functions: importing it would hide the function.
"""

from __future__ import annotations

_HOMES = {
    "degree_days": "heat_sums",
    "degree_days_of_readings": "heat_sums",
    "ReadingsSum": "heat_sums",
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

    value = globals()[name] = getattr(import_module(f"{__name__}.{home}"), name)
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
