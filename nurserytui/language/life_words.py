"""Words for the time from egg to adult, and for a winter rest that does not happen."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from nurserytui.language.line import Line

LEADING = frozenset("to till til until through thru into up all the way right an a - –".split())
"""Words between the first stage of a time and its last (`egg until butterfly`)."""

BEEN = re.compile(
    r"\bhow (?:long|many (?:days|weeks)) (?:has|have|had|'ve|is|are) (?:\S+ ){1,6}?been\b|\b(?:has|have) (?:\S+ ){1,6}?been (?:\S+ ){1,6}?how (?:long|many days)\b"
)
"""A time that has passed, not one to come (`how many days has M1 been a pupa`)."""


def whole_life(line: Line) -> bool:
    """Whether the line names the time from the egg to the adult by both its ends."""
    stages = line.of("stage")
    return any(
        one.value == "egg"
        and two.value == "adult"
        and two.first > one.last + 1
        and all(token.text in LEADING for token in line.tokens[one.last + 1 : two.first])
        for one, two in zip(stages, stages[1:])
    )


NO_REST = re.compile(r"\b(?:non|not|no|without|never|isn't|isnt|aren't|arent)[ -]+(?:in |an? |any )?diapaus\w*|\bnondiapaus\w*")
"""`18 C, non diapause`: the rest that is spoken of does not happen."""


def without_rest(words: Sequence[str | None]) -> bool:
    """Whether the words say that animals do not rest over winter."""
    return bool(NO_REST.search(" ".join(word or "" for word in words)))


LIVES = re.compile(r"\b(?:how long|days|weeks)\b.*\b(?:live|lives|survive)\b|\blife ?spans?\b")
SMALL = re.compile(r"\b(?:egg|eggs|larva\w*|caterpillars?|cats|pupa\w*|chrysalis\w*|cocoons?|instars?|stage|cycle)\b")
FED = re.compile(r"\b(?:adults?|imago\w*)\b.*\b(?:eat|eats|feed|feeds|drink|drinks|need)\b")


def of_adults(line: Line, topic: str) -> str:
    """The topic of a line taken for one of `topic` that is of adults (`how long do adult lunas live`, `what do adult lunas eat`); "" where
    it is not."""
    if SMALL.search(line.plain) or not line.of("species") or line.of("cohort", "mark", "enclosure"):
        return ""
    if topic == "stage-duration" and LIVES.search(line.plain):
        return "about-species"
    return "about-species" if topic == "hosts-of-species" and FED.search(line.plain) else ""


def from_the_egg(line: Line, said: Iterable[str]) -> bool:
    """Whether a time `from stage to stage` is that from the egg to the adult."""
    if not all("stage" in each.casefold() for each in said):
        return True
    stages = [span.value for span in line.of("stage")]
    return len(stages) < 2 or (stages[0] == "egg" and stages[-1] == "adult")
