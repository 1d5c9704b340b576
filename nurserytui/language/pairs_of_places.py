"""`both sleeves`, `checked the tents`: the two enclosures of a kind, told one by one before a line is read."""

from __future__ import annotations

import re

from nurserytui.language.ordinary import HEADS
from nurserytui.language.places_asked import ANY_KIND

_PLURALS = "|".join(sorted(head for head in HEADS - ANY_KIND if head.endswith("s")))
_DONE = "checked|fed|watered|cleaned|misted|sprayed|scrubbed|washed|wiped|looked"
PAIR = re.compile(
    rf"\b(?:(?:both|the two|the|my|our)(?: of)?(?: (?:the|my|our))?) ({_PLURALS})\b(?! \d|-)"
    rf"|\b(?:{_DONE}) ({_PLURALS})\b(?! \d|-)|^({_PLURALS})(?= (?:both |all )?(?:{_DONE})\b)",
    re.I,
)
ASKED = re.compile(r"\b(?:which|how many|other|number|per)(?: of)? $", re.I)
"""What in front of them makes the enclosures what is asked for."""


def told_apart(text: str, vocabulary) -> str:
    """The line with the labels of both; as it is where the keeper has one enclosure of that kind, or more than two."""
    found = PAIR.search(text)
    if found is None or ASKED.search(text[: found.start()]):
        return text
    at = next(group for group in (1, 2, 3) if found[group])
    kind = found[at].casefold()
    single = kind.removesuffix("es") if kind.endswith("xes") else kind.removesuffix("s")
    labels = sorted(label for folded, label in vocabulary.enclosures.items() if single in folded.split())
    if len(labels) != 2 or vocabulary.enclosure((kind,)):
        return text
    start = found.start() if at == 1 else found.start(at)
    return f"{text[:start]}{labels[0]} and {labels[1]}{text[found.end() :]}"
