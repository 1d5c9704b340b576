"""Questions for what was written down last, or for a part of it (`what did I just write down`, `which tub did I say`)."""

from __future__ import annotations

import re

from nurserytui.language.context import Context
from nurserytui.language.line import Line
from nurserytui.language.request import Request

_SAY = r"(?:writ(?:e|ten)|put (?:down|in)|not(?:e|ed)|jot(?:ted)?|log(?:ged)?|record(?:ed)?|enter(?:ed)?|typed?|sa(?:y|id)|t(?:ell|old))"
_SAID = r"(?:wrote|written|put (?:down|in)|noted|jotted|logged|recorded|entered|typed|said|told you)"
_WHEN = r"(?:,? (?:just now|just|last|there|now|then|again|please|pls))*"
ASKS = re.compile(
    rf"(?:(?:and|so|ok|sorry|wait|hang on|er) )*(?:what (?:did|have|had) (?:i|we) (?:just |only just |last )?{_SAY}(?: you)?(?: down| in)?{_WHEN}"
    rf"|what(?: is| was|s|'s)? (?:it |that )?(?:i|we) (?:just |last ){_SAID}(?: down| in)?{_WHEN}"
    rf"|what(?: is| was|s|'s)? (?:the|my|our) last (?:thing|line|entry|record|one) ?(?:that )?(?:(?:i|we) (?:just )?{_SAID}(?: down| in)?)?{_WHEN}"
    rf"|(?:the |my )?last (?:entry|record|line)|(?:what|which|how many)(?: \w+){{0,2}} (?:did|was it|have) (?:i|we)? ?(?:just )?(?:say|said|tell you|told you|type|typed|write|wrote|written|put down|enter)(?: down| in)?{_WHEN}"
    rf"|read (?:that|it|the last (?:one|line|record|entry)) back(?: to me)?{_WHEN}|read back(?: the last (?:one|line|record|entry))?{_WHEN})"
)


def asked(line: Line, context: Context) -> Request | None:
    """The question for the last record, of this conversation if it wrote any; None where the line asks something else."""
    if line.of("cohort", "mark", "enclosure", "species", "plant", "period", "agent") or not ASKS.fullmatch(
        line.plain.rstrip("?!. ")
    ):
        return None
    return Request(
        line.text,
        "history",
        cues=frozenset(("last-written", "question")),
        group=context.last_group,
        plain=line.plain,
        layer="grammar",
        score=1.0,
    )
