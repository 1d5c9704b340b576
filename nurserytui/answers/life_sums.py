"""Sums over lives: how many reached a stage, died before it or were lost from sight, by cohort, source and enclosure.

The sums of a family of cohorts are kept with its lives; a question over twenty seasons adds up a few numbers for each cohort.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from typing import NamedTuple

from nurserytui.answers.fates import Fates
from nurserytui.answers.lives import Life, Step, families, lives_of, shelf, until_changed
from nurserytui.answers.selection import STAGE_ORDER, Wanted

NOT_KNOWN = "cause not recorded"
ELSEWHERE = "split off"
"""Why the watch on animals ends that go to where they are not meant any more."""


class Source(NamedTuple):
    """Animals that came in alike."""

    cohort: str
    how: str
    """`laid`, `found`, or `passed on` for those that were meant only from some later day on."""
    stage: str


class Tally:
    """Fates while they are added up."""

    __slots__ = ("start", "reached", "died", "censored", "causes")

    def __init__(self) -> None:
        self.start = self.reached = self.died = 0
        self.censored: Counter = Counter()
        self.causes: Counter = Counter()

    def add(self, fates: Fates) -> None:
        self.start += fates.start
        self.reached += fates.reached
        self.died += fates.died
        self.censored.update(fates.censored)
        self.causes.update(fates.causes)

    def fates(self) -> Fates:
        return Fates(self.start, self.reached, self.died, +self.censored, +self.causes)


def run_of(life: Life, fits: Callable[[Step], bool] | None) -> tuple[int, int] | None:
    """(first, after the last) of the stays in which the animals were meant, those between that led away and back included; the whole
    life without `fits`, None where they never were."""
    if fits is None:
        return 0, len(life.steps)
    meant = [at for at, step in enumerate(life.steps) if fits(step)]
    return (meant[0], meant[-1] + 1) if meant else None


def count_in(
    tally: Tally,
    life: Life,
    run: tuple[int, int],
    origin: str | None,
    goal: str,
    until: float | None = None,
) -> None:
    """Add what became of a life on its way from stage `origin` (None: whatever stage it came in) to `goal`, as it stood at `until`."""
    began, ended = run
    steps = life.steps[began:ended]
    if until is not None:
        steps = tuple(step for step in steps if step.high <= until)
    first, last = STAGE_ORDER[origin] if origin else 0, STAGE_ORDER[goal]
    orders = [STAGE_ORDER[step.stage] for step in steps]
    if not orders or orders[0] >= last or (origin and orders[0] > first) or not any(first <= order < last for order in orders):
        return
    count = life.count
    tally.start += count
    following = life.steps[ended] if ended < len(life.steps) else None
    if orders[-1] >= last:
        tally.reached += count
    elif len(steps) < ended - began or (until is not None and (following.high if following else life.high) > until):
        tally.censored["alive"] += count
    elif following is not None:
        tally.censored[ELSEWHERE] += count
    elif life.end == "died":
        tally.died += count
        tally.causes[life.cause or NOT_KNOWN] += count
    else:
        tally.censored[life.end or "alive"] += count


def by_source(
    nursery, want: Wanted, origin: str | None, goal: str, *, laid_only: bool = False, until: float | None = None
) -> dict[Source, Fates]:
    """What became of the animals meant, by the cohort, the kind and the stage that they came in."""
    asked = want._replace(stages=(), instar=None), origin, goal, laid_only

    def found() -> dict[Source, Fates]:
        return _by_source(nursery, asked[0], origin, goal, laid_only, until)

    return until_changed(nursery, ("by source", *asked), found, until)


def _by_source(nursery, want: Wanted, origin: str | None, goal: str, laid_only: bool, until: float | None) -> dict[Source, Fates]:
    found: dict[Source, Fates] = {}
    fits_cohort = cohorts_meant(nursery, want)
    for family in families_of(nursery, want):
        fitting = [label for label in family if fits_cohort(label)]
        if not fitting:
            continue
        fits = fitting_steps(want, fitting, family)
        if want.marked or want.enclosures or want.without or until is not None:
            sums = _sums(_came(lives_of(nursery, family), want), fits, origin, goal, laid_only, until)
        else:
            box, name = shelf(nursery, family), (origin, goal, laid_only, tuple(fitting), want.came)
            if name not in box:
                box[name] = _sums(_came(lives_of(nursery, family), want), fits, origin, goal, laid_only, None)
            sums = box[name]
        found.update(sums)
    return found


def cohorts_meant(nursery, want: Wanted) -> Callable[[str], bool]:
    """Whether a cohort is meant, for many questions of it: of many cohorts named, none is looked for one by one."""
    meant, rest, ledger = frozenset(want.cohorts), want._replace(cohorts=()), nursery.ledger
    if not (rest.species or rest.hosts or rest.without):
        return (lambda label: label in meant) if meant else (lambda label: True)
    return lambda label: (not meant or label in meant) and rest.cohort_fits(label, ledger)


def fitting_steps(want: Wanted, labels, family: tuple[str, ...]) -> Callable[[Step], bool] | None:
    """Whether animals were meant in a stay: those of some cohorts of a family, and where `want` says; None if all of them always were."""
    if len(labels) == len(family) and not (want.marked or want.enclosures or want.without):
        return None
    meant = frozenset(labels)
    return lambda step: (
        step.cohort in meant
        and want.mark_fits(step)
        and (not want.enclosures or step.enclosure in want.enclosures)
        and step.enclosure not in want.without
    )


def by_cohort(nursery, want: Wanted, origin: str | None, goal: str, *, laid_only: bool = False) -> dict[str, dict[Source, Fates]]:
    """The same for each cohort of those meant by itself, in the order they began: what is split off it is gone on elsewhere."""
    ledger = nursery.ledger
    sums = by_source(nursery, want, origin, goal, laid_only=laid_only)
    alone: dict[str, dict[Source, Fates]] = {}
    for source, fates in sums.items():
        alone.setdefault(source.cohort, {})[source] = fates
    found = {}
    fits_cohort = cohorts_meant(nursery, want)
    for label in ledger.cohorts:
        if not fits_cohort(label):
            continue
        if len(ledger.chronicle.family(label)) == 1:
            found[label] = alone.get(label, {})
        else:
            found[label] = by_source(nursery, want._replace(cohorts=(label,)), origin, goal, laid_only=laid_only)
    return found


def families_of(nursery, want: Wanted):
    """The families that hold a cohort meant: looked up where cohorts are named, else all of them."""
    if not want.cohorts:
        return families(nursery)
    found = {}
    for label in want.cohorts:
        if label in nursery.ledger.cohorts:
            family = nursery.ledger.chronicle.family(label)
            found.setdefault(family, tuple(sorted(family)))
    return found.values()


def _came(lives: list[Life], want: Wanted) -> list[Life]:
    """Those that came in as `want` says."""
    return [life for life in lives if came_so(life, want)] if want.came else lives


def came_so(life: Life, want: Wanted) -> bool:
    """Whether animals came in as `want` says."""
    return not want.came or (want.came[0] in ("", life.how) and want.came[1] in ("", life.start.stage))


def _sums(lives: list[Life], fits, origin: str | None, goal: str, laid_only: bool, until: float | None) -> dict:
    tallies: dict[Source, Tally] = {}
    for life in lives:
        run = run_of(life, fits)
        if run is None or (laid_only and (life.how != "laid" or run[0])):
            continue
        step = life.steps[run[0]]
        came = ("passed on", step.stage) if run[0] else life.source
        source = Source(step.cohort, *came)
        count_in(tallies.setdefault(source, Tally()), life, run, origin, goal, until)
    return {source: tally.fates() for source, tally in tallies.items() if tally.start}


def total(sums: dict[Source, Fates]) -> Fates:
    return added(sums.values())


def added(parts: Iterable[Fates]) -> Fates:
    tally = Tally()
    for fates in parts:
        tally.add(fates)
    return tally.fates()


def in_enclosures(nursery, want: Wanted) -> dict[str, Fates]:
    """For every enclosure how many of the animals meant left it alive (`reached`), died in it, or are of unknown fate there."""
    return nursery.until_written(("in enclosures", want), lambda: _in_enclosures(nursery, want))


def _in_enclosures(nursery, want: Wanted) -> dict[str, Fates]:
    tallies: dict[str, Tally] = {}
    fits_cohort = cohorts_meant(nursery, want)
    for family in families_of(nursery, want):
        fitting = frozenset(label for label in family if fits_cohort(label))
        if not fitting:
            continue
        if len(fitting) == len(family) and not want.marked:
            box = shelf(nursery, family)
            name = ("places", want.came)
            if name not in box:
                box[name] = _places(_came(lives_of(nursery, family), want), None)
            sums = box[name]
        else:
            sums = _places(
                _came(lives_of(nursery, family), want),
                lambda step, labels=fitting: step.cohort in labels and want.mark_fits(step),
            )
        for place, fates in sums.items():
            tallies.setdefault(place, Tally()).add(fates)
    return {place: tally.fates() for place, tally in tallies.items()}


def _places(lives: list[Life], fits) -> dict[str, Fates]:
    tallies: dict[str, Tally] = {}
    for life in lives:
        last: dict[str, int] = {}
        for at, step in enumerate(life.steps):
            if step.enclosure and (fits is None or fits(step)):
                last[step.enclosure] = at
        for place, at in last.items():
            tally = tallies.setdefault(place, Tally())
            tally.start += life.count
            if any(step.enclosure != place for step in life.steps[at + 1 :]) or life.end in ("released", "given"):
                tally.reached += life.count
            elif life.end == "died":
                tally.died += life.count
                tally.causes[life.cause or NOT_KNOWN] += life.count
            else:
                tally.censored[life.end or "there"] += life.count
    return {place: tally.fates() for place, tally in tallies.items()}
