"""For how long parasitoids that came out may be about, in whose air, and what in the records ends it."""

from __future__ import annotations

import re
from datetime import datetime
from typing import NamedTuple

from nurserytui.answers.agents import PARASITOIDS, all_caught
from nurserytui.answers.cases import Outbreak
from nurserytui.answers.selection import span_of
from nurserytui.answers.stays import cleared
from nurserytui.answers.vulnerable import days_of

TELLING = ("checked", "counted", "cleaned", "note")
PLAIN = {"wasp": "wasps", "fly": "flies"}

BARE = re.compile(
    r"(?:(?:an?|the|some|killed|eaten|stung|died|taken|got|of|by|from|to|was|were|it|unknown|possibly|maybe)\s+)*wasps?(?:\s+(?:sting|attack))?"
)
"""A cause of death that names a wasp and nothing else."""
OUT = re.compile(r"\b(?:c[oa]me out|emerg\w*|hatch\w*|holes?|cocoons?|grubs?|maggots?)\b")
"""Words of a note by which something came out of the dead."""
DIED_OUT = "those that were about are dead by then"


class Loose(NamedTuple):
    """Parasitoids of one outbreak that may be about."""

    outbreak: Outbreak
    air: tuple[str, ...]
    """The enclosures that they can get at, the one they came out in first."""
    first: datetime
    last: datetime
    """Up to when they were about: until it ended, else until now."""
    until: datetime
    """When the last of them is taken to be dead."""
    ended: str
    """What ended it; "" while they may still be about."""

    @property
    def about(self) -> bool:
        return not self.ended

    def record(self) -> str:
        """The sentence that ends it once the last one is caught."""
        return f"checked {self.outbreak.place}: no {PLAIN[self.outbreak.kind]}"


def same_air(settings, place: str) -> tuple[str, ...]:
    """The enclosure and those that share its air."""
    air = settings.air
    return (place, *(other for other, group in air.items() if other != place and place in air and group == air[place]))


def loose(nursery, outbreak: Outbreak) -> Loose | None:
    """When what came out was about; None for a disease, and where it cannot have flown yet."""
    if outbreak.kind not in PARASITOIDS:
        return None
    now = nursery.now
    first, until = flight(nursery.knowledge, outbreak)
    air = same_air(nursery.settings, outbreak.place)
    empty = cleared(nursery, outbreak.place, outbreak.last)
    # Of one day without a clock time, the look that found none came after the case.
    catch = caught(nursery, air, max(case.first for case in outbreak.cases), outbreak.kind)
    ends = [
        (when, words)
        for when, words in ((empty, "emptied and cleaned"), (catch, "the last one was caught"))
        if when is not None and when <= until
    ]
    ended, words = min(ends, default=(None, ""))
    if ended is None and until < now:
        ended, words = until, DIED_OUT
    last = min(ended or now, until, now)
    if last < first:
        # A fly in its puparium that was cleaned away, or has not left it yet.
        return Loose(outbreak, air, first, first, until, words) if not words else None
    return Loose(outbreak, air, first, last, until, words)


def seen_out(outbreak) -> bool:
    """Whether the records say that something came out or of which parasitoid it is, not only that a wasp was the death of it: a hunting
    one leaves none behind."""
    return any(
        case.event.what != "died"
        or not BARE.fullmatch(case.event.detail.strip().casefold())
        or OUT.search(case.event.note.casefold())
        for case in outbreak.cases
    )


def flight(knowledge, outbreak: Outbreak) -> tuple[datetime, datetime]:
    """From when parasitoids may have been about, and when the last of them is taken to be dead."""
    if outbreak.kind == "wasp":
        first = outbreak.first - days_of(knowledge, "trace-unseen")
    else:
        first = outbreak.last + days_of(knowledge, "trace-puparium")
    return first, max(first, outbreak.last) + days_of(knowledge, "trace-loose")


def caught(nursery, air: tuple[str, ...], since: datetime, kind: str) -> datetime | None:
    """When the keeper first wrote after `since` that none is left in that air, by a look or a note; None if never."""
    chronicle, day = nursery.ledger.chronicle, since.date().isoformat()
    looks = [event for place in air for what in TELLING for event in chronicle.care(what, place, day)]
    notes = [event for event in chronicle.events_of("note", since=day) if not event.enclosure and _names(event.note, air)]
    said = [
        span_of(event)[1]
        for event in (*looks, *notes)
        if span_of(event)[1] >= since and all_caught(f"{event.detail} {event.note}", kind)
    ]
    return min(said, default=None)


def _names(text: str, places: tuple[str, ...]) -> bool:
    low = text.casefold()
    return any(place and place.casefold() in low for place in places)
