"""A number and a letter that is the scale of a thermometer too, where what stands behind tells that animals are meant."""

from __future__ import annotations

from nurserytui.language.ordinary import EVENT_WORDS
from nurserytui.language.reading import Reading

DOING = frozenset(
    "are were have had came come went got flew flown fell fallen left gone made crawled climbed broke popped slipped wandered look looked "
    "didn't haven't aren't weren't didnt havent arent werent".split()
)
"""What animals do, and a temperature never does at the beginning of a sentence."""
BEGUN_BY = frozenset("and the now just today so then also first yesterday another".split())
"""Words that may stand in front of the number where a sentence begins with it."""


def does(line: Reading, at: int) -> bool:
    """Whether so many of a letter do something (`4 C came out`, `2 F are dead`, `3 C just flew off`)."""
    begins = at == 1 or at - 2 in line.clauses or line.word(at - 2) in BEGUN_BY
    if not begins or at in line.clauses:
        return False
    after, then = line.word(at + 1), line.word(at + 2)
    return after in DOING or (after == "just" and then in DOING | EVENT_WORDS and at + 1 not in line.clauses)
