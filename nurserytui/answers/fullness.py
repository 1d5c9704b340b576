"""How full every enclosure is by the house rule: the litres that its larvae need against those that it holds."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers import sizes
from nurserytui.answers.wording import counted, listed, number, stage_count


class Fill(NamedTuple):
    """An enclosure against the house rule."""

    enclosure: str
    litres: float | None
    said: str
    """`10 L`, `12 x 12 x 24 inch, 56.6 L`; "" where the volume is not known."""
    large: int
    small: int
    prepupae: int
    """They hang where they are and need the room of a large larva until they have pupated."""
    eggs: int
    others: tuple[tuple[str, int], ...]
    """(stage, how many) of eggs, pupae and adults, for which there is no rule."""
    need: float
    """Litres that the larvae and prepupae need."""
    grown: float
    """Litres that they need if those of a small instar on record have grown large since, as they may have."""

    @property
    def present(self) -> int:
        return self.large + self.small

    @property
    def share(self) -> float | None:
        return self.need / self.litres if self.litres else None

    @property
    def too_full(self) -> bool:
        return self.litres is not None and self.need > self.litres + 1e-9

    @property
    def doubtful(self) -> bool:
        """Whether larvae on record as small may be large by now."""
        return self.grown > self.need + 1e-9

    @property
    def perhaps_too_full(self) -> bool:
        """Within the rule by the record, and above it if they have grown as they may have."""
        return self.litres is not None and not self.too_full and self.grown > self.litres + 1e-9

    def room(self, each: float) -> int:
        """How many more larvae of `each` litres fit, also if those inside have grown as they may have."""
        return max(int((self.litres - max(self.need, self.grown)) / each + 1e-9), 0) if self.litres else 0


def per_larva(knowledge) -> dict[str, float]:
    """Litres for one large and one small larva."""
    return {kind: knowledge.rule(f"density-litre-{kind}").value for kind in ("large", "small")}


def fill(enclosure: str, nursery) -> Fill:
    """How full one enclosure is."""
    return _fill(enclosure, nursery.heads(enclosure=enclosure), nursery)


def fills(nursery) -> list[Fill]:
    """All enclosures that hold animals or whose volume is known, the fullest first, those of unknown volume last; kept until the records
    or the moment change."""
    return nursery.until_moved("fills", lambda: _fills(nursery))


def _fills(nursery) -> list[Fill]:
    inside: dict[str, list] = {place: [] for place in nursery.settings.volumes}
    for key, heads in nursery.heads():
        if key.enclosure:
            inside.setdefault(key.enclosure, []).append((key, heads))
    found = [_fill(place, groups, nursery) for place, groups in inside.items()]
    return sorted(found, key=lambda one: (one.litres is None, -(one.share or 0.0), one.enclosure))


def _fill(enclosure: str, groups: list, nursery) -> Fill:
    return fill_of(enclosure, groups, sizes.larvae(groups, nursery), nursery)


def fill_of(enclosure: str, groups: list, larvae: list[sizes.Sized], nursery) -> Fill:
    """How full an enclosure is, or would be, with those animals in it, whose larvae have those sizes."""
    each = per_larva(nursery.knowledge)
    large = small = prepupae = maybe = 0
    others: dict[str, int] = {}
    for one in larvae:
        if one.large:
            large += round(one.heads)
        else:
            small += round(one.heads)
            maybe += round(one.heads) if one.maybe_large else 0
    for key, heads in groups:
        if key.stage == "prepupa":
            prepupae += heads
        elif key.stage != "larva":
            others[key.stage] = others.get(key.stage, 0) + heads
    millilitres = nursery.settings.volumes.get(enclosure)
    litres = millilitres / 1000 if millilitres else None
    need = (large + prepupae) * each["large"] + small * each["small"]
    grown = need + maybe * (each["large"] - each["small"])
    said = volume_words(enclosure, nursery) if litres else ""
    order = sorted(others.items(), key=lambda pair: ("egg", "pupa", "adult").index(pair[0]))
    return Fill(enclosure, litres, said, large, small, prepupae, others.get("egg", 0), tuple(order), need, grown)


def volume_words(enclosure: str, nursery) -> str:
    """The volume of an enclosure in litres, with the keeper's own measure where it was told in another."""
    litres = f"{number(nursery.settings.volumes[enclosure] / 1000, 1 if nursery.settings.volumes[enclosure] >= 1000 else 2)} L"
    for event in reversed(nursery.ledger.chronicle.at(enclosure)):
        if event.what == "setting" and event.detail.startswith("volume"):
            return f"{event.note}, {litres}" if event.note else litres
    return litres


def larvae_words(one: Fill) -> str:
    """`3 larvae (2 large, 1 small) and 2 prepupae`."""
    larvae = f"{counted(one.present, 'larva', 'larvae')} ({one.large} large, {one.small} small)"
    return listed([larvae, *([stage_count(one.prepupae, "prepupa")] if one.prepupae else [])])


def inside_words(one: Fill) -> str:
    """All that is in it, by stage: `2 large larvae, 1 prepupa and 4 eggs`."""
    sized = listed(f"{count} {name}" for name, count in (("large", one.large), ("small", one.small)) if count)
    parts = [f"{sized} {'larva' if one.present == 1 else 'larvae'}" if sized else "no larvae"]
    parts += [stage_count(one.prepupae, "prepupa")] if one.prepupae else []
    return listed([*parts, *(stage_count(count, stage) for stage, count in one.others)])


def room_words(one: Fill, each) -> str:
    """`5 more large or 20 more small larvae`."""
    large, small = one.room(each["large"]), one.room(each["small"])
    return (
        f"{large} more large or {small} more small larvae"
        if large
        else f"{counted(small, 'more small larva', 'more small larvae')}"
    )
