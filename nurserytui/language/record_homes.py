"""Animals that get a home of their own: `gave them their own tub, box 8` and `a new cage to themselves, cage 2` are `into box 8`."""

from __future__ import annotations

import re
from itertools import accumulate

from nurserytui.language.clause import Item
from nurserytui.language.record_new_places import container

OWN = r"(?:their|its|his|her)"
KIND = r"(?:own|new|separate|different|another|fresh|clean|spare|bigger|larger|smaller|little|nice|single|private)"
HOME = re.compile(
    rf"(?:{OWN}(?: {KIND})+|(?:a|an|another)(?: {KIND})*|{OWN} own) HOME(?: (?:all )?(?:of|to|for) (?:{OWN} own|them|themselves|it|itself|him|himself|her|herself)(?: alone)?)?"
    rf"(?:\.|(?: (?:called|named|namely|labelled|which is|that is|thats|in|is))?) ENCLOSURE\b"
)
"""Words for a home with the name of the place behind them; `.` is a stop."""
SET_UP = re.compile(r"\b(?:set up|made up|got) (?:the |my )?ENCLOSURE for (?:them|it|him|her|those|these)\b")
NOUNS = frozenset("home place quarters accommodation lodgings house".split())
TOWARDS = frozenset("in into to onto inside".split())


def with_homes(items: list[Item]) -> list[Item]:
    """The items with each home of somebody's own as `into` and its name."""
    words = [f"{_word(item)}{'.' if item.stop else ''}" for item in items]
    starts = list(accumulate((len(word) + 1 for word in words[:-1]), initial=0))
    said = " ".join(words)
    for pattern in (HOME, SET_UP):
        hit = pattern.search(said)
        if hit is None or hit.start() not in starts:
            continue
        first = starts.index(hit.start())
        last = next(at for at in reversed(range(len(items))) if starts[at] < hit.end())
        place = next(item for item in items[first : last + 1] if item.word == "ENCLOSURE")
        led = first > 0 and items[first - 1].word in TOWARDS
        into = [] if led else [Item("into", None, items[first].start, items[first].end, items[first].raw)]
        return [*items[:first], *into, place._replace(stop=items[last].stop), *items[last + 1 :]]
    return items


def _word(item: Item) -> str:
    return "HOME" if not item.span and (container(item.word) or item.word in NOUNS) else item.word
