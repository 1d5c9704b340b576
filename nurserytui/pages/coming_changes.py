"""The changes to come of a cohort: first, middle and last of each up to the adult, what may rest instead, and what cannot be said."""

from __future__ import annotations

from datetime import date, datetime
from typing import NamedTuple

from nurserytui.answers.development import basis
from nurserytui.answers.forecasts import LONGEST
from nurserytui.answers.lateness import WORTH_SAYING, lateness, prior, share, spring
from nurserytui.answers.outlook import EVENT_AFTER, LAST_STAGE, LINE_OF_LIFE, Forecast, outlook
from nurserytui.answers.overdue import is_overdue, resting
from nurserytui.answers.waking import cold_since, spring_of
from nurserytui.answers.warmth import warmth
from nurserytui.answers.wording import PLURAL, short_day

EVENTS = ("hatch", "pupate", "emerge")
STAGE_AFTER = {"hatch": "larva", "pupate": "pupa", "emerge": "adult"}
ENDED_BY = {"egg": "hatch", "larva": "pupate", "pupa": "emerge"}
"""The change by which the rest of a stage is over."""


class Change(NamedTuple):
    """One change to come of the animals of a wave."""

    event: str
    first: datetime
    middle: datetime
    last: datetime | None
    """None: later than can be foreseen."""
    alone: bool = False
    """Of one animal: first and last are then the days between which it changes nine times in ten."""
    overdue: bool = False
    woken: bool = False
    """By the days of cold that winter pupae need and the warmth after it, not by growth from now on."""


class Rest(NamedTuple):
    """Some or all of them may rest in `stage` until spring instead."""

    stage: str
    low: float
    high: float
    """The chance, from and to."""
    until: date
    """When to look again; for pupae in the cold, when they may come out of it."""
    long: bool = False
    """They have been pupae for so long that they are taken to rest: nothing is expected of them on a day."""

    @property
    def likely(self) -> bool:
        """Whether half of them or more may rest."""
        return self.long or self.high >= 0.5

    @property
    def sure(self) -> bool:
        """Whether as good as all of them rest: the dates without rest hold for hardly any."""
        return self.long or self.low >= 0.9


class Wave(NamedTuple):
    """Animals of a cohort that go on together: the eggs, the larvae with those that hang already, the pupae, or the adults."""

    stage: str
    """The stage that most of them stand in."""
    counts: tuple[tuple[str, int], ...]
    """Stage -> animals, in the order of life."""
    changes: tuple[Change, ...] | None = None
    """In their order; None while they are not worked out."""
    why: str = ""
    """Why nothing, or nothing more, can be said."""
    rest: Rest | None = None
    note: str = ""
    """What else the dates hang on."""

    @property
    def count(self) -> int:
        return sum(count for _, count in self.counts)

    @property
    def woken(self) -> bool:
        """Whether its dates are those after the cold."""
        return any(change.woken for change in self.changes or ())

    @property
    def held(self) -> tuple[Change, ...]:
        """The changes that come after a rest which as good as all of them take: without it, at those dates, hardly any changes."""
        changes = self.changes or ()
        if self.rest is None or not self.rest.sure or self.woken:
            return ()
        ends = [at for at, change in enumerate(changes) if change.event == ENDED_BY[self.rest.stage]]
        return changes[ends[0] :] if ends else ()

    @property
    def free(self) -> tuple[Change, ...]:
        """The changes before such a rest; all, where there is none."""
        return self.changes[: len(self.changes) - len(self.held)]


def waves_of(nursery, label: str) -> tuple[Wave, ...]:
    """The living animals of a cohort by how they go on, the most first (of as many, the older); without their changes."""
    counts: dict[str, int] = {}
    for key, count in nursery.heads(cohort=label):
        counts[key.stage] = counts.get(key.stage, 0) + count
    waves = []
    for stages in (("egg",), ("larva", "prepupa"), ("pupa",), ("adult",)):
        own = tuple((stage, counts[stage]) for stage in stages if counts.get(stage))
        if own:
            waves.append(Wave(max(own, key=lambda pair: pair[1])[0], own))
    return tuple(sorted(reversed(waves), key=lambda wave: -wave.count))


def foreseen(nursery, label: str, wave: Wave) -> Wave:
    """The wave with its changes."""
    if wave.stage == "adult":
        return wave._replace(changes=())
    known = nursery.ledger.cohorts[label]
    if known.species in ("", "unknown"):
        return wave._replace(changes=(), why="its species is not known")
    stages = tuple(stage for stage, _ in wave.counts)
    places = {key.enclosure for key, _ in nursery.heads(cohort=label)}
    changes, newest = [], None
    why = ""
    for event in EVENTS[EVENTS.index(EVENT_AFTER[wave.stage]) :]:
        # In one enclosure, the next change is what the board has asked for already.
        place = next(iter(places)) if len(places) == 1 and not changes else None
        found = outlook(nursery, label, event, place, stages=stages)
        if found is None or found.days_left >= LONGEST:
            why = _why(nursery, label, stages, event)
            break
        newest = found
        # A change further on is not late by itself.
        changes.append(_change(found)._replace(overdue=not changes and is_overdue(nursery, label, wave.stage, found)))
        if changes[0].overdue and (why := _given_up(nursery, changes, found)):
            break
    rest, note = _rest(nursery, label, wave, newest)
    woken = _woken(nursery, label) if wave.stage == "pupa" else None
    if woken:
        changes, rest, why = [woken[0]], woken[1], ""
    return wave._replace(changes=tuple(changes), why=why, rest=rest, note=note)


def _change(found: Forecast) -> Change:
    if found.count == 1:
        at, low, high = found.median
        return Change(found.event, low or at, at, high, alone=True)
    return Change(found.event, found.first.at, found.median.at, found.last.at)


def _given_up(nursery, changes: list[Change], found: Forecast) -> str:
    """Why nothing more is said of animals past their day to give up, as if they were fresh: hardly any of them lives."""
    give_up = lateness(nursery, found).give_up if len(changes) == 1 else None
    if give_up is None or give_up.at is None or give_up.at.date() >= nursery.now.date():
        return ""
    year = f" {give_up.at.year}" if give_up.at.year != nursery.now.year else ""
    return f"their day to give up was {short_day(give_up.at)}{year}"


def _why(nursery, label: str, stages: tuple[str, ...], event: str) -> str:
    species, stage = nursery.ledger.cohorts[label].species, stages[0]
    names = LINE_OF_LIFE[LINE_OF_LIFE.index(stage) : LINE_OF_LIFE.index(LAST_STAGE[event]) + 1]
    if not all(basis(nursery.knowledge, species, name) for name in names):
        return "no numbers are known for how long it takes"
    places = [key.enclosure for key, _ in nursery.heads(cohort=label) if key.stage in stages]
    if all(warmth(nursery, place, nursery.now).assumed for place in places):
        return "it lies farther ahead than can be foreseen"
    return "at the temperatures there hardly anything grows"


def _rest(nursery, label: str, wave: Wave, newest: Forecast | None) -> tuple[Rest | None, str]:
    """The rest that lies ahead in the stage in which the species winters, or what has to be said of it."""
    cohort = nursery.ledger.cohorts[label]
    known = nursery.knowledge.species(cohort.species)
    if known is None or known.winters_as not in ENDED_BY:
        return None, ""
    stage, again = known.winters_as, spring(nursery)
    if LINE_OF_LIFE.index(stage) < LINE_OF_LIFE.index(wave.stage):
        return None, ""
    if stage != "pupa":
        if not known.always_rests:
            return None, ""
        if cohort.origin != "laid" or cohort.first_when[:10] < again.replace(year=again.year - 1).isoformat():
            # Brought in, or laid before this spring: nobody wrote down whether they have rested.
            return None, f"its {PLURAL[stage]} rest through the winter: the dates hold for those that have rested already"
    if newest is not None and newest.overdue and stage == newest.stage == "pupa":
        waits, long = lateness(nursery, newest).fates.waiting, resting(nursery, label, wave.stage)
        return (Rest(stage, waits, waits, again, long) if long or waits >= WORTH_SAYING else None), ""
    rests = prior(nursery, known.scientific, stage, label).rests
    low, high = rests if isinstance(rests, tuple) else (rests, rests)
    return (Rest(stage, low, high, again) if high >= WORTH_SAYING else None), ""


def _woken(nursery, label: str) -> tuple[Change, Rest] | None:
    """For pupae in the cold since a recorded day: when they may come out of it, and when adults follow."""
    species = nursery.knowledge.species(nursery.ledger.cohorts[label].species)
    if species is None or species.winters_as != "pupa" or cold_since(nursery, label) is None:
        return None
    values = spring_of(nursery, label, species, None)[1]
    due, warm = values["due"], values.get("warm_up")
    if due.value is None or warm is None or warm.value is None:
        return None
    first, middle, last = (datetime.fromisoformat(day) for day in (due.low, due.value, due.high))
    return Change("emerge", first, middle, last, woken=True), Rest("pupa", 1.0, 1.0, date.fromisoformat(warm.value))


def rest_words(rest: Rest) -> str:
    """`83 % of the pupae may rest until spring: look again on …`, without the day."""
    chance = share(rest.low) if rest.low == rest.high else f"{share(rest.low)} to {share(rest.high)}"
    return f"{chance} of the {PLURAL[rest.stage]} may rest until spring"
