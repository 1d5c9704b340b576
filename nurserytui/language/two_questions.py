"""Lines that put two questions before them together (`both together`), or ask for another day of the same animals (`and released?`) or
for the way back of what was moved (`and out again?`)."""

from __future__ import annotations

import re

from nurserytui.language import merging
from nurserytui.language.context import Turn
from nurserytui.language.cues import Cues
from nurserytui.language.line import Line
from nurserytui.language.request import Request
from nurserytui.language.slots import HAPPENED
from nurserytui.language.small_words import FILLER

COUNTED = frozenset(("headcount", "survival", "history"))
"""Topics that count animals: two such questions can be asked as one, and one that names nobody is of those just spoken of."""
TOGETHER = re.compile(
    r"(?:(?:and|so|ok|then|what about|how many|how many is that) )*(?:both|(?:the|those|these) two(?: of (?:them|those))?|the pair|them both|both of (?:them|those))"
    r"(?:,? (?:together|combined|in all|in total|added up|added|taken together|all told|altogether|total|makes?|please|pls))*"
    r"|(?:(?:and|so|ok|then) )*(?:add (?:them|those|the two|both) (?:up|together)|together)(?: please| pls)?"
)
LEFT_OR_CAME = frozenset(("released", "given", "escaped", "laid", "found"))
OUT_AGAIN = re.compile(r"\b(?:out|back|off)\b")
BACK = frozenset(
    "come came comes coming get got take took taken taking bring brought move moved go went put out back again off in".split()
)
"""Words of a line that asks only when those that were moved came back."""


def gone_on(line: Line, cues: Cues, turns: list, last: Turn) -> Request | None:
    """What a line asks that only makes sense by one or two questions before it; None where it is none of these."""
    return both(line, cues, turns) or out_again(line, cues, last) or another_event(line, cues, last.request)


def both(line: Line, cues: Cues, turns: list) -> Request | None:
    """The last two questions, of one kind about two things or two stages, as one."""
    if len(turns) < 2 or {span.kind for span in line.spans} - {"number"} or not TOGETHER.fullmatch(line.plain.rstrip("?. ")):
        return None
    one, two = turns[-2].request, turns[-1].request
    if one.topic != two.topic or one.topic not in COUNTED:
        return None
    sides = {slot: tuple(dict.fromkeys((*getattr(one, slot), *getattr(two, slot)))) for slot in (*merging.SIDES, "stages")}
    if not (one.stages and two.stages):
        sides["stages"] = ()
    return two._replace(text=line.text, layer="follow-up", **sides)


def another_event(line: Line, cues: Cues, before: Request) -> Request | None:
    """`and released?` after a question for another day in the life of the same animals."""
    told = {HAPPENED.get(word) for word in cues.words} & LEFT_OR_CAME
    spare = FILLER | {"when", "date", "dates", "day", "did", "release", "releases"}
    rest = [word for word in cues.words if word not in spare and HAPPENED.get(word) not in LEFT_OR_CAME]
    asked = before.topic in ("history", "stage-forecast") and before.event and before.cohorts
    if not asked or len(told) != 1 or rest or line.spans:
        return None
    event = told.pop()
    plain = f"when were {' and '.join(before.cohorts)} {event}"
    return before._replace(
        text=line.text,
        topic="history",
        event=event,
        stages=(),
        cues=frozenset(("when", "question")),
        plain=plain,
        layer="follow-up",
    )


def out_again(line: Line, cues: Cues, turn: Turn) -> Request | None:
    """`and when did they come out again` after the day on which they went into the fridge."""
    before, told = turn.request, (turn.answer.about or {}).get("event")
    if before.topic != "history" or "moved" not in (before.event, told) or len(before.enclosures) != 1 or line.spans:
        return None
    words = {word for word in cues.words if word not in FILLER and word not in ("when", "did", "date", "day")}
    if not OUT_AGAIN.search(line.plain) or not words <= BACK:
        return None
    whose = " and ".join(before.cohorts) or "they"
    plain = f"when did {whose} come out of the {before.enclosures[0]}"
    return before._replace(text=line.text, plain=plain, event="moved", cues=before.cues | {"when"}, layer="follow-up")
