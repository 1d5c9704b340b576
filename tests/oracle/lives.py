"""What became of animals, told from their life stories one by one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import NamedTuple

from nurserytui.records.events import STAGES
from oracle.crowd import Animal, Cohort, Crowd


class Told(NamedTuple):
    start: int
    reached: int
    died: int
    censored: Counter
    causes: Counter
    sure: bool
    """Whether the records say which animals these were: not where some of several alike animals were taken of which not all were watched."""
    corrected: bool
    """Whether a stocktake showed that there had been more or fewer of any animals than was believed."""


class Watch(NamedTuple):
    """Whether an animal is followed at a moment, and whether it was counted as one that started."""

    on: bool = False
    started: bool = False
    ended: str = ""
    """`reached`, `died`, or why its fate is not known."""
    cause: str = ""


def between(
    crowd: Crowd, meant: Callable[[Cohort], bool], origin: str | None, goal: str, places: tuple[str, ...] = (), mark: str = ""
) -> Told:
    """How many of the animals meant came from stage `origin` (None: the stage they came in) to `goal`, and what the others came to.

    They are followed while they belong to the cohorts meant (and have that mark, and stand in those places).
    """
    first, last = STAGES.index(origin) if origin else None, STAGES.index(goal)
    start, reached, died = 0, 0, 0
    censored, causes = Counter(), Counter()
    corrected = False
    on_at: dict[Animal, list[tuple[int, Watch]]] = {}
    for animal in crowd.animals:
        watches = list(_watches(animal, meant, first, last, places, mark))
        on_at[animal] = watches
        watch = watches[-1][1]
        start += watch.started
        corrected |= animal.fate == "never was" or animal.story[0].event.what == "counted"
        if watch.ended == "reached":
            reached += 1
        elif watch.ended == "died":
            died += 1
            causes[watch.cause] += 1
        elif watch.ended:
            censored[watch.ended] += 1
        elif watch.on and (first is None or STAGES.index(animal.stage) >= first):
            censored["alive"] += 1
    return Told(start, reached, died, censored, causes, _sure(crowd, on_at), corrected)


def _watches(animal: Animal, meant, first: int | None, last: int, places: tuple[str, ...], mark: str):
    """The watch on one animal after each line of its story."""
    watch, before, left = Watch(), None, None
    for line in animal.story:
        here = line.fate == "here" and meant(line.cohort) and line.place in (places or (line.place,)) and mark in ("", line.mark)
        stage = STAGES.index(line.stage)
        if not watch.on and here:
            if watch.ended in ("missing", "counted", "elsewhere"):
                # It was only away: what was known of it holds, and it may have grown.
                watch = watch._replace(on=True, ended="")
                watch = _on(watch, STAGES.index(left.stage), stage, first, last)
            elif not watch.ended and stage < last and (first is None or stage <= first):
                watch = Watch(on=True, started=first is None or stage == first)
        elif watch.on and here:
            watch = _on(watch, STAGES.index(before.stage), stage, first, last)
        elif watch.on:
            left = before
            short = first is not None and STAGES.index(before.stage) < first
            ended = line.fate if line.fate != "here" else "elsewhere"
            if line.event.what == "counted":
                ended = "counted"
            watch = watch._replace(on=False, ended="" if short else ended)
            if ended == "died":
                watch = watch._replace(cause=line.event.detail.strip() or "cause not recorded")
        before = line
        yield line.at, watch


def _on(watch: Watch, before: int, stage: int, first: int | None, last: int) -> Watch:
    if first is not None and before < first <= stage < last:
        watch = watch._replace(started=True)
    if stage >= last:
        return watch._replace(on=False, ended="reached" if first is None or before >= first else "")
    return watch


def _sure(crowd: Crowd, on_at: dict[Animal, list[tuple[int, Watch]]]) -> bool:
    def then(animal: Animal, at: int) -> Watch:
        return next((watch for when, watch in reversed(on_at[animal]) if when < at), Watch())

    return all(len({then(animal, at) for animal in taken | left}) == 1 for at, taken, left in crowd.mixed)


def deaths(crowd: Crowd) -> Counter:
    """(cohort, stage, cause, day) -> animals that died."""
    return Counter(
        (line.cohort.label, line.stage, line.event.detail.strip() or "cause not recorded", line.event.day)
        for animal in crowd.animals
        for line in animal.story
        if line.fate == "died"
    )


def season_of(cohort: Cohort, season_start: int = 1) -> int:
    """The year of a cohort's first event, counted from the month in which a season starts."""
    year, month = int(cohort.first.when[:4]), int(cohort.first.when[5:7])
    return year if month >= season_start else year - 1
