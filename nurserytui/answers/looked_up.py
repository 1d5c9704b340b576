"""The events that a request means, found through the lists of the ledger, so that only those near to it are looked at."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right

from nurserytui.answers.selection import Wanted, host_fits, last_day, within
from nurserytui.answers.told import Row
from nurserytui.records.events import CHANGING

OF_PLANTS = ("cut", "watered", "stocked", "fed")
"""Events that may name a plant alone."""


def rows_of(nursery, want: Wanted, kinds, request, last: int | None = None) -> list[Row]:
    """The events meant, in ledger order, or only the last few of them. An event of a whole enclosure counts for the animals in it at
    the time."""
    chronicle = nursery.ledger.chronicle
    sex, way = sex_of(request), _direction(request.plain) if "moved" in kinds else ""
    whose = want._replace(stages=(), instar=None, enclosures=())
    rows = []
    for number in reversed(_numbers(nursery, want, kinds, request.period)):
        event = nursery.events[number]
        if not within(event, request.period) or (kinds and event.what not in kinds):
            continue
        if sex and not re.search(rf"\b{sex}s?\b", event.detail.casefold()):
            continue
        row = _row(number, event, chronicle.postings_of(number), nursery, want, whose, way)
        if row is not None:
            rows.append(row)
        if len(rows) == last:
            break
    return rows[::-1]


def _numbers(nursery, want: Wanted, kinds, period):
    """The numbers of the events among which those meant are: the shortest list that holds them all."""
    ledger, chronicle = nursery.ledger, nursery.ledger.chronicle
    found = [range(len(nursery.events))]
    if kinds:
        found.append(chronicle.numbers(whats=kinds))
    if period is not None:
        found.append(chronicle.numbers(days=chronicle.days(period.start.date().isoformat(), last_day(period).isoformat())))
    if want.animals:
        asked = [label for label in want.cohorts if label in ledger.cohorts] if want.cohorts else ledger.cohorts
        labels = [label for label in asked if want.cohort_fits(label, ledger)]
        names = {name for label in labels for name in (label, *ledger.cohorts[label].former_labels)}
        near = {number for label in labels for number in _care(ledger, label)}.union(_notes(nursery, want))
        found.append(sorted(near.union(chronicle.numbers(names=names, touching=labels, whats=OF_PLANTS if want.hosts else ()))))
    elif want.enclosures:
        there = {
            key.cohort for place in want.enclosures for p in chronicle.touching(place) for key in (p.source, p.target) if key
        }
        near = chronicle.numbers(names=there, places=want.enclosures, touching=there)
        found.append(sorted({*near, *_notes(nursery, want)}))
    return min(found, key=len)


def _notes(nursery, want: Wanted) -> list[int]:
    """The numbers of the notes whose words name a cohort or an enclosure that is meant."""
    names, events = (*want.enclosures, *want.cohorts), nursery.events
    numbers = nursery.ledger.chronicle.numbers(whats=("note",)) if names else ()
    return [number for number in numbers if any(name in events[number].note for name in names)]


def _care(ledger, label: str) -> list[int]:
    """The numbers of the events that name an enclosure in which the cohort stood, while it had animals."""
    chronicle = ledger.chronicle
    touching = chronicle.numbers(touching=(label,))
    if not touching:
        return []
    places = {key.enclosure for p in chronicle.of_cohort(label) for key in (p.source, p.target) if key and key.cohort == label}
    numbers = chronicle.numbers(places=places - {""})
    first = bisect_left(numbers, touching[0])
    return numbers[first:] if ledger.living(label) else numbers[first : bisect_right(numbers, touching[-1])]


def sex_of(request) -> str:
    """The sex that is asked for; "" where none or both are."""
    sexes = [cue.partition(":")[2] for cue in request.cues if cue in ("sex:male", "sex:female")]
    return sexes[0] if len(sexes) == 1 else ""


def _direction(plain: str) -> str:
    """Whether a move into or out of the enclosure named is meant; "" where the line does not say."""
    if re.search(r"\b(?:out of|from|leave|left|out)\b", plain):
        return "from"
    return "to" if re.search(r"\b(?:in|into|to|enter\w*)\b", plain) else ""


def _row(number: int, event, postings, nursery, want: Wanted, whose: Wanted, way: str) -> Row | None:
    ledger = nursery.ledger
    if postings:
        parts = [
            (source, target, count)
            for _, source, target, count in postings
            if any(key is not None and whose.key_fits(key, ledger) for key in (source, target))
            and _place_fits(want, source, target, way)
            and _stage_fits(want, event, source, target)
        ]
        return Row(event, parts) if parts else None
    if event.what == "setting" and (want.animals or want.enclosures) or event.what == "temperature" and want.animals:
        return None
    if event.what == "note" and any(label in event.note for label in (*want.enclosures, *want.cohorts)):
        return Row(event, ())
    if want.enclosures and event.enclosure not in want.enclosures:
        there = event.cohort and any(
            key.cohort == event.cohort for place in want.enclosures for key in ledger.chronicle.inside(place, number)
        )
        if event.enclosure or not there:
            return None
    if want.stages and event.stage and event.stage not in want.stages:
        return None
    if want.hosts and event.host:
        if not host_fits(event.host, want.hosts):
            return None
        whose = whose._replace(hosts=())
    if not whose.animals:
        return Row(event, ())
    if event.cohort:
        fits = whose.cohort_fits(event.cohort, ledger) and (not event.mark or want.mark_fits(event))
    else:
        inside = ledger.chronicle.inside(event.enclosure, number) if event.enclosure else ()
        fits = any(whose.key_fits(key, ledger) for key in inside)
    return Row(event, ()) if fits else None


def _place_fits(want: Wanted, source, target, way: str) -> bool:
    """Whether a posting touches the enclosures meant: animals there, coming in or going out, or only one `way`."""
    keys = {"to": (target,), "from": (source,)}.get(way, (source, target))
    return not want.enclosures or any(key is not None and key.enclosure in want.enclosures for key in keys)


def _stage_fits(want: Wanted, event, source, target) -> bool:
    """Whether a posting is about the stage meant: `the eggs were laid`, `the larvae were moved`; a change counts for both its stages."""
    if not want.stages or event.what in CHANGING:
        return True
    return any(key is not None and key.stage in want.stages for key in (source, target))
