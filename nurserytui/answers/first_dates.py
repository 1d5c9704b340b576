"""First and last dates by species: when animals came in, hatched, pupated, emerged and were released, in a season or in all."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.handled import season_days, season_now
from nurserytui.answers.selection import FIRST_STEPS, Wanted, is_whole_year, join, last_day, of_season, seasons_said, shortened
from nurserytui.answers.wording import OWN_RECORDS, day_words, listed, species_label

TOPIC = "history"
EACH = re.compile(
    r"\b(?:first|last|earliest|latest)\b.*\b(?:by|of|for|per|each|every|all)\b.*\b(?:species|kinds?)\b|\b(?:each|every|per|by) (?:species|kind)\b.*\b(?:first|last|earliest|latest)\b"
    r"|\bfirst and last (?:dates?|days?|records?)\b|\b(?:earliest|first) (?:date|day)s? (?:by|of|for|per) (?:season|year)\b"
)
KINDS = (
    ("eggs", r"\beggs?\b"),
    ("hatched", r"\bhatch\w*\b"),
    ("pupated", r"\bpupa\w*\b|\bchrysal\w*\b|\bcocoons?\b"),
    ("emerged", r"\bemerg\w*\b|\beclos\w*\b|\badults?\b|\bbutterfl\w*\b|\bmoths?\b|\bflew\b|\bon the wing\b"),
    ("released", r"\breleas\w*\b|\blet go\b"),
    ("came in", r"\bc[oa]me in\b|\bfound\b|\bcollected\b|\btaken in\b|\blaid\b"),
    ("died", r"\bdie[sd]?\b|\bdeaths?\b"),
)
"""What first and last dates may be asked of, and the words for it; larvae are those hatched or found as such."""
SHOWN = ("came in", "hatched", "pupated", "emerged", "released")
LABELS = {
    "eggs": "egg",
    "came in": "in",
    "hatched": "larva hatched",
    "pupated": "pupa",
    "emerged": "adult",
    "released": "release",
    "died": "death",
}


EVER = ("0000-01", "9999-12")
"""All months."""


class Span(NamedTuple):
    first: str
    last: str
    count: int


def asks_first_dates(plain: str) -> bool:
    return bool(EACH.search(plain))


def dates_of(nursery, label: str) -> dict[tuple[str, str], Span]:
    """(year, kind) -> first and last day and animals, of a cohort; kept with it."""

    def found() -> dict[tuple[str, str], Span]:
        spans: dict[tuple[str, str], Span] = {}
        for posting in nursery.ledger.chronicle.of_cohort(label):
            for kind in _kinds(posting, label):
                day, name = posting.event.day, (posting.event.day[:7], kind)
                old = spans.get(name)
                spans[name] = (
                    Span(day, day, posting.count)
                    if old is None
                    else Span(min(old.first, day), max(old.last, day), old.count + posting.count)
                )
        return spans

    return nursery.kept_of_cohort(label, "dates", found)


def _kinds(posting, label: str) -> Iterator[str]:
    event, source, target, _ = posting
    if source is None and event.what in ("laid", "found"):
        yield "came in"
        if target.stage == "egg":
            yield "eggs"
    elif source is not None and source.cohort == label:
        if target is None and event.what in ("released", "died"):
            yield event.what
        elif target is not None and source.stage != target.stage and event.what in ("hatched", "pupated", "emerged"):
            yield event.what


def spans_in(nursery, want: Wanted, first: str, last: str) -> dict[str, dict[str, Span]]:
    """species -> kind -> first and last day within whole months."""
    name = "dates", want, first[:7], last[:7]
    return nursery.until_written(name, lambda: _spans_in(nursery, want, first, last))


def _spans_in(nursery, want: Wanted, first: str, last: str) -> dict[str, dict[str, Span]]:
    found: dict[str, dict[str, Span]] = {}
    for label, cohort in nursery.ledger.cohorts.items():
        if not want.cohort_fits(label, nursery.ledger):
            continue
        for (month, kind), span in dates_of(nursery, label).items():
            if not first[:7] <= month <= last[:7]:
                continue
            kinds = found.setdefault(cohort.species, {})
            old = kinds.get(kind)
            kinds[kind] = (
                span if old is None else Span(min(old.first, span.first), max(old.last, span.last), old.count + span.count)
            )
    return found


def first_dates(request, nursery, want: Wanted) -> Answer:
    """The first and last dates asked for, a line for each species, the earliest first."""
    first, last, when = _period(request, nursery)
    want = want._replace(stages=(), instar=None)
    found = spans_in(nursery, want, first, last)
    asked = [kind for kind, words in KINDS if re.search(words, request.plain)]
    if not asked and "larva" in request.stages:
        asked = ["hatched"]
    kinds = asked or list(SHOWN)
    plain = request.plain
    ends = [
        end
        for end, words in (("first", r"\b(first|earliest)\b"), ("last", r"\b(last (?!year|season|summer)|latest)\b"))
        if re.search(words, plain)
    ]
    ends = ends or ["first", "last"]
    rows = []
    for species, spans in found.items():
        told = {kind: spans[kind] for kind in kinds if kind in spans}
        if told:
            rows.append((min(span.first for span in told.values()), species, told))
    rows.sort()
    if not rows:
        text = f"Nothing of that kind is in the records{when}: no species has a date to tell."
        return Answer(
            "unknown",
            TOPIC,
            text,
            sources=(OWN_RECORDS,),
            next=("summary of the season", "survival by season") if nursery.ledger.cohorts else FIRST_STEPS,
        )
    items = []
    for day, species, told in rows:
        words = "; ".join(_words(kind, span, ends, nursery, len(kinds) > 1) for kind, span in told.items())
        items.append(
            {
                "name": species,
                "label": f"{species_label(species, nursery.knowledge)}: {words}",
                "first": day,
                "last": max(span.last for span in told.values()),
                **{f"{end} {kind}": getattr(span, end) for kind, span in told.items() for end in ends},
            }
        )
    top = rows[0]
    what = listed(LABELS[kind] for kind in kinds) if asked else "date"
    if ends == ["last"]:
        latest = max((max(span.last for span in told.values()), species) for _, species, told in rows)
        lead = f"Last {what}{when}: {species_label(latest[1], nursery.knowledge)}, {day_words(latest[0], nursery.now)}"
    else:
        lead = f"First {what}{when}: {species_label(top[1], nursery.knowledge)}, {day_words(top[0], nursery.now)}"
        if ends == ["first", "last"]:
            latest = max((max(span.last for span in told.values()), species) for _, species, told in rows)
            lead += f"; last {what}: {species_label(latest[1], nursery.knowledge)}, {day_words(latest[0], nursery.now)}"
    return Answer(
        "answered",
        TOPIC,
        join(
            f"{lead}; {len(rows)} species below, the earliest first." if len(rows) > 1 else f"{lead}.",
            *shortened([f"- {item['label']}" for item in items]),
            *_other_seasons(nursery, want, kinds, first),
        ),
        values={"first": Value(top[0]), "last": Value(max(item["last"] for item in items))},
        items=tuple(items),
        working=(
            f"Dates as recorded{when}: a change happened by then, after the look before it.",
            *(
                f"{species}: {', '.join(f'{kind} {span.count}' for kind, span in told.items())}."
                for _, species, told in rows[:12]
            ),
        ),
        sources=(OWN_RECORDS,),
        next=(f"first and last dates by species in {int(first[:4]) - 1}", "how does this season compare with last season"),
    )


def _other_seasons(nursery, want: Wanted, kinds, first: str) -> list[str]:
    """Of one species the other seasons too: `season 2024: Thu 13 June 2024 to …`."""
    if len(want.species) != 1:
        return []
    start, lines = nursery.settings.season_start or 1, []
    for year in of_season(nursery):
        begin, end = (str(day) for day in season_days(year, start))
        spans = spans_in(nursery, want, begin, end).get(want.species[0], {})
        told = [spans[kind] for kind in kinds if kind in spans]
        if told and begin[:7] != first[:7]:
            days = [day_words(day, nursery.now) for day in (min(one.first for one in told), max(one.last for one in told))]
            lines.append(f"- season {year}: {days[0]} to {days[1]}")
    return ["Other seasons:", *lines] if lines else []


def _period(request, nursery) -> tuple[str, str, str]:
    start = nursery.settings.season_start or 1
    years = seasons_said(request.plain, nursery)
    year = years[0] if len(years) == 1 else None
    if year is None and is_whole_year(request.period, nursery.now):
        year = request.period.start.year
    if year is not None:
        first, last = season_days(year, start)
        return str(first), str(last), f" in season {year}{' so far' if year == season_now(nursery) else ''}"
    if request.period is not None and request.period.start <= nursery.now:
        return str(request.period.start.date()), str(last_day(request.period)), f" in {request.period.said}"
    from nurserytui.answers.season_sums import seasons_known

    year = max((one for one in seasons_known(nursery) if one <= season_now(nursery)), default=season_now(nursery))
    first, last = season_days(year, start)
    return str(first), str(last), f" in season {year}{' so far' if year == season_now(nursery) else ''}"


def _words(kind: str, span: Span, ends: list[str], nursery, named: bool) -> str:
    name = f"{LABELS[kind]} " if named else ""
    if span.first == span.last or len(ends) == 1:
        return f"{name}{day_words(getattr(span, ends[0]), nursery.now)}"
    return f"{name}{day_words(span.first, nursery.now)} to {day_words(span.last, nursery.now)}"
