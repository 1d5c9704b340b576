"""When and where animals stood in a stage that a parasitoid attacks, and when younger ones will come to it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.cases import Outbreak
from nurserytui.answers.lineage import Lineage
from nurserytui.answers.stays import Group

LINE_OF_LIFE = ("egg", "larva", "prepupa", "pupa", "adult")
ATTACKS = {"egg": ("egg",), "larva": ("larva",), "prepupa": ("prepupa", "pupa"), "pupa": ("prepupa", "pupa")}
ONSET = {"larva": "hatch", "prepupa": "prepupate", "pupa": "pupate"}
"""The change by which animals come to a stage."""
INSTANT = timedelta(seconds=1)
"""A day's last moment is that day's, not the midnight after it."""


class Open(NamedTuple):
    """A time and place in which animals could be stung."""

    first: datetime
    last: datetime
    place: str
    grade: str
    """`likely` or `possible`."""
    words: str


class Onset(NamedTuple):
    """When younger animals will come to a stage that is attacked, by their forecast."""

    first: datetime
    last: datetime
    event: str


def figure(knowledge, rule: str) -> float:
    """The number of a rule of tracing.toml."""
    return knowledge.rule(rule).value


def days_of(knowledge, rule: str) -> timedelta:
    """The span of a rule whose number is in days or hours."""
    found = knowledge.rule(rule)
    return timedelta(hours=found.value) if found.unit == "hours" else timedelta(days=found.value)


def attacked(outbreak: Outbreak) -> tuple[str, ...]:
    """The stages that this parasitoid attacks: by the knowledge base, else by the stage of the animal it came out of."""
    agent = outbreak.agent
    if agent is not None and agent.attacks:
        return agent.attacks
    if outbreak.kind == "fly":
        return ("larva",)
    stage = next((case.stage for case in outbreak.cases if case.stage), "pupa")
    return ATTACKS.get(stage, ("larva", "prepupa", "pupa"))


def youngest(stages: Iterable[str]) -> str:
    """The first of those stages in the line of life."""
    return min(stages, key=LINE_OF_LIFE.index)


def past(stage: str, stages: Iterable[str]) -> bool:
    """Whether an animal in `stage` has been, or is, in one of the stages attacked."""
    return stage in LINE_OF_LIFE and LINE_OF_LIFE.index(stage) >= LINE_OF_LIFE.index(youngest(stages))


def open_times(nursery, stages: tuple[str, ...], line: Lineage, cohort: str, mark: str) -> list[Open]:
    """When the animals of a line could be stung, and where they stood then."""
    found = [
        Open(one.first, one.last, one.place, "likely", one.stage)
        for one in line.segments
        if one.stage in stages and one.stage != "pupa"
    ]
    if "pupa" not in stages:
        return found
    for span in _fresh(nursery, line, cohort, mark):
        for one in line.segments:
            if one.stage not in ("larva", "prepupa", "pupa"):
                continue
            begin, end = max(span.first, one.first), min(span.last, one.last)
            if begin <= end:
                found.append(span._replace(first=begin, last=end, place=one.place))
    return found


def _fresh(nursery, line: Lineage, cohort: str, mark: str) -> list[Open]:
    """From hanging until a pupa is hard, for each pupation of the line; the place is filled in by the caller."""
    rule = nursery.knowledge.rule("trace-fresh-pupa")
    soft, hard = timedelta(hours=rule.low), timedelta(hours=rule.high)
    hanging = days_of(nursery.knowledge, "trace-hanging")
    spans = []
    for entry in nursery.ledger.entries(cohort, "pupa", mark=mark or None):
        latest = min(entry.latest, nursery.now)
        met = any(one.place == entry.enclosure and one.first <= latest and one.last >= entry.earliest for one in line.segments)
        if not met:
            continue
        if entry.how == "found":
            spans.append(Open(entry.earliest, latest + hard, "", "possible", "pupa of unknown age"))
            continue
        by = f"{latest - INSTANT:%Y-%m-%d}"
        spans.append(
            Open(entry.earliest - hanging, latest + soft, "", "likely", f"hanging or fresh pupa, pupated by {by}"),
        )
        spans.append(Open(latest + soft, latest + hard, "", "possible", f"pupa up to three days old, pupated by {by}"))
    return spans


def onset(nursery, stages: tuple[str, ...], group: Group, stage: str) -> Onset | None:
    """When animals of a group that are in `stage` will come to one that is attacked; where they should have by now, from when that was to be
    expected at the last look at them: it may have happened unseen, and does not wait for the next question. None where they are past that or it cannot be told."""
    first = youngest(stages)
    if stage not in LINE_OF_LIFE or LINE_OF_LIFE.index(stage) >= LINE_OF_LIFE.index(first):
        return None
    from nurserytui.answers.outlook import outlook, outlook_at

    event = ONSET[first]
    found = outlook(nursery, group.cohort, event, group.enclosure, group.mark, stages=(stage,))
    if found is None or found.first.at is None:
        return None
    early, late = found.first.low or found.first.at, found.last.high or found.last.at or found.first.at
    look = seen_last(nursery, group)
    if early - nursery.now < nursery.now - look:
        then = outlook_at(nursery, look, group.cohort, event, group.enclosure, group.mark, (stage,))
        if then is not None and then.first.at is not None and then.first.at <= nursery.now:
            early = then.first.low or then.first.at
    return Onset(early, max(late, nursery.now), event)


def seen_last(nursery, group: Group) -> datetime:
    """The last look at animals of a group, coming in counted; now, where none is on record."""
    return max((look for look in nursery.ledger.looks(group.cohort, group.enclosure) if look <= nursery.now), default=nursery.now)
