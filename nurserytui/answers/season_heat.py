"""Degree-days of a season without a threshold named: for each species of the nursery above its own, place by place as measured."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.handled import season_days, season_now
from nurserytui.answers.measured_sums import heat_sum
from nurserytui.answers.selection import is_whole_year, join, seasons_said, shortened
from nurserytui.answers.warmth import moment_of
from nurserytui.answers.wording import OWN_RECORDS, cite, counted, day_words, listed, number, species_label, unknown

TOPIC = "temperature"


def asks_season(request) -> bool:
    """Whether degree-days of a season are meant, of no animals and above no temperature in particular."""
    return bool(re.search(r"\b(?:season|year|summer|by species|each species)\b", request.plain)) or (
        request.period is not None and request.period.start.month == 1 and request.period.start.day == 1
    )


def season_heat(request, nursery, found: dict, unit: str) -> Answer:
    """The heat sums of a season by species and place; days without readings are named, not filled."""
    year = (seasons_said(request.plain, nursery) or (season_now(nursery),))[0]
    if is_whole_year(request.period, nursery.now):
        year = request.period.start.year
    start, end = season_days(year, nursery.settings.season_start or 1)
    end = min(end, nursery.now.date())
    readings = {place: [one for one in here if start <= moment_of(one.when).date() <= end] for place, here in found.items()}
    readings = {place: here for place, here in readings.items() if here}
    if not readings:
        return unknown(
            TOPIC,
            f"No temperature was recorded in season {year}, so there are no degree-days to tell.",
            next=("degree days above 10 C",),
        )
    known, lacking = bases(nursery, year)
    if not known:
        text = "No species of the nursery has a published threshold, so name one: degree days above 10 C."
        return unknown(TOPIC, text, next=("degree days above 10 C",))
    factor = 1 if unit == "C" else 9 / 5
    items, steps, sources = [], [], []
    for place, here in readings.items():
        for species, base, words, ids in known:
            total, days = heat_sum(here, base)
            shown = round(total * factor, 1)
            name = place or "the room"
            items.append(
                {
                    "name": species,
                    "label": f"{species_label(species, nursery.knowledge)} in {name}: {number(shown)} °{unit}·d above {_degrees(base, unit)}",
                    "enclosure": place,
                    "degree_days": shown,
                    "base": round(base if unit == "C" else base * 1.8 + 32, 2),
                    "days": days,
                }
            )
            steps.append(f"{name}, {species}: {number(total * factor, 2)} °{unit}·d over {counted(days, 'day')} above {words}.")
            sources += ids
    items.sort(key=lambda item: -item["degree_days"])
    top = items[0]
    whole = (end - start).days + 1
    gaps = listed(
        f"{place or 'the room'} {len({moment_of(one.when).date() for one in here})} of {whole}"
        for place, here in readings.items()
    )
    first = f"Season {year} from {day_words(str(start))} to {day_words(str(end), nursery.now)}: most is {top['label']}"
    return Answer(
        "answered",
        TOPIC,
        join(
            f"{first}; by species and place below.",
            *shortened([f"- {item['label']}, {counted(item['days'], 'day')} with readings" for item in items]),
            f"Days with readings, by place: {gaps}; the others are left out, not guessed, so the true sums are higher.",
            f"No published threshold: {listed(species_label(name, nursery.knowledge) for name in lacking)}." if lacking else "",
        ),
        values={
            "degree_days": Value(top["degree_days"], f"°{unit}·d"),
            "base": Value(top["base"], f"°{unit}"),
            "days": Value(top["days"], "days"),
        },
        items=tuple(items),
        working=tuple(steps),
        sources=(OWN_RECORDS, *cite(nursery.knowledge, sources)),
        next=("degree days above 10 C", "average temperature this season"),
    )


def _degrees(celsius: float, unit: str) -> str:
    return f"{number(celsius if unit == 'C' else celsius * 1.8 + 32)} °{unit}"


def bases(nursery, year: int) -> tuple[list[tuple[str, float, str, tuple[str, ...]]], list[str]]:
    """(species, threshold in °C, where it is from, source ids) for the species of the season, and those without one."""
    from nurserytui.answers.selection import season_of

    start = nursery.settings.season_start or 1
    alive = {key.cohort for key, _ in nursery.heads()}
    species = dict.fromkeys(
        cohort.species
        for label, cohort in nursery.ledger.cohorts.items()
        if cohort.species != "unknown" and (label in alive or season_of(cohort, start) == year)
    )
    found, lacking = [], []
    for name in species:
        published = nursery.knowledge.thermal(name)
        one = next((each for each in published if each.stage == "egg_to_adult"), None) or next(iter(published), None)
        if one is None:
            lacking.append(name)
        else:
            stage = one.stage.replace("_", " ")
            found.append(
                (
                    name,
                    one.base,
                    f"{number(one.base)} °C, the threshold of {species_label(name, nursery.knowledge)} ({stage})",
                    one.sources,
                )
            )
    return found, lacking
