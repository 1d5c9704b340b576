"""Which care a question about the past is about, where it is told by what animals or their place got."""

from __future__ import annotations

import re

from nurserytui.language.cues import Cues
from nurserytui.language.line import Line

GIVEN_IN = re.compile(r"\b(?:put|stuck|placed|renewed|replaced|changed|refreshed|added|swapped)\b")
"""What is done with a plant in an enclosure (`when was nettle last put in tub 2`): the animals were fed."""
MEALS = frozenset("leaf leaves food plant plants stems sprigs cuttings greens".split())
"""What is given to animals, not away."""
GETTING = re.compile(
    r"\b(?:given|gave|get|got|had|receive|received) (?:(?:any|some|its|their|the|a|fresh|new|more|last|cut) )*"
    r"(?:PLANT|food|leaves|greens|water|drink|meal)\b"
    r"|^what (?:was|were) (?:the )?(?:ENCLOSURE|COHORT|MARK) (?:last )?given(?: last)?$"
)
"""What they get where they live (`when did K last get nettles`, `what was tub 2 last given`)."""


def care_asked(line: Line, cues: Cues, found: str) -> str:
    """`fed` or `watered`, "" where the line asks of neither; `found` is the event that its verb tells by itself."""
    if "PLANT" in cues.names and "ENCLOSURE" in cues.names and GIVEN_IN.search(line.plain):
        return "fed"
    if found not in ("given", ""):
        return ""
    if line.of("enclosure", "cohort", "mark") and (got := GETTING.search(line.masked())):
        return "watered" if got[0].endswith(("water", "drink")) else "fed"
    return "fed" if found == "given" and not MEALS.isdisjoint(token.text for token in line.tokens) else ""
