"""The instar that a question looks ahead to (`G 5th instar when`, `until the third moult`), and what is told where nobody is short of it."""

from __future__ import annotations

import re

from nurserytui.answers.selection import wanted
from nurserytui.biology.groups import MONARCH_INSTAR_SHARES

LAST = len(MONARCH_INSTAR_SHARES)
PLACES = {
    word: at
    for at, words in enumerate(("first 1st", "second 2nd", "third 3rd", "fourth 4th", "fifth 5th"), 1)
    for word in words.split()
}
ORDINAL = "|".join(PLACES)
MOULT = re.compile(rf"\b({ORDINAL})(?: skin)? (?:mou?lt|shed|ecdysis|skin change)\b")
"""A moult by its number: the fourth leads to the fifth instar."""
BARE = re.compile(rf"\b(?:in|into|to|at|reach(?:es)?|hits?|become|be)(?: the| their| its)? ({ORDINAL})$")
"""`how long until they are in fifth`: the word is left out."""


def target(request, nursery) -> int | None:
    """The instar that the larvae or eggs meant have still to reach, where the question names it and no larva of them stands in it."""
    plain = request.plain.rstrip("?. ")
    numbered, bare = MOULT.search(plain), BARE.search(plain)
    if (
        not (request.instar or numbered or bare)
        or request.event not in ("", "moult")
        or (request.event == "moult" and not numbered)
    ):
        return None
    if numbered:
        instar = PLACES[numbered[1]] + 1
    elif bare and request.period is None:
        instar = PLACES[bare[1]]
    else:
        instar = LAST if request.instar == -1 else request.instar or 0
    want = wanted(request, nursery)._replace(stages=(), instar=None)
    stage = "egg" if request.stages == ("egg",) else None
    there = {stands_in(key) for key, _ in nursery.heads(stage=stage) if want.key_fits(key, nursery.ledger)}
    below = [each for each in there if each is not None and each < instar]
    return instar if 1 <= instar <= LAST and below and instar not in there else None


def stands_in(key) -> int | None:
    """The instar of larvae, 0 of eggs; None of what is in no instar, or in none that is known."""
    return 0 if key.stage == "egg" else key.instar if key.stage == "larva" else None
