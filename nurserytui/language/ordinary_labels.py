"""Enclosures whose label is an ordinary word (`tent`, `shed`): where in a line such a word is one."""

from __future__ import annotations

from nurserytui.language.reading import Reading

LEADING_TO_PLACES = frozenset("the in from to into cleaned fed scrubbed washed wiped watered checked misted".split())
MEASURED = frozenset(
    "mean avg average min max minimum maximum temp temps temperature t high low highest lowest hottest coldest warmest reading readings total count tally "
    "balance headcount number qty".split()
)
"""What is told or asked of a place beside its label alone (`mean temp tent`, `tent total`)."""
WHEN = frozenset("this last past today yesterday overnight since in for over now on during".split())
CARED_FOR = frozenset("cleaned fed scrubbed washed wiped watered checked misted reads shows is at now".split())


def place_meant(line: Reading, at: int) -> bool:
    """Whether an ordinary word is the enclosure of that label: behind what leads to one or is measured there, or first, in front of its
    reading, its care or a colon."""
    if line.word(at - 1) in LEADING_TO_PLACES or (
        line.word(at - 1) in MEASURED and (at + 1 == len(line) or at in line.clauses or line.word(at + 1) in WHEN)
    ):
        return True
    after = line.word(at + 1)
    return (at == 0 or at - 1 in line.clauses) and (
        after[:1].isdigit() or after in CARED_FOR | MEASURED or (at == 0 and at in line.clauses)
    )
