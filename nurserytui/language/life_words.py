"""Words for the time from egg to adult, and for a winter rest that does not happen."""

from __future__ import annotations

import re
from collections.abc import Sequence

from nurserytui.language.line import Line

LEADING = frozenset("to till til until through thru into up all the way right an a - –".split())
"""Words between the first stage of a time and its last (`egg until butterfly`)."""


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
