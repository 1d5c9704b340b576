"""A season as numbers: what came in, how it lived and what it died of, how warm it had it, and earlier seasons beside it."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date, datetime
from typing import NamedTuple

from nurserytui.answers.first_dates import EVER, LABELS, SHOWN, spans_in
from nurserytui.answers.handled import came_in, season_days, season_now
from nurserytui.answers.season_meant import of_older, of_one_season, older_words
from nurserytui.answers.season_summary import earlier, still_open
from nurserytui.answers.season_sums import season, seasons_known
from nurserytui.answers.selection import Wanted, of_season
from nurserytui.answers.wording import species_label
from nurserytui.pages.season_lives import Group, Past, Stage, groups_of, seasons_beside, stages_of
from nurserytui.pages.season_text import plain
from nurserytui.pages.season_warmth import Heat, Own, Place, heats_of, left_out_of, own_heats, places_of

__all__ = ["Page", "plain", "read"]


class Came(NamedTuple):
    """Animals of a species that came in during the season."""

    species: str
    label: str
    laid: int
    found: int


class Dates(NamedTuple):
    """When something was first and last recorded of a species in the season."""

    label: str
    what: str
    first: str
    last: str
    animals: int


class Page(NamedTuple):
    """A season, or one species or cohort of it."""

    year: int
    now: datetime
    running: bool
    start: date
    end: date
    seasons: tuple[int, ...]
    """All that can be turned to, the running one among them, empty or not."""
    whose: str
    """The species or cohort chosen; "" for all of the season."""
    title: str
    """The same in words."""
    strange: str
    """What was asked for and is not in the season."""
    choices: tuple[str, ...]
    """The species of the season, the one with most animals first."""
    unit: str
    came: tuple[Came, ...]
    limit: int | None
    open: str
    """What is not over, in a sentence."""
    dates: tuple[Dates, ...]
    beside: tuple[Past, ...]
    compared: str
    """What can be said against the season before, in a sentence."""
    stages: tuple[Stage, ...]
    groups: tuple[Group, ...]
    causes: tuple[tuple[str, int], ...]
    """Cause of death -> animals, most first."""
    older: str
    """Deaths in its months of animals that are of earlier seasons, in a sentence; "" without any."""
    astray: tuple[tuple[str, int], ...]
    """Lost, but not known to be dead: `missing`, `escaped`."""
    places: tuple[Place, ...]
    left_out: str
    heats: tuple[Heat, ...]
    own: tuple[Own, ...]
    no_threshold: tuple[str, ...]

    @property
    def empty(self) -> bool:
        """Whether no animals are of this season."""
        return not (self.came or self.groups)


def read(nursery, which: str = "") -> Page:
    """The season of `which`: a year, a species or cohort of it, or both (`2025 monarch`); without a year the running one."""
    year, name = _parts(nursery, which)
    return nursery.until_moved(("season page", year, name.casefold()), lambda: _read(nursery, year, name))


def _parts(nursery, which: str) -> tuple[int, str]:
    words = which.split()
    if words and words[0].casefold() == "season":
        words.pop(0)
    year = int(words.pop(0)) if words and re.fullmatch(r"(?:19|20)\d\d", words[0], re.ASCII) else season_now(nursery)
    return year, " ".join(words)


def _read(nursery, year: int, name: str) -> Page:
    running = season_now(nursery)
    start, end = season_days(year, nursery.settings.season_start or 1)
    whose, want = _whose(nursery, year, name)
    one = season(nursery, year, want)
    lost = Counter({"missing": one.ended["missing"] + one.ended["counted"], "escaped": one.ended["escaped"]})
    known, unit = seasons_known(nursery), nursery.settings.units or "C"
    places = places_of(nursery, start, end, unit)
    heats, lacking = heats_of(nursery, year, places, start, end, unit)
    kinds = set(want.species) or {nursery.ledger.cohorts[label].species for label in want.cohorts}
    if kinds:
        heats = tuple(row for row in heats if row.species in kinds)
        lacking = tuple(label for label in lacking if label in {species_label(kind, nursery.knowledge) for kind in kinds})
    title = species_label(whose, nursery.knowledge) if want.species else f"cohort {whose}" if want.cohorts else "all species"
    came = _came(nursery, year, want)
    return Page(
        year,
        nursery.now,
        year == running,
        start,
        end,
        tuple(sorted({*known, running, year})),
        whose,
        title,
        name if name and not whose else "",
        _choices(nursery, year),
        unit,
        came,
        nursery.settings.limit if year == running else None,
        still_open(nursery, want, one, year == running) if one.total else "",
        _dates(nursery, of_one_season(nursery, want, year)),
        seasons_beside(nursery, year, want, running),
        earlier(nursery, want, one, running, known) if one.total and not want.cohorts else "",
        stages_of(one),
        groups_of(nursery, year, want, title),
        tuple(one.causes.most_common()),
        older_words(nursery, year, of_older(nursery, want, year, "died"), "died") if not want.cohorts else "",
        tuple((+lost).items()),
        places,
        left_out_of(nursery, start, end),
        heats,
        own_heats(nursery, year, _labels(nursery, year, want), unit),
        lacking,
    )


def _choices(nursery, year: int) -> tuple[str, ...]:
    """The species of the season's cohorts, and of what came in during it."""
    animals: Counter = Counter()
    for label in of_season(nursery).get(year, ()):
        animals[nursery.ledger.cohorts[label].species] += 0
    for (species, _, _), count in came_in(nursery, year).items():
        animals[species] += count
    return tuple(name for name, _ in sorted(animals.items(), key=lambda pair: (-pair[1], pair[0])))


def _whose(nursery, year: int, name: str) -> tuple[str, Wanted]:
    """The species or the cohort that a name means in the season; neither where it means nothing there."""
    said = name.casefold()
    labels = of_season(nursery).get(year, ())
    if said:
        for species in _choices(nursery, year):
            known = nursery.knowledge.common(species)
            if said in (
                species.casefold(),
                known.casefold(),
                f"{known}s".casefold(),
                species_label(species, nursery.knowledge).casefold(),
            ):
                return species, Wanted(species=(species,))
        said = said.removeprefix("cohort ")
        for label in labels:
            if said == label.casefold():
                return label, Wanted(cohorts=(label,))
    return "", Wanted()


def _labels(nursery, year: int, want: Wanted) -> list[str]:
    return [label for label in of_season(nursery).get(year, ()) if want.cohort_fits(label, nursery.ledger)]


def _came(nursery, year: int, want: Wanted) -> tuple[Came, ...]:
    laid, found = Counter(), Counter()
    for (species, how, _), count in came_in(nursery, year, want).items():
        (laid if how == "laid" else found)[species] += count
    return tuple(
        Came(name, species_label(name, nursery.knowledge), laid[name], found[name]) for name, _ in (laid + found).most_common()
    )


def _dates(nursery, want: Wanted) -> tuple[Dates, ...]:
    rows = [
        Dates(species_label(species, nursery.knowledge), LABELS[kind], spans[kind].first, spans[kind].last, spans[kind].count)
        for species, spans in spans_in(nursery, want, *EVER).items()
        for kind in SHOWN
        if kind in spans
    ]
    first = {}
    for row in rows:
        first[row.label] = min(first.get(row.label, row.first), row.first)
    return tuple(sorted(rows, key=lambda row: (first[row.label], row.label)))
