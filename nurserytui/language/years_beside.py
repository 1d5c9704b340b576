"""Two figures that stand for a whole year beside another (`2029 or 30`)."""

from __future__ import annotations

import re

from nurserytui.language.line import Token

JOINING = ("or", "and", "vs", "versus", "&", "/")
BEHIND = frozenset(
    (
        "",
        *"better worse best worst compared which what how for in by survival losses deaths season seasons total totals ?".split(),
    )
)
"""What may stand behind the second of two years."""
APART = 9
"""Years that may lie between the two."""


def year_beside(tokens: tuple[Token, ...], at: int) -> str | None:
    """The whole year that the two figures at a place stand for behind another, None where they may count something."""
    if at < 2 or tokens[at - 1].text not in JOINING or not re.fullmatch(r"\d\d", tokens[at].text):
        return None
    year, short = tokens[at - 2].text, tokens[at].text
    after = tokens[at + 1].text if at + 1 < len(tokens) else ""
    if not re.fullmatch(r"20\d\d", year) or after not in BEHIND or abs(int(year[2:]) - int(short)) > APART:
        return None
    return year[:2] + short
