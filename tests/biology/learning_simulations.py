"""Nurseries made by chance from known effects, to see what learning from their finished stages is worth.

The records are drawn as a keeper would make them: looks once a day, entries seen, seen within a day, or never seen, some animals dead.
"""

from __future__ import annotations

import random
from datetime import datetime, timedelta
from functools import lru_cache
from math import exp, log, log1p, sqrt
from statistics import NormalDist, median
from typing import NamedTuple

from nurserytui.biology.forecast import forecast
from nurserytui.biology.groups import Changed, Group, Known, Look, Stage, Unknown, Window
from nurserytui.biology.learning import SCALES, Lesson, Lessons, effect_of, parts
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

ZERO = datetime(2024, 5, 1)
ROOM = Timeline.constant(20.0, ZERO)
STAGES = {
    "egg": Stage(RateCurve.from_degree_days(10, 50, 30), 0.1, 0.10),
    "larva": Stage(RateCurve.from_degree_days(10, 180, 30), 0.1, 0.12),
    "pupa": Stage(RateCurve.from_degree_days(10, 110, 30), 0.1, 0.15),
}
"""5, 18 and 11 days at 20 °C, with the published doubts that a nursery's species have."""
SPECIES = ("one", "two", "three")


class Truth(NamedTuple):
    """The effects of one nursery that its cohorts share, by species and stage."""

    shared: dict[tuple[str, str], float]

    def effect(self, species: str, stage: str) -> float:
        return self.shared[species, stage]


def drawn(chance: random.Random, scale: float | None = None) -> Truth:
    """Effects from the model's own prior; with `scale` of their variance fixed (1: the plain normal model)."""
    if scale is None:
        scale = chance.choices([one for one, _ in SCALES], [weight for _, weight in SCALES])[0]
    widen, nursery = sqrt(scale), chance.gauss(0, 1)
    shared = {}
    for species in SPECIES:
        own = chance.gauss(0, 1)
        for name, stage in STAGES.items():
            of_nursery, of_species, of_stage, _ = parts(stage.between)
            shared[species, name] = widen * (of_nursery * nursery + of_species * own + of_stage * chance.gauss(0, 1))
    return Truth(shared)


def slow(by: float) -> Truth:
    """Everything in the nursery takes `by` times the published time, and nothing else is off."""
    return Truth({(species, stage): log(by) for species in SPECIES for stage in STAGES})


def durations(chance: random.Random, truth: Truth, species: str, name: str, count: int) -> list[float]:
    """Days of the animals of one cohort."""
    stage = STAGES[name]
    spread = sqrt(log1p(stage.within**2))
    effect = truth.effect(species, name) + chance.gauss(0, parts(stage.between)[3]) - spread**2 / 2
    return [stage.curve.days(20.0) * exp(effect + chance.gauss(0, spread)) for _ in range(count)]


def at(days: float) -> datetime:
    return ZERO + timedelta(days=days)


def records(chance: random.Random, took: list[float], dead: float = 0.0) -> tuple[Group, ...]:
    """What a keeper who looks once a day has of animals that took so many days, and how their entry was seen; the dead stay unchanged."""
    hour, kind = chance.random(), chance.choice(("known", "window", "window", "found"))
    stuck = [one for one in took if chance.random() < dead]
    moving = [one for one in took if one not in stuck]
    if kind == "found":
        # One age for all, as eggs of one female have: it lies anywhere in the stage.
        aged = chance.random() * max(took)
        moving = [one - aged for one in moving if one > aged]
        stuck = stuck if moving else []
        entry = Unknown(ZERO)
    elif kind == "window":
        entry = Window(at(-hour), at(1 - hour))
        moving = [one + chance.random() - hour for one in moving]
    else:
        entry = Known(ZERO)
    days: dict[int, int] = {}
    for one in moving:
        day = max(int(one + hour), 0)
        days[day] = days.get(day, 0) + 1
    changed = tuple(Changed(at(max(day - hour, 0.0)), at(day + 1 - hour), count) for day, count in sorted(days.items()))
    end = max(days, default=0) + 2
    return (Group(len(stuck), entry, (Look(at(end)),), changed),)


def lessons_of(
    chance: random.Random, truth: Truth, cohorts: int, species=SPECIES, stages=tuple(STAGES), dead: float = 0.0
) -> list[Lesson]:
    """The lessons of so many finished cohorts, each of one species through those stages."""
    found = []
    for number in range(cohorts):
        its = chance.choice(species)
        count = chance.randint(3, 15)
        for name in stages:
            groups = records(chance, durations(chance, truth, its, name, count), dead)
            told = effect_of([(group, STAGES[name]) for group in groups], ROOM, at(200))
            if told is not None:
                found.append(Lesson(f"cohort {number}", its, name, told[0], told[1], STAGES[name].between, told[2]))
    return found


class Compared(NamedTuple):
    """Forecasts of the middle of new cohorts, without and with what was learned."""

    rounds: int
    unlearned: float
    """Mean absolute error of the logarithm of the middle animal's duration."""
    learned: float
    covered: float
    """Share of the learned 90 % intervals that hold the middle animal."""
    covered_before: float

    @property
    def change(self) -> float:
        """Of the error, by learning: -0.1 is a tenth less."""
        return self.learned / self.unlearned - 1.0


def compare(
    seed: int, rounds: int, cohorts: int, truth, species=SPECIES, asked: str = "one", dead: float = 0.0, animals: int = 6
) -> Compared:
    """New cohorts of the species `asked` in nurseries with so many finished `cohorts` of `species`; `truth(chance)` makes the nurseries."""
    chance = random.Random(seed)
    before = after = 0.0
    held = held_before = done = 0
    for at_round in range(rounds):
        real = truth(chance)
        name = tuple(STAGES)[at_round % 3]
        stage = STAGES[name]
        learned = Lessons(lessons_of(chance, real, cohorts, species, dead=dead)).learned(asked, name, stage.between)
        middle = median(durations(chance, real, asked, name, animals))
        done += 1
        for known in (False, True):
            used = learned.applied(stage) if known and learned else stage
            low, guess, high = _middle(used, animals)
            error = abs(log(guess / middle))
            if known:
                after += error
                held += low <= middle <= high
            else:
                before += error
                held_before += low <= middle <= high
    return Compared(done, before / done, after / done, held / done, held_before / done)


@lru_cache(maxsize=64)
def _middle(stage: Stage, animals: int) -> tuple[float, float, float]:
    found = forecast([stage], Group(animals, Known(ZERO)), ROOM, ZERO).median
    return tuple((one - ZERO) / timedelta(days=1) for one in (found.low, found.at, found.high))


def ranks(seed: int, rounds: int, cohorts: int) -> list[float]:
    """Where the true effect of a next cohort lies in what was learned of it (0 to 1; even if that is calibrated), nurseries from the prior."""
    chance, found = random.Random(seed), []
    for at_round in range(rounds):
        real = drawn(chance)
        name = tuple(STAGES)[at_round % 3]
        between = STAGES[name].between
        learned = Lessons(lessons_of(chance, real, cohorts)).learned("one", name, between)
        coming = real.effect("one", name) + chance.gauss(0, parts(between)[3])
        found.append(
            NormalDist().cdf((coming - (log(learned.factor) if learned else 0.0)) / (learned.between if learned else between))
        )
    return found


def tables(rounds: int = 300, seed: int = 11) -> list[tuple[str, tuple[str, ...], list[tuple]]]:
    """What learning is worth, for a report: (title, header, rows) of the comparisons and of the calibration."""
    kinds = (
        ("off, from the model's prior", drawn),
        ("off, plain normal", lambda chance: drawn(chance, 1.0)),
        ("all 8 % slow", lambda chance: slow(1.08)),
        ("average", lambda chance: slow(1.0)),
    )
    compared = []
    for cohorts in (1, 3, 6):
        for label, truth in kinds:
            one = compare(seed, rounds, cohorts, truth)
            compared.append(
                (
                    label,
                    cohorts,
                    one.unlearned,
                    one.learned,
                    f"{one.change:+.1%}",
                    f"{one.covered:.0%}",
                    f"{one.covered_before:.0%}",
                )
            )
    new = compare(seed, rounds, 6, lambda chance: slow(1.08), species=("two", "three"))
    compared.append(
        (
            "all 8 % slow, a new species",
            6,
            new.unlearned,
            new.learned,
            f"{new.change:+.1%}",
            f"{new.covered:.0%}",
            f"{new.covered_before:.0%}",
        )
    )
    calibrated = []
    for cohorts in (2, 6):
        found = ranks(seed, 3 * rounds, cohorts)
        fifths = [sum(at / 5 <= one < (at + 1) / 5 for one in found) / len(found) for at in range(5)]
        calibrated.append((cohorts, *(f"{one:.0%}" for one in fifths), f"{share(found, 0.5):.0%}", f"{share(found, 0.9):.0%}"))
    return [
        (
            "Learning from a nursery's finished stages: forecasts of a new cohort's middle animal",
            ("nursery", "finished cohorts", "error of log days", "learned", "change", "90 % holds", "before"),
            compared,
        ),
        (
            "Ranks of a next cohort's true effect in what was learned",
            ("finished cohorts", "1st fifth", "2nd", "3rd", "4th", "5th", "50 % holds", "90 % holds"),
            calibrated,
        ),
    ]


def share(found: list[float], level: float) -> float:
    """Share of ranks within the middle interval of that level."""
    return sum(abs(one - 0.5) < level / 2 for one in found) / len(found)
