"""Kinds of events that are read alike, and the stage that a change leads to."""

from __future__ import annotations

ANIMAL_EVENTS = frozenset(
    """
    laid found identified hatched moulted prepupated pupated emerged checked counted moved split merged renamed died
    released escaped given missing returned sign tested
    """.split()
)
CARE = frozenset(["cleaned", "fed", "cut", "watered"])
RESULT = {"hatched": "larva", "moulted": "larva", "prepupated": "prepupa", "pupated": "pupa", "emerged": "adult"}
