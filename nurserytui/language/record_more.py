"""So many more of whom the record before tells (`3 more a minute ago`)."""

from __future__ import annotations

from nurserytui.language.clause import Item
from nurserytui.language.record_repeating import WAITING

JUST = frozenset("just now already since then again today later".split())
"""Words of time behind so many more."""


def more_of_the_same(items: list[Item]) -> bool:
    """Whether a line ends in `more`, or begins with so many more, and tells of nothing that is still to come."""
    words = [item.word for item in items if item.kind != "period" and item.word not in JUST]
    begins = words[:2] in (["NUMBER", "more"], ["one", "more"], ["NUMBER", "others"]) and WAITING.isdisjoint(words)
    return words[-1:] in (["more"], ["too"]) or begins
