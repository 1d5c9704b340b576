"""What a keeper's table calls events otherwise than we do: which of ours is probably meant. Nothing is taken for it."""

from __future__ import annotations

from nurserytui.records.events import WHATS

_CALLED = {
    "laid": ("egg", "eggs", "oviposited", "oviposition"),
    "found": ("find", "collected", "brought", "start"),
    "hatched": ("hatch", "hatching"),
    "moulted": ("moult", "molt", "molted", "moulting"),
    "pupated": ("pupa", "pupation", "chrysalis"),
    "emerged": ("eclosed", "eclosion", "emergence", "adult"),
    "checked": ("check", "inspected", "looked"),
    "moved": ("move", "transfer", "transferred"),
    "died": ("dead", "death", "die", "dies", "killed"),
    "released": ("release", "freed"),
    "escaped": ("escape",),
    "given": ("gave", "give", "gift"),
    "missing": ("lost", "gone"),
    "cleaned": ("clean", "cleaning"),
    "fed": ("feed", "feeding", "food"),
    "cut": ("cutting",),
    "watered": ("water", "watering", "misted"),
    "note": ("comment", "remark", "observation"),
}


def no_such_event(what: str) -> str:
    """That there is no event of that name, which is probably meant, and where all are listed."""
    from nurserytui.records.columns import near_miss

    low = what.casefold()
    meant = next((ours for ours, others in _CALLED.items() if low in others), "") or near_miss(low, WHATS)
    return (
        f"there is no event called {what!r}: "
        + (f"did you mean {meant}? " if meant else "")
        + "nurserytui import --help lists them"
    )
