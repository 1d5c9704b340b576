"""What the keeper's own finished stages teach a forecast: how much slower or faster than published this nursery runs, and in which words."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.air import DAY, air
from nurserytui.answers.development import basis
from nurserytui.answers.warmth import Warmth
from nurserytui.answers.wording import PLURAL, counted
from nurserytui.biology.groups import Changed, Group, Look, Stage
from nurserytui.biology.learning import Learned, Lesson, Lessons, Shown, effect_of

STAGES = ("egg", "larva", "pupa")
"""Stages that teach and are taught. A prepupa's day is too short beside a look a day."""
NEXT = {"egg": ("larva", "prepupa", "pupa"), "larva": ("prepupa", "pupa"), "pupa": ("adult",)}
EACH = 8
"""Cohorts of one species and stage that are used, the latest: more would add little beside the next cohort's own part."""
MOST = 150
"""Finished stages that are used in all, the latest."""
TELLING = 0.02
"""Change of the duration, or of what stays uncertain, below which nothing is worth saying or changing."""


class Taught(NamedTuple):
    """A stage as this nursery sees it, and the sentence for the working that says why."""

    stage: Stage
    words: str


def taught(nursery, known, name: str, stage: Stage, measured: bool) -> Taught | None:
    """What the nursery's other cohorts teach about `stage` (called `name`) of the cohort `known`; None where they teach nothing.

    `measured` is whether its temperatures rest on readings: the pace in a room that is only assumed is no pace at a temperature.
    """
    if name not in STAGES or not measured:
        return None
    kept = _kept(nursery)
    root = _root(nursery.ledger, known.label)
    asked = (known.species, name, stage.between, root if root in kept.cohorts else "")
    if asked not in kept.answers:
        kept.answers[asked] = kept.lessons.learned(*asked)
    found = kept.answers[asked]
    if found is None or (abs(found.factor - 1) < TELLING and abs(found.between - stage.between) < TELLING * stage.between):
        return None
    return Taught(found.applied(stage), _words(found, name, stage))


class _Kept(NamedTuple):
    lessons: Lessons
    cohorts: frozenset[str]
    answers: dict


def grounds(nursery) -> object:
    """Equal (the same) for as long as what was learned is the same: what forecasts rest on beside their own cohort."""
    return _kept(nursery).lessons


def _kept(nursery) -> _Kept:
    """The nursery's lessons, found again when its records or readings change, and the same object unless that changed a lesson."""
    kept = nursery.memo.get("lessons")
    if kept is None or kept[0] != nursery.version:
        found = lessons(nursery)
        same = kept is not None and kept[1] == found
        shown = kept[2] if same else _Kept(Lessons(found), frozenset(one.cohort for one in found), {})
        kept = nursery.memo["lessons"] = nursery.version, found, shown
    return kept[2]


def lessons(nursery) -> list[Lesson]:
    """One lesson for each cohort and stage of which animals went on: the latest of each species and stage."""
    since = _first_measured(nursery)
    # What was over before anything was measured is no lesson: most of an old nursery's cohorts are left out at once.
    finished = [pair for pair in _finished(nursery.ledger).items() if since and pair[1][0][:10] >= since[:10]]
    finished.sort(key=lambda pair: pair[1][0], reverse=True)
    each: dict[tuple[str, str], int] = {}
    found: list[Lesson] = []
    for (label, name), (_, place) in finished:
        species = nursery.ledger.cohorts[label].species
        if len(found) >= MOST or each.get((species, name), 0) >= EACH or species in ("", "unknown"):
            continue
        lesson = _lesson(nursery, label, species, name, place)
        if lesson is not None:
            each[species, name] = each.get((species, name), 0) + 1
            found.append(lesson)
    return found


def _first_measured(nursery) -> str:
    """The local time of the oldest temperature on record, as text; "" without any."""
    stamp = nursery.store.readings_stamp()
    kept = nursery.memo.get("first logged")
    if kept is None or kept[0] != stamp:
        kept = nursery.memo["first logged"] = stamp, nursery.store.first_reading()
    typed = min((event.when for event in nursery.ledger.chronicle.events_of("temperature")[:1]), default="")
    return min((when for when in (kept[1], typed) if when), default="")


class _Finished:
    """(cohort, stage) -> when animals of it last went on to a next stage, and where they were; read on as the ledger grows."""

    def __init__(self) -> None:
        self.found: dict[tuple[str, str], tuple[str, str]] = {}
        self._read = 0

    def take_in(self, ledger) -> dict[tuple[str, str], tuple[str, str]]:
        for event, source, target, _ in ledger.postings[self._read :]:
            if source is not None and target is not None and target.stage in NEXT.get(source.stage, ()):
                self.found[target.cohort, source.stage] = event.when, source.enclosure
        self._read = len(ledger.postings)
        return self.found


def _finished(ledger) -> dict[tuple[str, str], tuple[str, str]]:
    return ledger.growing.setdefault("finished", _Finished()).take_in(ledger)


def _lesson(nursery, label: str, species: str, name: str, place: str) -> Lesson | None:
    numbers = basis(nursery.knowledge, species, name)
    if numbers is None:
        return None
    ledger = nursery.ledger
    entries, changes = ledger.entries(label, name), ledger.changes(label, name)
    if not entries or not changes:
        return None
    looks, lost = ledger.looks(label), _lost(ledger, label, name)
    rests_on = entries, changes, looks, lost, numbers.stage, air(nursery, place)
    kept = nursery.memo.setdefault("lesson of", {})
    before = kept.get((label, name))
    if before is None or before[0] != rests_on:
        warm = _warmth(nursery, place, min(entry.earliest for entry in entries), max(change.latest for change in changes))
        told = None
        if not warm.assumed:
            groups = _groups(nursery, name, numbers.stage, entries, changes, looks, lost, warm)
            told = effect_of(groups, warm.timeline, nursery.now)
        before = kept[label, name] = (rests_on, told)
    if before[1] is None:
        return None
    effect, variance, animals = before[1]
    return Lesson(_root(ledger, label), species, name, effect, variance, numbers.stage.between, animals)


def _root(ledger, label: str) -> str:
    """The cohort that this one was once a part of."""
    for _ in range(len(ledger.cohorts)):
        before = ledger.cohorts[label].split_from
        if before not in ledger.cohorts:
            break
        label = before
    return label


def _groups(nursery, name: str, stage: Stage, entries, changes, looks, lost, warm: Warmth) -> list[tuple[Group, Stage]]:
    """The animals by how they entered, each group with its changes (first in, first out, as the ledger has it), and the stage to count by:
    for a larva that was seen to hang up, the time until then."""
    from nurserytui.answers.outlook import entry_of, feeding_larva

    waiting = [[change.latest, change.earliest, change.stage, change.count] for change in changes]
    looks = tuple(Look(at) for at in looks if at <= nursery.now)
    found = []
    for entry in entries:
        way, since = entry_of(nursery, entry, name, stage, warm, entry.count)
        left, gone = entry.left, entry.count - entry.left
        by_end: dict[bool, list[Changed]] = {}
        while gone and waiting:
            late, early, to, count = waiting[0]
            taken = min(count, gone)
            late = min(late, nursery.now)
            by_end.setdefault(name == "larva" and to == "prepupa", []).append(
                Changed(min(early, late - timedelta(hours=1)), late, taken)
            )
            gone -= taken
            waiting[0][3] -= taken
            if not waiting[0][3]:
                waiting.pop(0)
        seen = tuple(look for look in looks if look.at > since)
        part = tuple(Look(at, 1) for at in lost[:gone] if at > since)
        lost = lost[gone:]
        for hung, changed in (by_end or {False: []}).items():
            counts_by = feeding_larva(stage) if hung else stage
            found.append((Group(left, way, (*seen, *part), tuple(changed)), counts_by))
            left, seen, part = 0, (), ()
    return found


def _lost(ledger, label: str, name: str) -> list[datetime]:
    """When animals of the cohort died or left in that stage, each at the latest moment that it was still seen unchanged."""
    found: list[datetime] = []
    for event, source, target, count in ledger.chronicle.of_cohort(label):
        if target is None and source is not None and source.stage == name:
            found += [datetime.fromisoformat(event.when)] * count
    return sorted(found)


def _warmth(nursery, place: str, start: datetime, end: datetime) -> Warmth:
    """Temperatures of a stage that is over; taken as measured unless more than half of it lies in gaps between the readings."""
    found = air(nursery, place)
    lacking = sum(
        (
            (min(span.end, end) - max(span.start, start)) / DAY
            for span in found.spans
            if span.gap and span.start < end and span.end > start
        ),
        0.0,
    )
    assumed = found.place is None or lacking > 0.5 * ((end - start) / DAY)
    return Warmth(found.timeline, "", assumed, found.day.mean)


# In words -----------------------------------------------------------------------------------------------------------------


def _words(found: Learned, name: str, published: Stage) -> str:
    steps = []
    if found.own:
        steps.append(_said(f"your {counted(found.own.lessons, 'finished cohort')}", found.own))
    if found.kin:
        steps.append(_said(f"{counted(found.kin.lessons, 'finished stage')} of the species here", found.kin))
    if found.others:
        steps.append(_said(f"{counted(found.others.lessons, 'finished stage')} of other species here", found.others))
    start = "" if found.own else "no cohort of this species was seen through this stage yet, but "
    percent = (found.factor - 1) * 100
    used = (
        "the published figure itself" if abs(percent) < 0.5 else f"{abs(percent):.0f} % {'slower' if percent > 0 else 'faster'}"
    )
    return (
        f"Learned here about {PLURAL[name]}: {start}{'; '.join(steps)}; used {used}, give or take {found.between * 100:.0f} % "
        f"(published alone: {published.between * 100:.0f} %)"
    )


def _said(whose: str, shown: Shown) -> str:
    whose += f" ({counted(shown.animals, 'animal')})"
    if shown.factor is None:
        return f"{whose} told too little by themselves to name a pace"
    percent = (shown.factor - 1) * 100
    pace = "as" if abs(percent) < 0.5 else f"{abs(percent):.0f} % {'slower' if percent > 0 else 'faster'} than"
    return f"{whose} ran {pace} the published figure"
