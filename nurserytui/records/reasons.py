"""Headcounts in words, for the reasons of faults: `cohort B has 3 eggs, not 5`."""

from __future__ import annotations

from collections.abc import Iterable

from nurserytui.records.postings import Key

PLURAL = {"egg": "eggs", "larva": "larvae", "prepupa": "prepupae", "pupa": "pupae", "adult": "adults", "": "animals"}
LONGEST = 5
"""A reason names so many groups at most."""


def animals(count: int, stage: str) -> str:
    """`1 egg`, `3 larvae`, `2 animals`."""
    word = PLURAL.get(stage, "animals")
    return f"{count} {(stage or 'animal') if count == 1 else word}"


def joined(words: Iterable[str]) -> str:
    words = list(words)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else "nothing"


def where(enclosure: str) -> str:
    return f" in {enclosure}" if enclosure else ""


def groups_in_words(
    groups: Iterable[tuple[Key, int]], *, instars: bool = False, places: bool = True, cohorts: bool = False
) -> str:
    """`6 larvae in tub 1 and 3 larvae in tub 3`, summed over what is not asked for."""
    sums: dict[str, list] = {}
    for key, count in groups:
        tail = (
            f" of instar {key.instar}"
            if instars and key.instar
            else " of unknown instar"
            if instars and key.stage == "larva"
            else ""
        )
        tail += f" of cohort {key.cohort}" if cohorts else ""
        tail += where(key.enclosure) if places else ""
        tail += f" (marked {key.mark})" if key.mark and places else ""
        held = sums.setdefault(f"{key.stage}{tail}", [0, key.stage, tail])
        held[0] += count
    words = [animals(count, stage) + tail for count, stage, tail in sums.values()]
    return joined(words if len(words) <= LONGEST else [*words[:LONGEST], f"{len(words) - LONGEST} more groups"])


def too_few(
    subject: str, groups: list[tuple[Key, int]], count: int | None, stage: str, enclosure: str, elsewhere: list[tuple[Key, int]]
) -> str:
    """Why `count` animals cannot be taken: what is there instead. `elsewhere` are the subject's other animals."""
    if groups:
        there = groups_in_words(groups, places=False) + where(enclosure)
    elif stage:
        there = f"{animals(0, stage) if count is not None else 'no ' + PLURAL[stage]}{where(enclosure)}"
    else:
        there = f"no animals{where(enclosure)}" if enclosure else "no animals left"
    text = f"{subject} has {there}" + (f", not {count}" if count is not None else "")
    if not groups and elsewhere:
        text += f" (it has {groups_in_words(elsewhere)})"
    return text


def which(subject: str, groups: list[tuple[Key, int]], count: int) -> str:
    """Why `count` animals cannot be told: more than one group fits."""
    spots = {(key.cohort, key.mark, key.stage, key.enclosure) for key, _ in groups}
    cohorts = len({key.cohort for key, _ in groups}) > 1
    there = groups_in_words(groups, instars=len(spots) < len(groups), cohorts=cohorts)
    return f"{subject} has {there}: which {'one' if count == 1 else count} is not said"
