"""The enclosures that a question is about, whether the records hold them or not."""

from __future__ import annotations

from nurserytui.language.line import Line
from nurserytui.language.ordinary import HEADS
from nurserytui.language.places import by_part, strange

KEPT = frozenset(("headcount", "history", "temperature", "exposure", "hygiene"))
"""Topics that are about the keeper's own enclosures."""


def places(line: Line, topic: str, nursery) -> tuple[str, ...]:
    """The enclosures of a line; where it names none, the only one that it can mean by a part of its label (`the fridge`)."""
    said = tuple(dict.fromkeys(span.value for span in line.of("enclosure")))
    if said or topic not in KEPT or line.of("unknown-enclosure"):
        return said
    label = by_part(line.plain, nursery.ledger.enclosures)
    return (label,) if label else ()


def strange_place(line: Line, topic: str, nursery) -> tuple[str, ...]:
    """The place that a headcount is asked of and that the records do not hold."""
    if topic != "headcount":
        return ()
    bare = line._replace(spans=tuple(span for span in line.spans if span.kind != "plant"))
    place = strange(bare.masked(), nursery.ledger.enclosures, (nursery.settings.air or {}).values())
    return (place,) if place else ()


def in_a_name(line: Line, topic: str) -> bool:
    """Whether a plant is only part of what an enclosure is called that the records do not hold (`the oak sleeve`)."""
    return topic in KEPT and any(
        span.last + 1 < len(line.tokens) and line.tokens[span.last + 1].text in HEADS for span in line.of("plant")
    )
