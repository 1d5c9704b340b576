"""Quantities and dilutions. Pure: no files, no clock. Each name is loaded when first used, pint only where a pint quantity is made."""

from __future__ import annotations

_HOMES = {
    "Mix": "mix",
    "dilution": "mix",
    "share_for": "mix",
    "strength": "mix",
    "convert": "factors",
    "kind": "factors",
    "kitchen_words": "kitchen",
    "quantity": "registry",
    "registry": "registry",
    "evaluate": "arithmetic",
}
__all__ = sorted(_HOMES)


def __getattr__(name: str):
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    found = getattr(import_module(f"nurserytui.amounts.{_HOMES[name]}"), name)
    globals()[name] = found
    return found
