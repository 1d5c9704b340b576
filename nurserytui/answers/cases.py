"""Cases of parasitoids and disease in the records, gathered into outbreaks: one kind of trouble in one enclosure."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.agents import CLEAR, Suspect, suspect, suspect_of_sign, suspects_of_sign, usual_agent
from nurserytui.answers.selection import present_label, span_of

SAME_OUTBREAK = timedelta(days=30)
"""Cases of one kind in one enclosure nearer than this belong together (working rule)."""

TELLING, MOSTLY = 2, 0.5
"""Words from which the look of a dead animal may tell what it died of, and the chance that traced causes must have together (judged)."""


class Case(NamedTuple):
    event: object
    suspect: Suspect
    cohort: str
    """"" where a sign was noted for a whole enclosure."""
    mark: str
    enclosure: str
    stage: str
    count: int
    first: datetime
    last: datetime


class Outbreak(NamedTuple):
    kind: str
    place: str
    cases: tuple[Case, ...]

    @property
    def first(self) -> datetime:
        return self.cases[0].first

    @property
    def last(self) -> datetime:
        return max(case.last for case in self.cases)

    @property
    def agent(self):
        """The best named agent of the cases, None where the records only say the kind and nothing is known of it."""
        ranked = sorted(self.cases, key=lambda case: (case.suspect.agent is None, not case.suspect.named))
        return ranked[0].suspect.agent

    @property
    def name(self) -> str:
        return self.agent.name if self.agent is not None else self.kind

    @property
    def cohorts(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(case.cohort for case in self.cases if case.cohort))


class _Kept:
    """The cases found so far in a ledger, and how far it was read."""

    def __init__(self) -> None:
        self.found: list[Case] = []
        self.joined: list[Outbreak] = []
        self.blames: dict[tuple[str, str, str], Suspect | None] = {}  # the same words stand in many records
        self.read = {"died": 0, "sign": 0, "tested": 0}


def cases(nursery) -> list[Case]:
    """Deaths, signs and tests that point to something traced, in the order of time; kept beside the ledger, and read on as it grows."""
    return _kept(nursery).found


def _kept(nursery) -> _Kept:
    kept = nursery.ledger.growing.setdefault("cases", _Kept())
    fresh = [*_deaths(nursery, kept), *_signs(nursery, kept)]
    if fresh:
        fresh.sort(key=lambda case: (case.first, case.last))
        for case in fresh:
            kept.found.append(_as_before(case, kept.found, nursery.knowledge))
        kept.found = sorted(kept.found, key=lambda case: (case.first, case.last))
        kept.joined = _joined(kept.found)
    return kept


def _blamed(kept: _Kept, what: str, words: str, stage: str, find) -> Suspect | None:
    key = (what, words, stage)
    if key not in kept.blames:
        kept.blames[key] = find()
    return kept.blames[key]


def _as_before(case: Case, earlier: list[Case], knowledge) -> Case:
    """The case, put down to what the same cohort had shortly before, where its words name nothing and fit that as well."""
    if case.suspect.named or not case.cohort:
        return case
    last = next(
        (one for one in reversed(earlier) if one.cohort == case.cohort and case.first - SAME_OUTBREAK <= one.last < case.first),
        None,
    )
    if last is None or last.suspect.kind == case.suspect.kind:
        return case
    fits = {one.kind for one in suspects_of_sign(case.event.detail, knowledge, case.stage)}
    return case._replace(suspect=last.suspect._replace(named=False)) if last.suspect.kind in fits else case


def _deaths(nursery, kept: _Kept) -> Iterator[Case]:
    deaths, knowledge = nursery.ledger.chronicle.left("died", after=kept.read["died"]), nursery.knowledge
    for event, key, _, count in deaths:
        words, stage = event.detail, key.stage
        if words:
            blamed = _blamed(kept, "died", words, stage, lambda words=words, stage=stage: _died_of(words, knowledge, stage))
            if blamed:
                yield _case(event, blamed, key.cohort, key.mark, key.enclosure, stage, count)
    kept.read["died"] += len(deaths)


def _signs(nursery, kept: _Kept) -> Iterator[Case]:
    ledger = nursery.ledger
    for what in ("sign", "tested"):
        events = ledger.chronicle.events_of(what, after=kept.read[what])
        for event in events:
            words, stage = event.detail, event.stage
            blamed = words and _blamed(kept, what, words, stage, lambda event=event: _told_by(event, nursery.knowledge))
            if blamed:
                label = present_label(ledger, event.cohort) if event.cohort else ""
                for place in _places(nursery, event, label):
                    yield _case(event, blamed, label, event.mark, place, stage, event.count or 1)
        kept.read[what] += len(events)


def _died_of(words: str, knowledge, stage: str) -> Suspect | None:
    """What a death points to: what its words name, else what its look speaks of (`black and leaking`), where more speaks for things that
    are traced than for all else together."""
    named = suspect(words, knowledge, stage)
    if named is not None or len(words.split()) < TELLING:
        return named
    able = suspects_of_sign(words, knowledge, stage)
    return able[0] if able and sum(one.share for one in able) >= MOSTLY else None


def _told_by(event, knowledge) -> Suspect | None:
    """What a sign or a test points to."""
    if event.what == "sign":
        return suspect_of_sign(event.detail, knowledge, event.stage)
    if CLEAR.search(event.detail.casefold()):
        return None
    return suspect(event.detail, knowledge) or Suspect("OE", usual_agent("OE", knowledge), False)


def _case(event, blamed: Suspect, cohort: str, mark: str, place: str, stage: str, count: int) -> Case:
    first, last = span_of(event)
    return Case(event, blamed, cohort, mark, place, stage, count, first, last)


def _places(nursery, event, label: str) -> tuple[str, ...]:
    """Where the animals of a sign or test stood: as recorded, else where the cohort was seen on that day."""
    if event.enclosure:
        return (event.enclosure,)
    from nurserytui.answers.stays import of_cohort

    first, last = span_of(event)
    held = [stay for stay in of_cohort(nursery.ledger, label) if stay.overlaps(first, last)]
    return tuple(dict.fromkeys(stay.group.enclosure for stay in held))


def outbreaks(nursery) -> list[Outbreak]:
    """Cases joined by kind and enclosure while they follow each other closely, oldest first."""
    return _kept(nursery).joined


def _joined(found: list[Case]) -> list[Outbreak]:
    open_ones: dict[tuple[str, str], list[list[Case]]] = {}
    for case in found:
        runs = open_ones.setdefault((case.suspect.kind, case.enclosure), [])
        if runs and case.first - max(one.last for one in runs[-1]) <= SAME_OUTBREAK:
            runs[-1].append(case)
        else:
            runs.append([case])
    joined = [Outbreak(kind, place, tuple(run)) for (kind, place), runs in open_ones.items() for run in runs]
    return sorted(joined, key=lambda outbreak: outbreak.first)
