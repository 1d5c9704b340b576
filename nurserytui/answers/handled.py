"""How many animals were handled in a season, against the limit that the keeper set, and how many more that leaves."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date, timedelta

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.lives import families, lives_of, shelf
from nurserytui.answers.selection import Wanted, join, seasons_said
from nurserytui.answers.wording import OWN_RECORDS, ask, counted, day_words, listed, species_label

TOPIC = "headcount"
EVERY = Wanted()
MORE = re.compile(
    r"\b(?:how many|how much) (?:more|further|other|additional)\b|\bhow many (?:may|can|am i allowed)\b|\b(?:left|remain\w*|over|reached|under|near|close|within|room)\b"
)
LAW = (
    "Law and permits decide how many animals may be taken or kept, and of which species; they differ by place, so ask the authority. A limit "
    "set here is only the number that you told."
)


def season_days(year: int, start_month: int) -> tuple[date, date]:
    """The first and the last day of a season."""
    return date(year, start_month, 1), date(year + 1, start_month, 1) - timedelta(days=1)


def season_now(nursery) -> int:
    return nursery.now.year - (nursery.now.month < (nursery.settings.season_start or 1))


def came_in(nursery, year: int, want: Wanted = EVERY) -> Counter:
    """(species, `laid` or `found`, stage) -> animals that came in during a season."""
    name = "came in", year, want, nursery.settings.season_start
    return nursery.until_written(name, lambda: _came_in(nursery, year, want))


def _came_in(nursery, year: int, want: Wanted) -> Counter:
    start, end = (moment_of(day) for day in season_days(year, nursery.settings.season_start or 1))
    found: Counter = Counter()
    ledger = nursery.ledger
    for family in _of_those_that_came(nursery, *season_days(year, nursery.settings.season_start or 1)):
        box = shelf(nursery, family)
        if "entries" not in box:
            entries: Counter = Counter()
            for life in lives_of(nursery, family):
                entries[life.start.high, life.start.cohort, life.how, life.start.stage] += life.count
            box["entries"] = entries
        for (when, cohort, how, stage), count in box["entries"].items():
            if start <= when < end + 1 and want.cohort_fits(cohort, ledger):
                found[ledger.cohorts[cohort].species, how, stage] += count
    return found


def _of_those_that_came(nursery, first: date, last: date) -> list[tuple[str, ...]]:
    """The families into which animals came in those days."""
    chronicle = nursery.ledger.chronicle
    numbers = chronicle.numbers(days=chronicle.days(first.isoformat(), last.isoformat()))
    came = {
        posting.target.cohort
        for number in numbers
        for posting in chronicle.postings_of(number)
        if posting.source is None and posting.target is not None
    }
    return [family for family in families(nursery) if not came.isdisjoint(family)]


def moment_of(day: date) -> float:
    return float(day.toordinal())


def handled(request, nursery, want: Wanted) -> Answer:
    """Animals that came in during a season, laid and found, by species; with the limit and what it leaves."""
    now = season_now(nursery)
    years = seasons_said(request.plain, nursery) or ((request.period.start.year,) if request.period is not None else ())
    year = years[0] if years else now
    entries = came_in(nursery, year, want._replace(stages=(), instar=None))
    total, found = sum(entries.values()), sum(count for (_, how, _), count in entries.items() if how == "found")
    limit = nursery.settings.limit
    more = bool(MORE.search(request.plain)) or not re.search(
        r"\bhandl\w+\b|\bhow many (?:animals|butterfl\w+|have|did)\b", request.plain
    )
    if more and limit is None and year == now:
        text = (
            f"You have set no limit, so I cannot say how many more. In season {year} so far {counted(total, 'animal')} came in, {found} of them found. "
            "Which limit is yours?"
        )
        options = ("my limit is 50 animals a year", "my limit is 100 animals a year", "how many animals have I handled this year")
        return ask(TOPIC, text, options, values=_values(total, found, None), sources=(OWN_RECORDS,), cautions=(LAW,))
    so_far = " so far" if year == now else ""
    of = f" of {listed(species_label(name, nursery.knowledge) for name in want.species)}" if want.species else ""
    first = f"{counted(total, 'animal')}{of} handled in season {year}{so_far}: {total - found} laid here and {found} found."
    left = _left_words(limit, total, year) if limit is not None and year == now and not want.species else ""
    if more and left:
        first = join(left, first)
        left = ""
    start, end = season_days(year, nursery.settings.season_start or 1)
    species = Counter()
    for (name, _, _), count in entries.items():
        species[name] += count
    items = tuple(
        {"name": name, "label": f"{species_label(name, nursery.knowledge)}: {_parts(entries, name)}", "count": count}
        for name, count in species.most_common()
    )
    here = sum(count for _, count in nursery.heads())
    return Answer(
        "answered",
        TOPIC,
        join(
            first,
            left,
            *(f"- {item['label']}" for item in items),
            f"That is all that came in, whatever became of them; here now: {here}." if year == now else "",
            "" if limit is not None else "No limit is set; say “my limit is 50 animals a year” to have it counted against.",
        ),
        values=_values(total, found, limit if year == now else None),
        items=items,
        working=(
            f"Season {year} runs from {day_words(str(start))} to {day_words(str(end))}.",
            f"Laid and found, by species: {'; '.join(item['label'] for item in items) or 'none'}; {total} in all.",
            "Animals that came back after they were missing are counted once, and an estimate as it was put right.",
        ),
        sources=(OWN_RECORDS,),
        cautions=(LAW,),
        next=("summary of the season", "how does this season compare with last season", "survival by species"),
    )


def _values(total: int, found: int, limit: int | None) -> dict[str, Value]:
    values = {"count": Value(total, "animals"), "found": Value(found, "animals"), "laid": Value(total - found, "animals")}
    values["limit"] = Value(limit, "animals", reason="" if limit is not None else "no limit is set")
    if limit is not None:
        values["left"] = Value(max(0, limit - total), "animals")
    return values


def _left_words(limit: int, total: int, year: int) -> str:
    if total > limit:
        return f"None: {total} came in, {total - limit} more than your limit of {limit} for the season."
    if total == limit:
        return f"None: your limit of {limit} for the season is reached."
    return f"{limit - total} more by your limit of {limit} for season {year}."


def _parts(entries: Counter, name: str) -> str:
    """`20 laid here as eggs, 3 found as larvae`"""
    from nurserytui.answers.wording import PLURAL

    parts = [(how, stage, count) for (species, how, stage), count in entries.items() if species == name]
    return listed(
        f"{count} {'laid here' if how == 'laid' else f'found as {PLURAL.get(stage, stage)}'}"
        for how, stage, count in sorted(parts, reverse=True)
    )
