"""A place by its noun alone, where several have it and only one of them holds the animals that are named (`2 of B died in the tote`)."""

from __future__ import annotations

from nurserytui.language.clause import Item
from nurserytui.language.line import Span
from nurserytui.language.record_new_places import container


def resolved(items: list[Item], nursery) -> list[Item]:
    """The items with such a noun as the enclosure that it stands for."""
    labels = {
        item.span.value if item.kind == "cohort" else item.span.value[0] for item in items if item.kind in ("cohort", "mark")
    }
    if not labels & nursery.ledger.cohorts.keys():
        return items
    found = _numbered(list(items), labels, nursery)
    for at, item in enumerate(items):
        if item.span or not at or items[at - 1].word not in ("the", "that", "my", "our") or not container(item.word):
            continue
        places = {
            key.enclosure
            for key, count in nursery.ledger.heads.items()
            if count and key.cohort in labels and item.word in key.enclosure.casefold().split()
        }
        if len(places) == 1:
            place = places.pop()
            found[at] = item._replace(word="ENCLOSURE", span=Span(-1, -1, "enclosure", place, item.raw))
    return found


def _numbered(items: list[Item], labels: set[str], nursery) -> list[Item]:
    """The bare figures of `from 2 to 3` as places, where the animals named stand in a place of that number."""
    words = [item.word for item in items]
    at = next(
        (at for at in range(len(items) - 3) if words[at] == "from" and words[at + 1 : at + 4 : 2] == ["NUMBER", "NUMBER"]), None
    )
    if at is None or words[at + 2] not in ("to", "into"):
        return items
    places = {key.enclosure for key, count in nursery.ledger.heads.items() if count and key.cohort in labels}
    nouns = {place.rsplit(" ", 1)[0] for place in places if place.rsplit(" ", 1)[-1] == items[at + 1].raw}
    if len(nouns) == 1:
        noun = nouns.pop()
        for one in (at + 1, at + 3):
            span = Span(-1, -1, "enclosure", f"{noun} {items[one].raw}", items[one].raw)
            items[one] = items[one]._replace(word="ENCLOSURE", span=span)
    return items
