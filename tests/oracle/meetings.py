"""Who met what was going round: the nursery is lived through once more, event by event, and what a sick animal carries goes along.

A disease is in an enclosure from shortly before its first sign until that was emptied and cleaned; it is in every animal that stood there
meanwhile, goes along with those to where they are moved, and so on. A parasitoid is about for a while in the air of an enclosure.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from typing import NamedTuple

from oracle.crowd import Animal, Crowd, Line

Group = tuple[str, str, str]
"""(label of today, mark, enclosure)"""


class Scene(NamedTuple):
    """The nursery just after an event."""

    first: datetime
    last: datetime
    """The event was at some moment between these."""
    event: object
    now: dict[Animal, Line]
    """How each living animal stands."""
    before: dict[Animal, Line]


def span(event) -> tuple[datetime, datetime]:
    when = datetime.fromisoformat(event.when)
    return (when, when) if event.timed else (when, datetime.combine(when.date(), time(23, 59, 59)))


def scenes(crowd: Crowd) -> Iterator[Scene]:
    lines: dict[int, list[tuple[Animal, Line]]] = {}
    for animal in crowd.animals:
        for line in animal.story:
            lines.setdefault(line.at, []).append((animal, line))
    now: dict[Animal, Line] = {}
    for at, event in enumerate(crowd.events):
        before = dict(now)
        for animal, line in lines.get(at, ()):
            now[animal] = line
        now = {animal: line for animal, line in now.items() if line.fate == "here"}
        yield Scene(*span(event), event, now, before)


def inside(now: dict[Animal, Line], place: str) -> set[Animal]:
    return {animal for animal, line in now.items() if line.place == place}


def met_disease(crowd: Crowd, outbreak, lookback: timedelta) -> tuple[set[Animal], set[Group]]:
    """The animals that the disease may have reached, living or dead, and the groups in which any of them stood since."""
    place, started, ended = outbreak.place, outbreak.first, outbreak.last
    opens = started - lookback
    sick = set(outbreak.cohorts)
    case = outbreak.cases[0]
    unclean: set[str] = set()
    over = False
    carrying: set[Animal] = set()
    ever: set[Group] = set()
    behind: dict[str, set[Animal]] = {}
    """Enclosure -> those who stood there in the days before the first sign."""
    for scene in scenes(crowd):
        standing = inside(scene.now, place)
        if scene.first >= opens:
            # Whoever stood somewhere when the days before the sign began stood there in them too.
            for other in {line.place for line in [*scene.before.values(), *scene.now.values()]}:
                behind.setdefault(other, set()).update(inside(scene.before, other), inside(scene.now, other))
            stood = {line for line in scene.before.values() if line.place == place and line.cohort.label in sick}
            came = {line for line in scene.now.values() if line.place == place and line.cohort.label in sick}
            if not over and place not in unclean and (stood or came or not sick):
                unclean.add(place)
                if stood or not sick:
                    carrying |= inside(scene.before, place)
            if started - lookback <= scene.last <= case.last:
                for animal in standing:
                    before = scene.before.get(animal)
                    line = scene.now[animal]
                    whose = (line.cohort.label, line.mark) == (case.cohort, case.mark)
                    if whose and before is not None and _group(before) != _group(line):
                        carrying |= behind.get(before.place, set())
        for animal in carrying & set(scene.now):
            before = scene.before.get(animal)
            if before is not None and before.place != scene.now[animal].place and scene.now[animal].place:
                unclean.add(scene.now[animal].place)
        event = scene.event
        if event.what == "cleaned" and event.enclosure in unclean and not inside(scene.now, event.enclosure):
            if event.enclosure != place or scene.last >= ended:
                unclean.discard(event.enclosure)
                over |= event.enclosure == place
        carrying |= {animal for animal, line in scene.now.items() if line.place in unclean}
        stand = [scene.now[animal] for animal in carrying & set(scene.now)]
        ever |= {_group(line) for line in stand}
    return carrying, ever


def _group(line: Line) -> Group:
    return (line.cohort.label, line.mark, line.place)


class Danger(NamedTuple):
    """When a parasitoid was about, where, and whom it strikes."""

    air: tuple[str, ...]
    first: datetime
    last: datetime
    stages: tuple[str, ...]
    soft: timedelta
    """How long a fresh pupa is soft."""


def surely_struck(crowd: Crowd, danger: Danger) -> set[Animal]:
    """The animals that stood in that air in a stage that is attacked while it was about, whatever the hour of events without one."""
    return {animal for animal in crowd.animals if any(_struck(animal, at, danger) for at in range(len(animal.story)))}


def _struck(animal: Animal, at: int, danger: Danger) -> bool:
    line = animal.story[at]
    if line.fate != "here" or line.place not in danger.air or line.stage not in danger.stages:
        return False
    begin = span(line.event)[1]
    end = span(animal.story[at + 1].event)[0] if at + 1 < len(animal.story) else datetime.max
    if line.stage == "pupa":
        # By when it had surely pupated; a pupa of unknown age may have been hard.
        turned = next((one for one, before in zip(animal.story[1:], animal.story) if one.stage == "pupa" != before.stage), None)
        if turned is None:
            return False
        hung = span(turned.event)[1]
        begin, end = max(begin, hung), min(end, hung + danger.soft)
    return max(begin, danger.first) < min(end, danger.last)


def ever_in(crowd: Crowd, air: tuple[str, ...]) -> set[Animal]:
    """The animals that ever stood in that air."""
    return {animal for animal in crowd.animals if any(line.place in air for line in animal.story)}


def groups(animals: set[Animal]) -> set[Group]:
    """The groups in which the living ones of them stand."""
    return {(animal.cohort.label, animal.mark, animal.place) for animal in animals if animal.fate == "here"}
