"""What is left by what was told: `so B stands at`, `that makes how many in crate 5`, `which leaves`, `what does that bring the jar to`.

Such a line has no number of its own and ends where one should follow, or asks for it; it is a count of those that it names, else of those
just spoken of, and tells of no event.
"""

from __future__ import annotations

import re

from nurserytui.language import slots
from nurserytui.language.context import Context
from nurserytui.language.cues import Cues
from nurserytui.language.line import Line
from nurserytui.language.request import Request
from nurserytui.language.spoken import spoken_of

_JOINED = r"(?: (?:in|of|and|the|my|our))*"
_NAMED = rf"(?:(?:the|my|our|of|in|cohort) )*[A-Z][A-Z-]+(?:{_JOINED} [A-Z][A-Z-]+)*{_JOINED}"
_LEAD = r"(?:(?:and|so|then|ok|okay|right|now|well|thus|hence) )*"
_DOES = r"(?:makes?|leaves?|puts?|brings?|gives?|takes?|gets?)"
_MANY = r"(?:how many|what|how much)"
_END = r"(?: (?:left|now|then|total|in all|altogether|overall|still|there|in there|at|to|with|remaining))*"
OF_WHAT_WAS_TOLD = re.compile(
    rf"{_LEAD}(?:(?:which|that|this|it) {_DOES}(?: (?:me|us))?(?: (?:with|at))?(?: {_MANY})?(?: (?:for|in|of|at|to|on))*(?: (?:there|here))?(?: {_NAMED})?{_END}"
    rf"|{_MANY} (?:does|do|did|would) (?:that|this|it) (?:make|leave|put|bring|give|take)(?: (?:me|us))?(?: (?:with|for|in|of|at|to))*(?: {_NAMED})?{_END}"
    rf"|(?:we|i|they|it)(?: are|'re|re| am|'m|m| is|'s)? (?:now )?(?:stand at|at|down to|up to|left with)(?: {_MANY})?"
    rf"|where does (?:that|this|it) (?:leave|put|bring) (?:me|us|{_NAMED}))"
)
"""Lines that refer to what was told before them."""
OF_THOSE_NAMED = re.compile(
    rf"{_LEAD}{_NAMED}(?: (?:now|is|are|then|currently|stands?|standing|sits?|sitting|stays?|comes|went|goes|must be|should be|left))* "
    rf"(?:at|down to|up to|left with)(?: {_MANY})?(?: (?:now|then))?"
)
"""Lines that name whom they mean."""


LONGEST = 20
"""Words of such a line at most."""


def asked(line: Line, found: Cues, nursery, context: Context) -> Request | None:
    """The count that such a line asks for; None for a line of another kind."""
    if len(line.tokens) > LONGEST or {"NUMBER", "ESTIMATE", "AMOUNT", "PERIOD", "TIME", "TEMPERATURE", "PERCENT"} & found.names:
        return None
    said = " ".join(word for word in found.words if word not in (",", ":", "-", "="))
    named = line.of("cohort", "mark", "enclosure", "species")
    goes_on = context.last is not None and (
        OF_WHAT_WAS_TOLD.fullmatch(said) or line.of("stage") and OF_THOSE_NAMED.fullmatch(said)
    )
    if not goes_on and not (named and OF_THOSE_NAMED.fullmatch(said)):
        return None
    request = slots.fill(line, found, "headcount", nursery, "follow-up", 1.0)
    if named:
        return request
    inside = "in-there" in found.names
    whose = spoken_of(context.turns[-1:], inside)
    if inside and "enclosures" in whose:
        whose.pop("cohorts", None), whose.pop("species", None), whose.pop("mark", None)
    kept = {slot: value for slot, value in whose.items() if slot in ("cohorts", "enclosures", "mark", "species")}
    if not kept:
        return None
    if "cohorts" in kept and not inside:
        kept.pop("enclosures", None)  # what is left of them, wherever they stand
    return request._replace(plain=f"how many left {line.plain}", **kept)
