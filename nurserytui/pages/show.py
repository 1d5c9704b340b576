"""Any page by its name, as text: for a screen reader, a printer or a pipe."""

from __future__ import annotations

from importlib import import_module
from typing import NamedTuple


class Shown(NamedTuple):
    """One page that can be shown: what it holds, and what may be said after its name."""

    holds: str
    which: str = ""
    """What a word after the name means (`the cohort`); "" where none is taken."""


PAGES = {
    "board": Shown("every group of animals and what is next"),
    "season": Shown("a season in numbers: survival, losses, warmth, degree-days", "a year, a species or a cohort of it"),
    "cohort": Shown("one cohort: its animals, what is next, food, watch, kin, survival and history", "the cohort"),
    "facts": Shown("everything in the knowledge base, each fact with its source", "what to look for"),
    "calendar": Shown(
        "the stages of every cohort so far, and first, middle and last of the changes to come", "the year of a season, or all"
    ),
    "round": Shown("what there is to do, and what was done today", "3 days or week; feed, clean, look or move; an enclosure"),
}


def show(name: str, nursery, which: str = "") -> list[str]:
    """The lines of one page, behind what is to be known of the nursery's file first. `name` is one of `PAGES`; `which` says of whom or what, where the page takes it.

    A module of the page's name has `read(nursery[, which])`, which gives plain values, and `plain(values)`, which gives lines.
    """
    module = import_module(f"nurserytui.pages.{name}")
    lines = module.plain(module.read(nursery, which) if PAGES[name].which else module.read(nursery))
    return [*(f"Take care: {one}." for one in nursery.store.cautions()), *lines]
