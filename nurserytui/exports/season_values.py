"""What the report of a season tells, as plain values: those that the screens and the answers show, gathered."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from nurserytui.answers.comparing import Set, sets_by
from nurserytui.answers.handled import season_now
from nurserytui.answers.outlook import EVENT_AFTER, outlook
from nurserytui.answers.season_heat import bases
from nurserytui.answers.season_meant import of_one_season
from nurserytui.answers.season_summary import Sentences, sentences
from nurserytui.answers.season_sums import Season, season, seasons_known
from nurserytui.answers.selection import Wanted, of_season
from nurserytui.answers.wording import cite, listed, species_label
from nurserytui.pages import calendar as calendar_page
from nurserytui.pages import season as season_page
from nurserytui.records.errors import StoreError
from nurserytui.records.progress import Progress, told

SETS = (("source", "came in as"), ("species", "of the species"), ("host", "on"))


class Cohort(NamedTuple):
    """A cohort that began in the season, and what became of the animals that came in with it."""

    label: str
    species: str
    began: str
    parted: str
    """The cohort that its first animals came out of: they are counted there."""
    sums: Season


class Report(NamedTuple):
    year: int
    page: season_page.Page
    sums: Season
    told: Sentences | None
    """None where no cohort began in the season."""
    cohorts: tuple[Cohort, ...]
    calendar: calendar_page.Page
    sets: tuple[tuple[str, Set], ...]
    """What is put side by side within the season, with the words for it."""
    sources: tuple[str, ...]
    """What forecasts and thresholds rest on, each cited once."""


def season_of_report(nursery, asked: int | None = None) -> int:
    """The season asked for, else the running one, or where nothing began in it the last one in which something did.

    StoreError if it is not the running one and nothing began in it."""
    now, known = season_now(nursery), seasons_known(nursery)
    if asked is None:
        return now if now in known or not known else known[-1]
    if asked not in (*known, now):
        seasons = f"there are {listed(str(year) for year in known)}" if known else "nothing has been recorded yet"
        raise StoreError(f"No cohort began in season {asked}: {seasons}.")
    return asked


def gathered(nursery, year: int, progress: Progress | None = None) -> Report:
    """All of one season. `progress` is told how far it is, and may raise `Stopped`: nothing is written here."""
    labels = of_season(nursery).get(year, ())
    cohorts = tuple(_cohort(nursery, year, label) for label in told(progress, labels, len(labels), "cohorts counted", every=1))
    calendar = calendar_page.begin(nursery, str(year))
    waiting = calendar.waiting
    for label in told(progress, waiting, len(waiting), "cohorts looked ahead", every=1):
        calendar = calendar_page.look_ahead(nursery, calendar, (label,))
    parts = [
        lambda: season_page.read(nursery, str(year)),
        lambda: season(nursery, year),
        lambda: sentences(nursery, year, Wanted()) if labels else None,
        lambda: tuple(_sets(nursery, year)) if labels else (),
        lambda: _sources(nursery, year, calendar),
    ]
    page, sums, said, sets, sources = [part() for part in told(progress, parts, len(parts), "parts worked out", every=1)]
    return Report(year, page, sums, said, cohorts, calendar, sets, sources)


def _cohort(nursery, year: int, label: str) -> Cohort:
    known = nursery.ledger.cohorts[label]
    return Cohort(
        label,
        species_label(known.species, nursery.knowledge),
        known.first_when[:10],
        known.split_from,
        season(nursery, year, Wanted(cohorts=(label,))),
    )


def _sets(nursery, year: int):
    meant = of_one_season(nursery, Wanted(), year)
    for what, words in SETS:
        for one in sets_by(nursery, what, meant, None, "adult"):
            if one.fates.start:
                yield words, one


def _sources(nursery, year: int, calendar) -> tuple[str, ...]:
    ids = [one for _, _, _, sources in bases(nursery, year)[0] for one in sources]
    for row in calendar.rows:
        for wave in row.waves:
            if wave.changes and wave.stage in EVENT_AFTER:
                found = outlook(nursery, row.label, wave.changes[0].event, None, stages=tuple(stage for stage, _ in wave.counts))
                ids += found.sources if found is not None else ()
    return tuple(source.citation for source in cite(nursery.knowledge, ids))


def summed(cohorts: tuple[Cohort, ...]) -> Counter:
    """What became of all animals of some cohorts."""
    found: Counter = Counter()
    for cohort in cohorts:
        found["came"] += cohort.sums.total
        found["adult"] += cohort.sums.reached["adult"]
        found["here"] += cohort.sums.here.total()
        found.update(cohort.sums.ended)
    return found
