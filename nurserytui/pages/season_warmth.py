"""The warmth of a season: each place day by day, and the degree-days above each species' threshold. Days that nobody measured stay out."""

from __future__ import annotations

from bisect import bisect_left
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.measured_sums import heat_by_day, weighted_mean
from nurserytui.answers.own_heat import own_heat
from nurserytui.answers.season_heat import bases
from nurserytui.answers.temperature import Base, known_places, measured_places
from nurserytui.answers.warmth import left_out
from nurserytui.answers.wording import species_label
from nurserytui.language.request import Request

FAHRENHEIT = 1.8


class Day(NamedTuple):
    """What was measured of a place on a day, in the keeper's unit."""

    day: date
    low: float
    mean: float
    high: float


class Place(NamedTuple):
    """A place with readings in the season."""

    name: str
    """The enclosure; "" for the room as a whole."""
    readings: int
    mean: float
    """Each reading weighted by the time it stands for."""
    days: tuple[Day, ...]


class Heat(NamedTuple):
    """Degree-days of a place above the threshold of a species, in the keeper's unit."""

    species: str
    label: str
    place: str
    base: float
    total: float
    so_far: tuple[tuple[date, float], ...]
    """Measured day -> the sum up to its end."""


class Own(NamedTuple):
    """Degree-days of a cohort's animals where they stood; only of the days measured there."""

    cohort: str
    total: float
    days: int
    lacking: int
    """Days of it that nobody measured."""


def places_of(nursery, start: date, end: date, unit: str) -> tuple[Place, ...]:
    """The places measured in the season, those with most days first."""
    found = [_kept(nursery, "season days", place, (start, end, unit), _place) for place in measured_places(nursery)]
    return tuple(sorted((place for place in found if place.days), key=lambda place: -len(place.days)))


def heats_of(nursery, year: int, places, start: date, end: date, unit: str) -> tuple[tuple[Heat, ...], tuple[str, ...]]:
    """(the sums of each species of the season in each place, most first; the species without a published threshold)"""
    known, lacking = bases(nursery, year)
    rows = []
    for species, base, _, _ in known:
        for place in places:
            sums = _kept(nursery, "season heat", place.name, (start, end, unit, base), _so_far)
            shown = base if unit == "C" else base * FAHRENHEIT + 32
            rows.append(Heat(species, nursery.knowledge.common(species) or species, place.name, shown, sums[-1][1], sums))
    return tuple(sorted(rows, key=lambda row: -row.total)), tuple(species_label(name, nursery.knowledge) for name in lacking)


def own_heats(nursery, year: int, labels, unit: str) -> tuple[Own, ...]:
    """The degree-days of the living cohorts of those, where their animals stood."""
    known = {species: Base(base, words, ids) for species, base, words, ids in bases(nursery, year)[0]}
    alive = {key.cohort for key, _ in nursery.heads()}
    stamp = nursery.version, nursery.now.date(), unit, *(nursery.measured(place) for place in known_places(nursery))
    box = nursery.memo.setdefault("own heat", {})
    rows = []
    for label in labels:
        species = nursery.ledger.cohorts[label].species
        if label not in alive or species not in known:
            continue
        if label not in box or box[label][0] != stamp:
            answer = own_heat(Request(""), nursery, label, unit, known[species])
            values = answer.values if answer is not None else None
            row = values and Own(label, values["degree_days"].value, values["days"].value, values["days_lacking"].value)
            box[label] = stamp, row
        if box[label][1] is not None:
            rows.append(box[label][1])
    return tuple(rows)


def left_out_of(nursery, start: date, end: date) -> str:
    """The readings of the season that cannot be, in one sentence; "" where there are none."""
    rejected = [one for place in known_places(nursery) for one in nursery.measured(place).rejected]
    rejected = [one for one in rejected if start <= one.when.date() <= end]
    return left_out(rejected) if rejected else ""


def _kept(nursery, name: str, place: str, of: tuple, compute):
    """`compute` of what was measured in the place, kept for as long as nothing of it changes."""
    box, measured = nursery.memo.setdefault(name, {}), nursery.measured(place)
    if (place, of) not in box or box[place, of][0] is not measured:
        box[place, of] = measured, compute(place, measured.readings, *of)
    return box[place, of][1]


def _between(readings, start: date, end: date):
    first = bisect_left(readings, datetime.combine(start, time()), key=lambda one: one.when)
    return readings[first : bisect_left(readings, datetime.combine(end + timedelta(days=1), time()), key=lambda one: one.when)]


def _place(name: str, readings, start: date, end: date, unit: str) -> Place:
    here = _between(readings, start, end)

    def shown(celsius: float) -> float:
        return celsius if unit == "C" else celsius * FAHRENHEIT + 32

    by_day: dict[date, list] = {}
    for one in here:
        by_day.setdefault(one.when.date(), []).append(one)
    days = tuple(
        Day(day, shown(min(one.low for one in of)), shown(weighted_mean(of)), shown(max(one.high for one in of)))
        for day, of in by_day.items()
    )
    return Place(name, len(here), shown(weighted_mean(here)) if here else 0.0, days)


def _so_far(name: str, readings, start: date, end: date, unit: str, base: float) -> tuple[tuple[date, float], ...]:
    total, sums = 0.0, []
    for day, more in heat_by_day(_between(readings, start, end), base).items():
        total += more if unit == "C" else more * FAHRENHEIT
        sums.append((day, total))
    return tuple(sums)
