"""`both sleeves`, `checked the tents`: the two enclosures of a kind, told one by one before a line is read."""

from __future__ import annotations

import re

from nurserytui.language.ordinary import HEADS
from nurserytui.language.places_asked import ANY_KIND

_PLURALS = "|".join(sorted(head for head in HEADS - ANY_KIND if head.endswith("s")))
_DONE = "checked|fed|watered|cleaned|misted|sprayed|scrubbed|washed|wiped|looked"
PAIR = re.compile(
    rf"\b(?P<both>(?:both|the two)(?: of)?(?: (?:the|my|our))? (?P<kind>{_PLURALS}))\b(?! \d|-)"
    rf"|\b(?:{_DONE}|in|inside) (?P<done>(?:(?:the|my|our) )?(?P<kind2>{_PLURALS}))\b(?! \d|-)"
    rf"|^(?P<first>(?:(?:the|my|our) )?(?P<kind3>{_PLURALS}))(?= (?:both |all )?(?:{_DONE})\b)",
    re.I,
)
ASKED = re.compile(r"\b(?:which|how many|other|number|per)(?: of)? $", re.I)
"""What in front of them makes the enclosures what is asked for."""


def told_apart(text: str, vocabulary) -> str:
    """The line with the labels of both; as it is where the keeper has one enclosure of that kind, or more than two."""
    found = PAIR.search(text)
    if found is None or ASKED.search(text[: found.start()]):
        return text
    whole = next(name for name in ("both", "done", "first") if found[name])
    kind = (found["kind"] or found["kind2"] or found["kind3"]).casefold()
    single = kind.removesuffix("es") if kind.endswith("xes") else kind.removesuffix("s")
    labels = sorted(label for folded, label in vocabulary.enclosures.items() if single in folded.split())
    if len(labels) != 2 or vocabulary.enclosure((kind,)):
        return text
    return f"{text[: found.start(whole)]}{labels[0]} and {labels[1]}{text[found.end(whole) :]}"
