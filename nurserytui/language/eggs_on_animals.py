"""Eggs that somebody laid on the keeper's animals (`a white egg behind the head of one`): what is seen on these, and no stage of theirs."""

from __future__ import annotations

from nurserytui.language.clause import STAGES, word_at
from nurserytui.language.ordinary import PLANT_PARTS

PLACED = frozenset("on onto behind under stuck glued attached across along to".split())
BODY = frozenset(
    "it its it's them their him his her head heads neck necks back backs skin side sides body bodies segment segments thorax face tail".split()
)
"""What such eggs stand on."""
NEAR = 5
"""So many words may stand between where they are and on whom."""
PASSED = frozenset("a an the of my our".split())


def eggs_on(items) -> tuple[int, int] | None:
    """(first, last) place of the words that tell of such eggs, their number with them; None where no such eggs are told of."""
    for at, item in enumerate(items):
        if item.word != "EGG":
            continue
        place = next((step for step in range(at + 1, min(at + 4, len(items))) if items[step].word in PLACED), None)
        if place is None or any(one.kind in ("plant", "enclosure") or one.stop for one in items[at:place]):
            continue
        ahead = [one for one in items[place + 1 : place + 1 + NEAR] if one.word not in PASSED]
        ends = next((step for step, one in enumerate(ahead) if one.kind == "enclosure" or one.stop), len(ahead)) + 1
        on = ahead[:ends]
        last = [one.word for one in on] == ["NUMBER"] and len(ahead) == 1  # `behind the head of one`, `on one`
        if any(one.kind == "plant" or one.word in PLANT_PARTS for one in on):
            continue
        if not last and not any(one.word in BODY | {"COHORT", "SPECIES"} | STAGES - {"EGG"} for one in on):
            continue
        first = at
        while first and not items[first - 1].stop and (not items[first - 1].span or word_at(items, first - 1) == "NUMBER"):
            first -= 1
            if items[first].word in ("NUMBER", "a", "an", "with", "has", "have", "saw"):
                break
        return first, at
    return None
