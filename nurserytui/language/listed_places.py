"""The further numbers of a list of enclosures whose noun is said once, in the singular (`deli 2, 4 and 5`)."""

from __future__ import annotations

from collections.abc import Iterator

from nurserytui.language.reading import Proposal, Reading

CLOSING = ("how", "together", "total", "altogether", "count")
"""Words behind the last number by which it counts nothing itself."""


def listed_behind(line: Reading, found: Proposal, noun: str) -> Iterator[Proposal]:
    """`deli 2, 4 and 5 - how many`: the further numbers of a list behind one enclosure, where all of them are known and nothing is counted
    by the last."""
    last, others, joined = found.last, [], False
    while last + 1 < len(line):
        place = last + 1
        if line.word(place) in ("and", "+", "&"):
            place, joined = place + 1, True
        elif last not in line.clauses or joined:
            break
        known = line.vocabulary.enclosure((noun, line.word(place))) if line.word(place).isdigit() else None
        if not known:
            break
        others.append(Proposal(place, place, "enclosure", known, 0))
        last = place
    closed = last + 1 == len(line) or last in line.clauses or line.word(last + 1) in CLOSING
    if joined and closed:
        yield from others
