"""One recorded event as a sentence."""

from __future__ import annotations

from collections import Counter

from nurserytui.answers.selection import STAGE_ORDER
from nurserytui.answers.wording import animals_name, listed, stage_count
from nurserytui.records.events import ENTERING


class Row:
    """One event with the animals of it that are meant; `parts` is (source, target, count), empty for events that move none."""

    __slots__ = ("event", "parts", "count")

    def __init__(self, event, parts) -> None:
        self.event = event
        self.parts = parts
        self.count = sum(count for _, _, count in parts) or event.count or 0


def cohort_of(row: Row) -> str:
    """The cohort that all of the animals of a row, or its event, are of; "" where there are several."""
    labels = {(source or target).cohort for source, target, _ in row.parts}
    return labels.pop() if len(labels) == 1 else "" if labels else row.event.cohort


def words_of(row) -> str:
    """One event in words, without its date: `dill-26: 3 larvae moved from tub 2 to tub 3`."""
    event = row.event
    if not row.parts:
        return _plain_words(event)
    phrases = []
    for label in dict.fromkeys((source or target).cohort for source, target, _ in row.parts):
        stages: Counter = Counter()
        places, marks = {}, {}
        for source, target, count in row.parts:
            key = source or target
            if key.cohort == label:
                shown = target if event.what in ENTERING else source or target
                stages[shown.stage] += count
                places[key.enclosure] = target.enclosure if target is not None else ""
                marks[key.mark] = True
        animals = listed(stage_count(n, stage) for stage, n in sorted(stages.items(), key=lambda pair: STAGE_ORDER[pair[0]]))
        named = animals_name(label, " ".join(m for m in marks if m))
        about = "about " if event.estimate else ""
        phrases.append(f"{named}: {about}{animals} {_verb(event)}{_whereabouts(event, places)}")
    words = "; ".join(phrases)
    return words + _trimmings(event)


def _verb(event) -> str:
    verbs = {
        "given": "given away",
        "moulted": f"moulted{f' to instar {event.instar}' if event.instar else ''}",
        "prepupated": "hung up or settled to pupate (prepupa)",
        "hatched": "hatched",
        "counted": "found missing or over at a count",
        "split": "split off",
    }
    return verbs.get(event.what, event.what)


def _whereabouts(event, places: dict) -> str:
    if event.what == "moved":
        return f" from {listed(place or 'no named place' for place in places)} to {event.to}"
    if event.what in ("split", "merged", "renamed"):
        return f" to {event.to}"
    named = [place for place in places if place]
    preposition = "from" if event.what in ("released", "given", "escaped") else "in"
    return f" {preposition} {listed(named)}" if named else ""


def _trimmings(event) -> str:
    parts = []
    if event.what == "given" and event.detail:
        parts.append(f"to {event.detail}")
    elif event.detail:
        parts.append(event.detail)
    if event.host and event.what in ENTERING:
        parts.append(f"on {event.host}")
    if event.what == "found" and event.place:
        parts.append(f"at {event.place}")
    if event.parent:
        parts.append(f"from a {event.parent} female")
    if event.note:
        parts.append(event.note)
    if event.by:
        parts.append(f"by {event.by}")
    return f" ({'; '.join(parts)})" if parts else ""


def _plain_words(event) -> str:
    """An event that moves no animals, in words."""
    whose = " ".join(word for word in (event.cohort, event.mark) if word)
    place = event.enclosure
    head = f"{whose}{f' in {place}' if whose and place else place if not whose else ''}"
    if event.what == "sign":
        many = f" on {stage_count(event.count, event.stage or 'animal')}" if event.count else ""
        return f"{head or 'somewhere'}: sign seen{many}: {event.detail}"
    if event.what == "fed":
        return f"{head or 'animals'}: fed{f' fresh {event.host}' if event.host else ''}{_trimmings(event)}"
    if event.what == "temperature":
        return f"{head or 'the room'}: temperature {event.detail}"
    if event.what == "identified":
        return f"{whose}: identified as {event.species}{_trimmings(event)}"
    if event.what == "note":
        return f"{head + ': ' if head else ''}note: {event.note or event.detail}"
    if event.what == "setting":
        return f"setting {event.detail}"
    if event.what in ("cut", "watered", "stocked") and event.host:
        many = f" {event.count}" if event.count is not None else ""
        return f"{event.host}{f' in {place}' if place else ''}: {event.what}{many}{_trimmings(event)}"
    if event.what == "tested":
        return f"{head}: tested, {event.detail or 'result not recorded'}{f' ({event.note})' if event.note else ''}"
    return f"{head or 'nursery'}: {event.what}{_trimmings(event)}"
