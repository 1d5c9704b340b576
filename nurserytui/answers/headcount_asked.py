"""What else than a headcount a line about numbers may want: labels, or how many were handled. Asked before either is loaded."""

from __future__ import annotations

import re

LABELS = re.compile(
    r"\b(?:labels?|name plates?|cage cards?)\b(?! (?:has|have|had|is|are|was|were|says?|said|washed|fell|came|got|reads?|A)\b)"
)
COUNTING = re.compile(r"\b(?:how many|who|where|which animals|what lives|muddl\w+|washed off|re-?labell?ed|rename)\b")
HANDLED = re.compile(
    r"\bhandl\w+\b|\b(?:my|the|our|a) (?:\w+ )?(?:limit|quota)\b|\bhow many more\b.*\b(?:take|bring|collect|keep|rear|raise|have)\b"
    r"|\bhow many (?:\w+ ){0,3}(?:have i|did i|i have|i've|ive|have we|did we) (?:\w+ )?(?:taken in|took in|take in|brought in|bring in|handled|handle)\b"
)


def asks_labels(request) -> bool:
    """Whether the line wants labels, not a count for which a label is only the reason."""
    return bool(LABELS.search(request.plain)) and not COUNTING.search(request.plain)


def asks_handled(plain: str) -> bool:
    """Whether a line asks how many animals came in over a season, or how many more may, rather than how many are here."""
    return bool(HANDLED.search(plain)) and not re.search(r"\b(?:temperature|degrees?|fit|space|litres?|liters?)\b", plain)
