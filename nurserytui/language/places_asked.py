"""The enclosures that a question is about, whether the records hold them or not."""

from __future__ import annotations

import re

from nurserytui.language.line import Line
from nurserytui.language.ordinary import HEADS
from nurserytui.language.places import by_part, strange

KEPT = frozenset(("headcount", "history", "temperature", "exposure", "hygiene"))
"""Topics that are about the keeper's own enclosures."""


def places(line: Line, topic: str, nursery) -> tuple[str, ...]:
    """The enclosures of a line; where it names none, the only one that it can mean by a part of its label (`the fridge`)."""
    said = tuple(dict.fromkeys(span.value for span in line.of("enclosure")))
    if said or topic not in (*KEPT, "survival") or line.of("unknown-enclosure"):
        return said
    if topic == "survival":
        return all_of_a_kind(line.plain, nursery.ledger.enclosures)
    label = by_part(line.plain, nursery.ledger.enclosures)
    return (label,) if label else all_of_a_kind(line.plain, nursery.ledger.enclosures)


ANY_KIND = frozenset("cages enclosures containers habitats".split())
"""What keepers call all their enclosures, whatever is written on some of them."""
_PLURALS = "|".join(sorted(head for head in HEADS - ANY_KIND if head.endswith("s")))
_ALL = re.compile(
    rf"\b(?:in|inside|of|for|across|between|from)(?: (?:both|all|the|my|our|these|two|three|of))* ({_PLURALS})\b(?! \d)"
    rf"|\b(?:both|all)(?: (?:of|the|my|our|two|three))* ({_PLURALS})\b(?! \d)"
    rf"|^(?:the |my |our )?({_PLURALS})(?: (?:totals?|counts?|altogether|together|headcounts?|combined|in all|how many))+$"
)


_SOME = re.compile(r"\b(?:which|any|how many (?=\w+$)|empty|spare|other)\b")
"""Words beside them by which it is asked for some of those enclosures, not what is in all of them."""


def all_of_a_kind(plain: str, enclosures) -> tuple[str, ...]:
    """The enclosures of a kind that a line names all together (`how many in the sleeves`, `both tents total`); () where there is one or none."""
    said = _ALL.search(plain)
    kind = next((word for word in said.groups() if word), "") if said else ""
    if not kind or _SOME.search(said[0]) or re.search(r"\bempty\b", plain):
        return ()
    single = re.compile(rf"\b{kind.removesuffix('es') if kind.endswith('xes') else kind.removesuffix('s')}\b")
    found = tuple(sorted(label for label in enclosures if label and single.search(label.casefold())))
    return found if len(found) > 1 else ()


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
