"""Animals in one enclosure that should not share it, with why, what to do, and the sentence that records it as done."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers.wording import listed, stage_count


class Friction(NamedTuple):
    kind: str
    """`adults-with-larvae`, `suspects-with-healthy`, `cannibals`, `large-with-small`, `eggs-with-larvae` or `too-full`."""
    animals: tuple[str, ...]
    """Cohorts, those to be taken out first."""
    enclosure: str
    label: str
    """What to do, in short: `Take 2 adults of B out of tub 1`."""
    reason: str
    rule: str
    """Id of the rule that says so."""
    todo: str
    record: str
    priority: int
    """1 for what may cost animals today, 2 for today's work, 3 for what can wait."""


def frictions(nursery) -> list[Friction]:
    """All that should not share an enclosure now, most pressing first; kept until the records or the moment change."""
    kept = nursery.__dict__.setdefault("_frictions", {})
    if kept.get("at") != (nursery.version, nursery.now):
        found = [one for place, groups in inside(nursery).items() for one in _of_place(place, groups, nursery)]
        kept.update(
            at=(nursery.version, nursery.now), found=sorted(found, key=lambda one: (one.priority, one.enclosure, one.kind))
        )
    return kept["found"]


def inside(nursery) -> dict[str, list]:
    """Enclosure -> [(key, heads)] of the living."""
    found: dict[str, list] = {}
    for key, heads in nursery.heads():
        if key.enclosure:
            found.setdefault(key.enclosure, []).append((key, heads))
    return found


def _of_place(place: str, groups: list, nursery):
    yield from _adults(place, groups)


def _adults(place: str, groups: list):
    adults: dict[str, int] = {}
    for key, heads in groups:
        if key.stage == "adult":
            adults[key.cohort] = adults.get(key.cohort, 0) + heads
    young = list(dict.fromkeys(key.cohort for key, _ in groups if key.stage in ("egg", "larva")))
    if not adults or not young:
        return
    for cohort, count in adults.items():
        yield Friction(
            "adults-with-larvae",
            (cohort, *(label for label in young if label != cohort)),
            place,
            f"Take {stage_count(count, 'adult')} of {cohort} out of {place}",
            f"adults of {cohort} stand with eggs or larvae of {listed(young)}: adults carry spores onto leaf",
            "adults-apart",
            "release them, or move them to a cage without larvae or their food",
            f"released {count} {cohort}",
            1,
        )
