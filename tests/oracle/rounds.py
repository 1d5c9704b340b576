"""What a round is about, by what was done to whom and when: told from the life stories, not from the program's lists."""

from __future__ import annotations

from datetime import date, timedelta

from oracle.crowd import Animal, Crowd
from oracle.meetings import scenes

LOOKS = ("checked", "counted", "sign", "hatched", "moulted", "prepupated", "pupated", "emerged")
Whose = tuple[str, str]
"""(cohort, enclosure)"""


def here(crowd: Crowd) -> dict[Whose, list[Animal]]:
    found: dict[Whose, list[Animal]] = {}
    for animal in crowd.animals:
        if animal.fate == "here":
            found.setdefault((animal.cohort.label, animal.place), []).append(animal)
    return found


def days_of(crowd: Crowd, what: str, place: str, cohorts: set[str]) -> list[date]:
    """When that was done in the enclosure, or to one of the cohorts by name without another enclosure."""
    found = []
    for event in crowd.events:
        if event.what == what:
            named = event.cohort and crowd._cohort(event.cohort).label in cohorts and event.enclosure in ("", place)
            if (place and event.enclosure == place) or named:
                found.append(date.fromisoformat(event.day))
    return found


def with_larvae(crowd: Crowd) -> dict[str, set[str]]:
    """Enclosure -> the cohorts whose larvae stand in it."""
    found: dict[str, set[str]] = {}
    for (cohort, place), animals in here(crowd).items():
        if place and any(animal.stage == "larva" for animal in animals):
            found.setdefault(place, set()).add(cohort)
    return found


def to_feed(crowd: Crowd, today: date, every: int) -> dict[str, date]:
    """Enclosure -> the day on which its larvae want fresh leaf."""
    found = {}
    for place, cohorts in with_larvae(crowd).items():
        fed = days_of(crowd, "fed", place, cohorts)
        found[place] = max(today, max(fed) + timedelta(days=every)) if fed else today
    return found


def to_clean(crowd: Crowd, today: date, every: int) -> dict[str, date]:
    """Enclosure with larvae -> the day on which it wants cleaning: so long after the last one, or after the first of those there came."""
    found = {}
    for place in with_larvae(crowd):
        since = min(came(animal) for animal in crowd.animals if animal.fate == "here" and animal.place == place)
        cleaned = [day for day in days_of(crowd, "cleaned", place, set()) if day >= since]
        found[place] = max(today, max(cleaned, default=since) + timedelta(days=every))
    return found


def came(animal: Animal) -> date:
    """The day on which an animal came to the enclosure that it stands in."""
    day = animal.story[-1].event.day
    for line in reversed(animal.story):
        if line.place != animal.place or line.fate != "here":
            break
        day = line.event.day
    return date.fromisoformat(day)


def unsure_since(crowd: Crowd) -> set[str]:
    """Enclosures of which the records do not say since when those who are there have been: some of several alike left, come on other days."""
    found = set()
    for at, taken, left in crowd.mixed:
        for animal in left:
            place = next(line.place for line in reversed(animal.story) if line.at <= at)
            if len({_came_by(one, at, place) for one in taken | left}) > 1:
                found.add(place)
    return found


def _came_by(animal: Animal, at: int, place: str) -> str:
    day = ""
    for line in reversed([line for line in animal.story if line.at < at]):
        if line.place != place or line.fate != "here":
            break
        day = line.event.day
    return day


def looked(crowd: Crowd) -> dict[Whose, date]:
    """(cohort, enclosure) -> the day of the last look at any of the animals that stand there now; coming in counts."""
    last: dict[Animal, str] = {}
    for scene in scenes(crowd):
        event = scene.event
        changed = {animal for animal, line in scene.now.items() if scene.before.get(animal) is not line}
        seen: set[Animal] = set()
        if event.what in ("laid", "found", "returned"):
            seen = _companions(scene.now, changed)
        elif event.what in LOOKS and (event.cohort or event.enclosure):
            cohort = crowd._cohort(event.cohort) if event.cohort else None
            if event.what in ("checked", "counted", "sign"):
                for animal, line in scene.now.items():
                    if cohort in (None, line.cohort) and event.enclosure in ("", line.place):
                        seen.add(animal)
            else:
                seen = _companions(scene.now, changed)
        for animal in seen:
            last[animal] = max(last.get(animal, ""), event.day)
    found = {}
    for whose, animals in here(crowd).items():
        days = [last[animal] for animal in animals if animal in last]
        if days:
            found[whose] = date.fromisoformat(max(days))
    return found


def _companions(now, changed: set[Animal]) -> set[Animal]:
    """Who sees that some have changed sees the others of them there too."""
    spots = {(now[animal].cohort, now[animal].place) for animal in changed}
    return {animal for animal, line in now.items() if (line.cohort, line.place) in spots}


def mixed(crowd: Crowd) -> set[str]:
    """Enclosures in which adults stand with eggs or larvae."""
    stages: dict[str, set[str]] = {}
    for (_, place), animals in here(crowd).items():
        stages.setdefault(place, set()).update(animal.stage for animal in animals)
    return {place for place, found in stages.items() if place and "adult" in found and found & {"egg", "larva"}}
