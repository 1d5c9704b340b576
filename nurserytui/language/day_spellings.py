"""Words for days and their parts with one slip of the thumb in them (`nihgt`, `befor`, `yestreday`), and the words that they stand for."""

from __future__ import annotations

from functools import cache

from nurserytui.language.ordinary import ordinary

WORDS = "yesterday today tonight tomorrow night morning evening afternoon before monday tuesday wednesday thursday friday saturday sunday".split()
LONG = 6
"""Letters from which a word is known with one left out or put twice; shorter ones only with two in each other's place."""
NOT_MEANT = frozenset(("toady", "beforehand", "evenings", "mornings", "nights"))


@cache
def _slips() -> dict[str, str]:
    found: dict[str, str] = {}
    for word in WORDS:
        slips = {word[:at] + word[at + 1] + word[at] + word[at + 2 :] for at in range(len(word) - 1)}
        if len(word) >= LONG:
            slips |= {word[:at] + word[at + 1 :] for at in range(1, len(word))}
            slips |= {word[:at] + word[at] + word[at:] for at in range(len(word))}
        found |= {slip: word for slip in slips if slip not in WORDS and slip not in NOT_MEANT and not ordinary(slip)}
    return found


def day_meant(word: str) -> str:
    """The word for a day that a mistyped one stands for; "" for any other word."""
    return _slips().get(word, "")
