"""`the jar`, said by its kind alone where the keeper has several: which enclosures it may mean."""

from __future__ import annotations

import re

from nurserytui.language.normalise import normalise

KINDS = "jar|crate|box|tent|tub|cage|sleeve|pot|cup|tank|bucket|net|container|tray|drawer|bag|pen|aquarium|shelf"
SAID = re.compile(rf"\b(?:the|that|this|my|our)\s+({KINDS})\b(?!\s+\d)")


def several(text: str, enclosures) -> tuple[str, tuple[str, ...]]:
    """The kind of enclosure that a line speaks of as if there were one, and the two or more labels of that kind; ("", ()) otherwise."""
    found = SAID.search(normalise(text))
    if not found:
        return "", ()
    labels = sorted(label for label in enclosures if label and re.search(rf"\b{found[1]}\b", label.casefold()))
    return (found[1], tuple(labels)) if len(labels) > 1 else ("", ())


PARTS = re.compile(
    r"\b(?:the|that|my|our) (fridge|cold|cellar|shed|garage|attic|loft|kitchen|porch|greenhouse|balcony|windowsill)\b"
)
"""Words for a place that stand for the one enclosure whose label holds them."""


COLD_PLACES = frozenset(("fridge", "cellar", "refrigerator", "freezer"))
"""Where animals stand that are `in the cold`."""


def by_part(plain: str, enclosures) -> str:
    """The one enclosure that a line means without its label: all the words of it in another order (`fridge in the garage`), or the word
    for its place with an article (`the fridge`); "" where none or several fit."""
    words = set(plain.split())
    whole = [label for label in enclosures if " " in label and set(label.casefold().split()) <= words]
    if not whole and (said := PARTS.search(plain)):
        meant = COLD_PLACES if said[1] == "cold" else {said[1]}
        whole = [label for label in enclosures if not meant.isdisjoint(label.casefold().split())]
    return whole[0] if len(whole) == 1 else ""


def named(text: str, kind: str, label: str) -> str:
    """The line with that enclosure in the place of its kind."""
    return re.sub(rf"\b(?:the|that|this|my|our)\s+{kind}\b", lambda _: label, text, count=1, flags=re.IGNORECASE)
