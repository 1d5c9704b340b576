"""Cases of parasitoids and disease in the records, gathered into outbreaks: one kind of trouble in one enclosure."""

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.agents import CLEAR, Suspect, suspect, suspect_of_sign, usual_agent
from nurserytui.answers.selection import present_label, span_of

SAME_OUTBREAK = timedelta(days=30)
"""Cases of one kind in one enclosure nearer than this belong together (working rule)."""


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


def cases(nursery) -> list[Case]:
    """Deaths, signs and tests that point to something traced, in the order of time; kept until the records or the moment change."""
    kept = nursery.__dict__.setdefault("_cases", {})
    if kept.get("at") != (nursery.version, nursery.now):
        kept.update(at=(nursery.version, nursery.now), found=_cases(nursery))
    return kept["found"]


def _cases(nursery) -> list[Case]:
    ledger, knowledge = nursery.ledger, nursery.knowledge
    blames: dict[tuple[str, str], Suspect | None] = {}  # the same words stand in many records
    found = []
    for posting in ledger.postings:
        if posting.event.what != "died" or posting.target is not None:
            continue
        key = posting.source
        words = (posting.event.detail, key.stage)
        if words not in blames:
            blames[words] = suspect(words[0], knowledge, key.stage) if words[0] else None
        blamed = blames[words]
        if blamed:
            found.append(_case(posting.event, blamed, key.cohort, key.mark, key.enclosure, key.stage, posting.count))
    for event in nursery.events:
        if event.what == "sign" and event.detail:
            blamed = suspect_of_sign(event.detail, knowledge, event.stage)
        elif event.what == "tested" and event.detail and not CLEAR.search(event.detail.casefold()):
            blamed = suspect(event.detail, knowledge) or Suspect("OE", usual_agent("OE", knowledge), False)
        else:
            continue
        if blamed:
            label = present_label(ledger, event.cohort) if event.cohort else ""
            for place in _places(nursery, event, label):
                found.append(_case(event, blamed, label, event.mark, place, event.stage, event.count or 1))
    return sorted(found, key=lambda case: (case.first, case.last))


def _case(event, blamed: Suspect, cohort: str, mark: str, place: str, stage: str, count: int) -> Case:
    first, last = span_of(event)
    return Case(event, blamed, cohort, mark, place, stage, count, first, last)


def _places(nursery, event, label: str) -> tuple[str, ...]:
    """Where the animals of a sign or test stood: as recorded, else where the cohort was seen on that day."""
    if event.enclosure:
        return (event.enclosure,)
    from nurserytui.answers.stays import trace

    first, last = span_of(event)
    stays, _ = trace(nursery.ledger)
    held = [stay for stay in stays if stay.group.cohort == label and stay.overlaps(first, last)]
    return tuple(dict.fromkeys(stay.group.enclosure for stay in held))


def outbreaks(nursery) -> list[Outbreak]:
    """Cases joined by kind and enclosure while they follow each other closely, oldest first."""
    open_ones: dict[tuple[str, str], list[list[Case]]] = {}
    for case in cases(nursery):
        runs = open_ones.setdefault((case.suspect.kind, case.enclosure), [])
        if runs and case.first - max(one.last for one in runs[-1]) <= SAME_OUTBREAK:
            runs[-1].append(case)
        else:
            runs.append([case])
    joined = [Outbreak(kind, place, tuple(run)) for (kind, place), runs in open_ones.items() for run in runs]
    return sorted(joined, key=lambda outbreak: outbreak.first)
