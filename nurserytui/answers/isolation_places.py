"""Enclosures that stand empty and clean, the smallest that will do first: where suspects can go."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.answers.loose import same_air
from nurserytui.answers.selection import known_enclosures, span_of
from nurserytui.answers.wording import day_words, number

UNFIT = re.compile(r"\b(?:fridge|refrigerator|freezer|cold|sleeve|porch|garden|outdoors?)\b", re.IGNORECASE)
"""Names of places in which no sick animal is set apart: too cold, or out in the open."""
SIZES = (
    (r"\b(?:cups?|pots?|vials?|jars?|dish\w*)\b", 1.0),
    (r"\b(?:tubs?|box\w*|containers?)\b", 5.0),
    (r"\b(?:crates?|bins?|tanks?|terrari\w+)\b", 20.0),
)
LARGEST = 40.0
"""Litres that an enclosure is taken to hold by its name, where its volume is not on record (judged), and those of cages, nets and tents."""


class Free(NamedTuple):
    """An enclosure with nobody in it."""

    name: str
    litres: float | None
    clean: bool
    state: str
    """`clean since Thu 9 July (2026-07-09)`, or what keeps it from being so."""

    @property
    def about(self) -> float:
        """Litres, on record or by its name."""
        if self.litres is not None:
            return self.litres
        return next((litres for pattern, litres in SIZES if re.search(pattern, self.name, re.IGNORECASE)), LARGEST)

    @property
    def words(self) -> str:
        size = f"{number(self.litres, 2)} L" if self.litres is not None else "volume not on record"
        return f"{self.name} ({size}, {self.state})"


def free_enclosures(nursery, need: float, away_from: tuple[str, ...] = ()) -> list[Free]:
    """Empty enclosures that hold `need` litres and share no air with those of `away_from`: clean ones first, of those the smallest."""
    near = {other for place in away_from for other in same_air(nursery.settings, place)}
    return [one for one in _empty(nursery) if one.name not in near and one.about >= need]


def _empty(nursery) -> list[Free]:
    """All that stand empty, in the order in which they are given away; kept until the records or the moment change."""

    def found() -> list[Free]:
        used = {key.enclosure for key in nursery.ledger.heads}
        names = [name for name in known_enclosures(nursery) if name and name not in used and not UNFIT.search(name)]
        return sorted(
            (_state(nursery, name) for name in names),
            key=lambda one: (not one.clean, one.litres is None, one.about, one.name),
        )

    return nursery.until_moved("free enclosures", found)


def _state(nursery, name: str) -> Free:
    litres = nursery.settings.volumes.get(name)
    litres = None if litres is None else litres / 1000
    chronicle = nursery.ledger.chronicle
    left = [one for one in chronicle.touching(name) if one.source is not None and one.source.enclosure == name]
    cleaned = [event for event in chronicle.at(name) if event.what == "cleaned" and event.enclosure == name]
    if not left:
        return Free(name, litres, True, "never used by the records")
    last = max(span_of(posting.event)[0] for posting in left)
    if cleaned and span_of(cleaned[-1])[1] >= last:
        return Free(name, litres, True, f"clean since {day_words(cleaned[-1].day, nursery.now)}")
    return Free(name, litres, False, f"empty since {day_words(last, nursery.now)} and not cleaned since")


def litres_needed(nursery, heads) -> float:
    """Litres that animals need by the house rule: `heads` are (key, count)."""
    large, small = nursery.knowledge.rule("density-litre-large").value, nursery.knowledge.rule("density-litre-small").value
    need = 0.0
    for key, count in heads:
        big = key.stage in ("prepupa", "pupa", "adult") or (key.stage == "larva" and (key.instar is None or key.instar >= 4))
        need += count * (large if big else small)
    return need
