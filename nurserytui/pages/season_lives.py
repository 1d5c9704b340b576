"""The animals of a season: survival by stage, curves over the days since they came in, causes of loss, and earlier seasons beside it."""

from __future__ import annotations

from math import ceil
from typing import NamedTuple

from nurserytui.answers.fates import Fates, censored_words
from nurserytui.answers.lifetimes import Curves, Share, curves, days_shown, share_at
from nurserytui.answers.living import FEW, beyond, ended_words, median_words
from nurserytui.answers.season_sums import Season, same_day, season, seasons_known
from nurserytui.answers.selection import Wanted
from nurserytui.answers.survival import of_seasons, percent, running, wilson_of
from nurserytui.answers.wording import counted, number, species_label

DRAWN = 80
"""Points by which a curve is drawn."""
PART = 4
"""One in so many animals is a good part of them."""


class Stage(NamedTuple):
    """How many got from one stage to another."""

    first: str
    last: str
    started: int
    reached: int
    known: int
    """Of known fate: reached it or died before."""
    share: float | None
    low: float
    high: float
    """Wilson's interval at 95 %."""
    unknown: str
    """Why the others' fate is not known, in words."""
    early: bool
    """More are alive than have a known fate: deaths show sooner than adults do, so the share so far says little."""


class Group(NamedTuple):
    """The survival of some animals over the days since they came in (Kaplan-Meier)."""

    name: str
    """A species or a cohort; "" for all of the season, or of the species chosen."""
    label: str
    animals: int
    died: int
    few: bool
    """Too few for a curve: then `deaths`, `table` and `drawn` are empty."""
    deaths: tuple[Share, ...]
    """The curve itself: at each day on which animals died."""
    table: tuple[Share, ...]
    """The curve at a few days; it ends when fewer than a quarter of the animals were watched, or later."""
    drawn: tuple[Share, ...]
    """The curve from day 0 for as long as enough animals were watched to draw it."""
    words: tuple[str, ...]
    """When half had died, how the watch on the others ended, what the end of the curve rests on."""


class Past(NamedTuple):
    """A season as it stood at a date, or at its end."""

    year: int
    when: str
    came: int
    died: int
    adults: int
    reached: int
    known: int
    early: bool
    """As of a stage."""


def stages_of(one: Season) -> tuple[Stage, ...]:
    """Survival from stage to stage, and from whatever stage they came in to adult."""
    return tuple(
        _stage(first, last, fates) for first, last, fates in (*one.steps, ("any stage", "adult", one.adult)) if fates.start
    )


def _stage(first: str, last: str, fates: Fates) -> Stage:
    low, high = wilson_of(fates.reached, fates.known) if fates.known else (0.0, 1.0)
    share = fates.reached / fates.known if fates.known else None
    unknown = censored_words(fates.censored, last) if fates.censored else ""
    return Stage(first, last, fates.start, fates.reached, fates.known, share, low, high, unknown, running(fates))


def groups_of(nursery, year: int, want: Wanted, whose: str) -> tuple[Group, ...]:
    """All animals meant, then each species of them, or each cohort of one species; the largest first."""
    ledger, meant = nursery.ledger, of_seasons(nursery, want, (year,))
    labels = [label for label in meant.cohorts if label in ledger.cohorts]
    if want.cohorts or not labels:
        parts = []
    elif want.species:
        parts = [(label, label, want._replace(cohorts=(label,))) for label in labels]
    else:
        species = dict.fromkeys(ledger.cohorts[label].species for label in labels)
        parts = [(name, species_label(name, nursery.knowledge), Wanted(species=(name,))) for name in species]
        parts = [(name, label, of_seasons(nursery, part, (year,))) for name, label, part in parts]
    whole = group(
        "", f"all {whose}" if want.species else whose, curves(nursery, meant), whose if want.animals else f"season {year}"
    )
    found = [group(name, label, curves(nursery, part), label) for name, label, part in parts]
    found = sorted((one for one in found if one.animals), key=lambda one: -one.animals)
    if not whole.animals:
        return ()
    return (whole, *found) if len(found) > 1 else (whole,)


def group(name: str, label: str, told: Curves, whose: str) -> Group:
    """The curve of some animals, by points and in words."""
    watch = told.watch
    died = watch.died.total()
    if watch.animals < FEW:
        words = f"{counted(watch.animals, 'animal')}, {died} dead: too few for a curve, which needs {FEW} at least."
        return Group(name, label, watch.animals, died, True, (), (), (), (words,))
    ended = f"{counted(watch.animals, 'animal')}: {died} died{f', {ended_words(watch)}' if died < watch.animals else ''}."
    last = enough_until(watch)
    steps = (last * at / DRAWN for at in range(DRAWN + 1))
    days = sorted({*steps, *(day for day in told.recorded.times if day < last)}) if last else ()
    return Group(
        name,
        label,
        watch.animals,
        died,
        False,
        tuple(share_at(told, day) for day in told.recorded.times),
        tuple(share_at(told, day) for day in table_days(watch)),
        tuple(share_at(told, day) for day in days),
        (*_median(told, whose, last), ended),
    )


def _median(told: Curves, whose: str, last: float) -> tuple[str, ...]:
    """By when half had died, unless so few were watched by then that they cannot tell."""
    middle = told.recorded.median()
    if middle is None or middle <= last:
        return tuple(words for words in (median_words(told, whose), beyond(told.watch)) if words)
    return (
        f"{percent(told.recorded.at(last))} of {whose} were alive on day {number(last)}, the last by which {FEW} or more were watched; "
        "what the table says past it rests on too few.",
    )


def table_days(watch) -> list[float]:
    """The days of the table: it goes on for as long as a good part of the animals was watched, also where none died for long, so that
    seasons can be put side by side."""
    days = days_shown(watch, None)
    ends = sorted((*watch.died.elements(), *watch.left.elements()), reverse=True)
    enough = max(FEW, ceil(len(ends) / PART))
    last = int(ends[enough - 1]) if len(ends) >= enough else 0
    return [*days, last] if last > max(days, default=0) else days


def enough_until(watch) -> float:
    """The days up to which at least `FEW` animals were watched: a curve drawn past them would look surer than it is."""
    ends = sorted((*watch.died.elements(), *watch.left.elements()), reverse=True)
    return ends[FEW - 1] if len(ends) >= FEW else 0.0


def seasons_beside(nursery, year: int, want: Wanted, this: int) -> tuple[Past, ...]:
    """The season, and the earlier ones; beside one that is running they are told as on the same date, too."""
    earlier = [one for one in reversed(seasons_known(nursery)) if one < year]
    still = year == this
    rows = [_past(season(nursery, year, want), "so far" if still else "")]
    for one in earlier:
        if still:
            rows.append(_past(season(nursery, one, want, same_day(nursery, one, this)), f"by {nursery.now.day} {nursery.now:%b}"))
        rows.append(_past(season(nursery, one, want), ""))
    return tuple(row for row in rows if row.came or row.year == year)


def _past(one: Season, when: str) -> Past:
    adult = one.adult
    return Past(one.year, when, one.total, one.ended["died"], one.reached["adult"], adult.reached, adult.known, running(adult))
