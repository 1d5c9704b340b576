"""The stages that a cohort went through by the records: who stood in which stage between which looks, and how it ended."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from datetime import datetime
from itertools import groupby
from typing import NamedTuple

from nurserytui.answers.fates import LEFT_WORDS
from nurserytui.answers.selection import STAGE_ORDER, span_of

CHANGING = ("hatched", "prepupated", "pupated", "emerged")
"""Events by which animals go on to another stage."""


class Window(NamedTuple):
    """Something happened at a moment between `early` and `late`: between two looks, or at some time of a day."""

    early: datetime
    late: datetime


class Came(NamedTuple):
    """`count` animals came into a stage of a cohort."""

    count: int
    how: str
    """`laid`, `found`, `returned`, `counted` (more than thought), `joined` (from another cohort), or `changed` (from the stage before)."""
    source: str
    """The cohort that they joined from, else ""."""
    window: Window
    timed: bool
    """Whether the later end is known to the hour."""


class Stage(NamedTuple):
    """All that the records say of one stage of a cohort."""

    stage: str
    came: tuple[Came, ...]
    since: Window
    """From when on it had animals, the last time that it had any."""
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


class Left(NamedTuple):
    """`count` animals left a cohort."""

    window: Window
    mark: str
    """As of an end."""
    count: int


class Past(NamedTuple):
    stages: tuple[Stage, ...]
    """In the order of life."""
    spans: tuple[Span, ...]
    """In the order of time, one after the other."""
    fates: tuple[tuple[str, int], ...]
    """What became of those that left, in words and number, the most first: `released`, 13."""
    end: End | None
    left: tuple[Left, ...] = ()
    """Who left it when, in the order of time."""


def past_of(nursery, label: str) -> Past:
    """The past of a cohort up to now, kept until the records change."""
    species = nursery.knowledge.species(nursery.ledger.cohorts[label].species)
    winters = species.winters_as if species else ""
    return nursery.until_written(("past stages", label), lambda: _past(nursery, label, winters))


def _past(nursery, label: str, winters: str) -> Past:
    windows = _Windows(nursery.ledger, label)
    here: Counter = Counter()
    came: dict[str, dict[tuple, Came]] = {}
    since: dict[str, Window] = {}
    gone: dict[str, Window] = {}
    fates: Counter = Counter()
    spans: list[Span] = []
    left: list[Left] = []
    for _, posted in groupby(nursery.ledger.chronicle.of_cohort(label), key=lambda posting: id(posting.event)):
        postings = list(posted)
        event = postings[0].event
        before = dict(here)
        for _, source, target, count in postings:
            out, into = (key is not None and key.cohort == label for key in (source, target))
            if out:
                here[source.stage] -= count
            if into:
                here[target.stage] += count
            if out and not into:
                what = LEFT_WORDS.get(event.what, event.what) if target is None else f"gone on in cohort {target.cohort}"
                fates[what] += count
                left.append(Left(Window(*span_of(event)), _mark(what), count))
            if into and not (out and source.stage == target.stage):
                one = windows.came(event, source, target, count, out)
                held = came.setdefault(target.stage, {})
                held[one[1:]] = one._replace(count=one.count + (held[one[1:]].count if one[1:] in held else 0))
        for stage, count in here.items():
            if count > 0 and before.get(stage, 0) <= 0:
                since[stage] = windows.of(event, stage)
            elif count <= 0 < before.get(stage, 0):
                gone[stage] = Window(*span_of(event))
        most = most_of(here)
        if not spans or spans[-1].until is not None or spans[-1].stage != most:
            window = windows.of(event, most)
            if spans and spans[-1].until is None:
                spans[-1] = spans[-1]._replace(until=window)
            if most:
                spans.append(Span(most, window, None, False))

    def wintered(stage: str, first: Window, last: Window | None) -> bool:
        return stage == winters and _over_winter(nursery, first, last)

    stages = []
    for stage in sorted(came, key=STAGE_ORDER.get):
        ways, still = tuple(sorted(came[stage].values(), key=lambda one: one.window)), here[stage]
        last = None if still else gone.get(stage)
        stages.append(Stage(stage, ways, since[stage], still, last, wintered(stage, ways[0].window, last)))
    spans = [span._replace(winter=wintered(span.stage, span.since, span.until)) for span in spans]
    over = bool(spans) and not any(count > 0 for count in here.values())
    return Past(
        tuple(stages), tuple(spans), tuple(fates.most_common()), _end(spans[-1].until, fates) if over else None, tuple(left)
    )


class _Windows:
    """Between which moments an event brought animals of a cohort into a stage."""

    def __init__(self, ledger, label: str) -> None:
        self._looks = ledger.looks(label)
        self._known: dict[tuple[int, str], Window] = {}
        for stage in STAGE_ORDER:
            for entry in ledger.entries(label, stage) if stage else ():
                early, late = span_of(entry.event)
                known = self._known.get((id(entry.event), stage))
                self._known[id(entry.event), stage] = Window(min(entry.earliest, known.early if known else early), late)

    def of(self, event, stage: str) -> Window:
        """From the look before the event to the event, for a change of stage; else the time of the event itself."""
        early, late = span_of(event)
        known = self._known.get((id(event), stage))
        if known is not None or event.what not in CHANGING:
            return known or Window(early, late)
        # Those that changed have gone on in another cohort since: any look at the cohort before it.
        looks = self._looks[: bisect_left(self._looks, early)]
        return Window(looks[-1] if looks else early, late)

    def came(self, event, source, target, count: int, own: bool) -> Came:
        """A posting by which animals came into a stage; `own`: out of another stage of the same cohort."""
        if source is None:
            how = event.what if event.what in ("laid", "counted", "returned") else "found"
            return Came(count, how, "", Window(*span_of(event)), event.timed)
        if not own:
            return Came(count, "joined", source.cohort, Window(*span_of(event)), event.timed)
        return Came(count, "changed", "", self.of(event, target.stage), event.timed)


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


def _over_winter(nursery, since: Window, until: Window | None) -> bool:
    """Whether a shortest day lies between: nobody looks at what rests, so that the last look before it may lie in autumn."""
    month = 6 if (nursery.settings.latitude or 0) < 0 else 12
    end = until.late if until else nursery.now
    return any(since.late <= datetime(year, month, 21) <= end for year in range(since.late.year, end.year + 1))


def _mark(what: str) -> str:
    return what if what in ("died", "released") else "gone"


def _end(window: Window | None, fates: Counter) -> End:
    kinds: Counter = Counter()
    for what, count in fates.items():
        kinds[_mark(what)] += count
    mark = max(kinds, key=lambda kind: (kinds[kind], kind == "died")) if kinds else "gone"
    return End(window, mark)
