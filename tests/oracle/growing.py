"""A nursery that is written to event by event, as a keeper does it: late, early, wrong and put right, and by two programs at once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from random import Random

from nurserytui.nursery import Nursery
from nurserytui.records.events import Event
from oracle.nurseries import random_events

HARMLESS = ("fed", "cleaned", "watered", "checked", "temperature", "note", "tested", "sign", "stocked", "cut", "setting")
"""What can be told late without making anything that was told before impossible."""


def written(rng: Random, seasons: int = 1, cohorts: int = 3, animals: tuple[int, int] = (2, 7)) -> list[list[Event]]:
    """A keeper's records in the order in which they are written: some late, some taken back, some put right."""
    events = random_events(rng, seasons, cohorts, looks_per_day=0.2, animals=animals)
    groups = [[event] for event in events]
    for at, event in enumerate(events):
        late = event.what in HARMLESS and rng.random() < 0.1 or event.what in ("died", "missing") and rng.random() < 0.2
        if late and not any(later.withdraws == event.id for later in events):
            groups[at] = []
            groups[min(len(groups) - 1, at + rng.randrange(1, 40))].append(event)
    told = [group for group in groups if group]
    for number in range(max(2, len(told) // 20)):
        at = rng.randrange(len(told) // 4, len(told))
        gone = rng.choice(told[rng.randrange(at)])
        if gone.what == "withdrawn" or any(event.withdraws == gone.id for group in told for event in group):
            continue
        group = [Event(gone.when, "withdrawn", withdraws=gone.id, id=f"w{number}", group=f"w{number}")]
        if rng.random() < 0.7:
            count = gone.count and max(1, gone.count - (rng.random() < 0.5))
            group.append(gone._replace(id=f"c{number}", group=f"w{number}", count=count))
        elif rng.random() < 0.5:
            told.insert(at, [Event(gone.when, "withdrawn", withdraws=f"w{number}", id=f"v{number}")])
        told.insert(at, group)
    return told


def moments(rng: Random, told: list[list[Event]]) -> list[datetime]:
    """When each of those is written: mostly on its day, now and then before it, so that it comes due later."""
    now, found = datetime.fromisoformat(told[0][0].day), []
    for group in told:
        day = datetime.fromisoformat(group[0].day)
        early = timedelta(days=rng.choice((0, 0, 0, 0, 2, 9)))
        now = max(now, day - early + timedelta(hours=rng.choice((7, 12, 23))))
        found.append(now)
    return found


def life(rng: Random, store, other, knowledge, checks: int = 6, **size) -> Iterator[Nursery]:
    """The nursery of `store`, as it grows: it stops now and then to be looked at. `other` is a second store on the same file, or None."""
    told = written(rng, **size)
    whens = moments(rng, told)
    begin = rng.randrange(len(told) // 2)
    store.append([event for group in told[:begin] for event in group if event.what != "withdrawn"][:begin])
    nursery = Nursery(store, knowledge, whens[begin])
    yield nursery
    stops = set(rng.sample(range(begin, len(told)), min(checks, len(told) - begin)))
    for at in range(begin, len(told)):
        nursery.at(whens[at])
        if other is not None and rng.random() < 0.3:
            other.append(told[at])
            nursery.at(nursery.now)
        else:
            nursery.write(told[at])
        if at in stops:
            if rng.random() < 0.3:
                # What was written ahead comes due.
                nursery.at(whens[at] + timedelta(days=rng.choice((1, 3, 10))))
                whens = [max(when, nursery.now) for when in whens]
            yield nursery
    nursery.at(nursery.now + timedelta(days=rng.choice((1, 12))))
    yield nursery
