"""Those that got away and were looked for in vain (`no sign of the B that escaped`): nobody was looked at, nobody else is missing."""

from __future__ import annotations

import re

from nurserytui.language.clause import Item, who
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line

WHO = r"(?:COHORT|SPECIES|EGG|LARVA|PREPUPA|PUPA|ADULT|NUMBER|one|ones|two|last|other|others)"
GONE = r"(?:missing|escaped|lost|runaway|vanished|escapee|strayed|fugitive|absconded)"
LEFT = r"(?:escaped|got (?:out|away|loose|lost)|went (?:missing|astray|walkabout)|vanished|disappeared|ran away|crawled off|wandered off|flew off|is gone|are gone|(?:was|were|is|are) (?:lost|missing))"
AWAY = re.compile(
    rf"\b(?:the|my|our|those|that) (?:{WHO} )*{GONE} (?:{WHO}|of)\b|\b{WHO} (?:that|which|who|what) (?:had |has |have )?{LEFT}\b|\bescapees?\b"
)
"""Animals of which it is known that they got away."""
IN_VAIN = re.compile(
    r"\b(?:no|not a|without a?) ?(?:sign|trace|sight|luck|joy|show)\b|\b(?:cant|can not|cannot|couldnt|could not|didnt|did not|havent|have not|never|not|nt) (?:yet )?(?:been )?(?:find|see|spot|found|seen|locate|located|turned up|shown up)\b"
    r"|\bstill (?:missing|gone|lost|at large|on the loose|nowhere|out there|not)\b|\bnowhere to be (?:seen|found)\b|\bin vain\b|\bno where\b"
)
"""What somebody says who looked for them and found nobody."""


def told(line: Line, items: list[Item]) -> Draft | None:
    """The note of a search in vain for those that are known to be away; None for any other line."""
    said = " ".join(item.word for item in items)
    away = AWAY.search(said)
    if not away or not IN_VAIN.search(said) or "NUMBER" in AWAY.sub("", said):
        return None
    cohort, mark = next((who(item) for item in items if item.word == "COHORT"), ("", ""))
    return Draft("note", cohort=cohort, mark=mark, note=line.text.strip())
