"""C and F at the end of a line, where they are the scale in which warmth is to be told."""

from __future__ import annotations

from nurserytui.language.reading import Reading

WARMTH = frozenset(
    "temp temps temperature temperatures average avg mean hottest coldest warmest coolest highest lowest max min reading readings".split()
)


def in_a_scale(line: Reading, at: int) -> bool:
    """Whether `in F` ends a line about warmth, or is the whole of it (`and in C?`): then the letter is a scale."""
    ends = all(line.word(place) in ("please", "pls", "then", "now") for place in range(at + 1, len(line)))
    leads = all(line.word(place) in ("and", "but", "so", "ok", "not", "or") for place in range(at - 1))
    return line.word(at - 1) == "in" and ends and (leads or not WARMTH.isdisjoint(line.words))
