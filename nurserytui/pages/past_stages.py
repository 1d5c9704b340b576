"""The stages that a cohort went through by the records: who stood in which stage between which looks, and how it ended."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from typing import NamedTuple

from nurserytui.answers.fates import LEFT_WORDS
from nurserytui.answers.selection import STAGE_ORDER, span_of


class Window(NamedTuple):
    """Something happened at a moment between `early` and `late`: between two looks, or at some time of a day."""

    early: datetime
    late: datetime


class Came(NamedTuple):
    """`count` animals came into a stage."""

    count: int
    how: str
    """`laid`, `found`, or `changed` from the stage before."""
    window: Window
    timed: bool
    """Whether the later end is known to the hour."""


class Stage(NamedTuple):
    """All that the records say of one stage of a cohort."""

    stage: str
    came: tuple[Came, ...]
    still: int
    """How many stand in it now."""
    gone: Window | None
    """When the last left it; None while some are in it."""
    winter: bool
    """Whether it lasted over the winter, in the stage in which the species winters."""


class Span(NamedTuple):
    """A time in which most of the animals of a cohort stood in one stage."""

    stage: str
    since: Window
    until: Window | None
    """None where it goes on."""
    winter: bool


class End(NamedTuple):
    """How a cohort ended: its last animal left at `window`."""

    window: Window
    mark: str
    """`died`, `released` or `gone` (given, escaped, missing, or on in another cohort), by what befell most of its animals."""
    fates: tuple[tuple[str, int], ...]
    """In words and number, the most first: `released`, 13."""


class Past(NamedTuple):
    stages: tuple[Stage, ...]
    """In the order of life."""
    spans: tuple[Span, ...]
    """In the order of time, one after the other."""
    end: End | None


def past_of(nursery, label: str) -> Past:
    """The past of a cohort up to now, kept until the records change."""
    species = nursery.knowledge.species(nursery.ledger.cohorts[label].species)
    winters = species.winters_as if species else ""
    return nursery.until_written(("past stages", label), lambda: _past(nursery, label, winters))


def _past(nursery, label: str, winters: str) -> Past:
    postings = nursery.ledger.chronicle.of_cohort(label)
    ways = {}
    for name in STAGE_ORDER:
        for entry in nursery.ledger.entries(label, name) if name else ():
            ways.setdefault(name, []).append(entry)
    windows = {
        (id(entry.event), name): Window(min(entry.earliest, _late(entry.event)), _late(entry.event))
        for name, entries in ways.items()
        for entry in entries
    }
    here: Counter = Counter()
    gone: dict[str, Window] = {}
    fates: Counter = Counter()
    spans: list[Span] = []
    at = 0
    while at < len(postings):
        event = postings[at].event
        while at < len(postings) and postings[at].event is event:
            _, source, target, count = postings[at]
            if source is not None and source.cohort == label:
                here[source.stage] -= count
                if target is None:
                    fates[LEFT_WORDS.get(event.what, event.what)] += count
                elif target.cohort != label:
                    fates[f"gone on in cohort {target.cohort}"] += count
            if target is not None and target.cohort == label:
                here[target.stage] += count
            at += 1
        for name in ways:
            if here[name] > 0:
                gone.pop(name, None)
            elif name not in gone:
                gone[name] = Window(*span_of(event))
        most = most_of(here)
        if not spans or spans[-1].until is not None or spans[-1].stage != most:
            window = windows.get((id(event), most)) or Window(*span_of(event))
            if spans and spans[-1].until is None:
                spans[-1] = spans[-1]._replace(until=window)
            if most:
                spans.append(Span(most, window, None, False))
    spans = [span._replace(winter=_over_winter(nursery, winters, span.stage, span.since, span.until)) for span in spans]
    stages = tuple(
        _stage(nursery, name, ways[name], here[name], gone.get(name), winters) for name in sorted(ways, key=STAGE_ORDER.get)
    )
    end = None if any(count > 0 for count in here.values()) or not spans else _end(spans[-1].until, fates)
    return Past(stages, tuple(spans), end)


def together(stage: str) -> str:
    """The stage that stands for those who go on together: prepupae go on with the larvae."""
    return "larva" if stage == "prepupa" else stage


def most_of(counts: dict[str, int]) -> str:
    """The stage in which most of those animals stand, "" where there are none. Larvae and prepupae count as one against the others."""
    groups: Counter = Counter()
    for stage, count in counts.items():
        groups[together(stage)] += max(count, 0)
    there = [stage for stage, count in counts.items() if count > 0]
    return max(
        there, key=lambda one: (groups[together(one)], STAGE_ORDER[together(one)], counts[one], STAGE_ORDER[one]), default=""
    )


def _late(event) -> datetime:
    return span_of(event)[1]


def _stage(nursery, name: str, entries, still: int, gone: Window | None, winters: str) -> Stage:
    came: dict[tuple, Came] = {}
    for entry in entries:
        late = _late(entry.event)
        one = Came(entry.count, entry.how, Window(min(entry.earliest, late), late), entry.event.timed)
        same = came.get(one[1:])
        came[one[1:]] = one._replace(count=same.count + one.count) if same else one
    ordered = tuple(sorted(came.values(), key=lambda one: one.window))
    gone = None if still else gone
    return Stage(name, ordered, still, gone, _over_winter(nursery, winters, name, ordered[0].window, gone))


def _over_winter(nursery, winters: str, stage: str, since: Window, until: Window | None) -> bool:
    """Whether a shortest day lies in the stage, where the species winters in it."""
    if stage != winters:
        return False
    month = 6 if (nursery.settings.latitude or 0) < 0 else 12
    end = until.early if until else nursery.now
    return any(since.late <= datetime(year, month, 21) <= end for year in range(since.late.year, end.year + 1))


def _end(window: Window | None, fates: Counter) -> End:
    kinds: Counter = Counter()
    for what, count in fates.items():
        kinds[what if what in ("died", "released") else "gone"] += count
    mark = max(kinds, key=lambda kind: (kinds[kind], kind == "died")) if kinds else "gone"
    return End(window, mark, tuple(fates.most_common()))
