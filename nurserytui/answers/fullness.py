"""How full every enclosure is by the house rule: the litres that its larvae need against those that it holds."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers import sizes
from nurserytui.answers.wording import number


class Fill(NamedTuple):
    """An enclosure against the house rule."""

    enclosure: str
    litres: float | None
    said: str
    """`10 L`, `12 x 12 x 24 inch, 56.6 L`; "" where the volume is not known."""
    large: int
    small: int
    others: int
    """Eggs, pupae and adults, for which there is no rule."""
    need: float
    """Litres that the larvae need."""

    @property
    def present(self) -> int:
        return self.large + self.small

    @property
    def share(self) -> float | None:
        return self.need / self.litres if self.litres else None

    @property
    def too_full(self) -> bool:
        return self.litres is not None and self.need > self.litres + 1e-9

    def room(self, each: float) -> int:
        """How many more larvae of `each` litres fit."""
        return max(int((self.litres - self.need) / each + 1e-9), 0) if self.litres else 0


def per_larva(knowledge) -> dict[str, float]:
    """Litres for one large and one small larva."""
    return {kind: knowledge.rule(f"density-litre-{kind}").value for kind in ("large", "small")}


def fill(enclosure: str, nursery) -> Fill:
    """How full one enclosure is."""
    return _fill(enclosure, nursery.heads(enclosure=enclosure), nursery)


def fills(nursery) -> list[Fill]:
    """All enclosures that hold animals or whose volume is known, the fullest first, those of unknown volume last; kept until the records
    or the moment change."""
    kept = nursery.__dict__.setdefault("_fills", {})
    if kept.get("at") != (nursery.version, nursery.now):
        inside: dict[str, list] = {place: [] for place in nursery.settings.volumes}
        for key, heads in nursery.heads():
            if key.enclosure:
                inside.setdefault(key.enclosure, []).append((key, heads))
        found = [_fill(place, groups, nursery) for place, groups in inside.items()]
        found.sort(key=lambda one: (one.litres is None, -(one.share or 0.0), one.enclosure))
        kept.update(at=(nursery.version, nursery.now), found=found)
    return kept["found"]


def _fill(enclosure: str, groups: list, nursery) -> Fill:
    return fill_of(enclosure, groups, sizes.larvae(groups, nursery), nursery)


def fill_of(enclosure: str, groups: list, larvae: list[sizes.Sized], nursery) -> Fill:
    """How full an enclosure is, or would be, with those animals in it, whose larvae have those sizes."""
    each = per_larva(nursery.knowledge)
    large = small = others = 0
    for one in larvae:
        if one.large:
            large += round(one.heads)
        else:
            small += round(one.heads)
    for key, heads in groups:
        if key.stage == "prepupa":
            large += heads
        elif key.stage != "larva":
            others += heads
    millilitres = nursery.settings.volumes.get(enclosure)
    litres = millilitres / 1000 if millilitres else None
    need = large * each["large"] + small * each["small"]
    return Fill(enclosure, litres, volume_words(enclosure, nursery) if litres else "", large, small, others, need)


def volume_words(enclosure: str, nursery) -> str:
    """The volume of an enclosure in litres, with the keeper's own measure where it was told in another."""
    litres = f"{number(nursery.settings.volumes[enclosure] / 1000, 1 if nursery.settings.volumes[enclosure] >= 1000 else 2)} L"
    for event in reversed(nursery.ledger.chronicle.at(enclosure)):
        if event.what == "setting" and event.detail.startswith("volume"):
            return f"{event.note}, {litres}" if event.note else litres
    return litres
