"""Deaths and what they were put down to, most first; the missing are named apart, they are not deaths."""

from __future__ import annotations

import re
from collections import Counter
from typing import NamedTuple

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.fates import cause_items, cause_of, deaths
from nurserytui.answers.life_sums import came_so, cohorts_meant, families_of
from nurserytui.answers.lives import day, lives_of
from nurserytui.answers.selection import (
    SHOWN,
    STAGE_ORDER,
    Wanted,
    about_words,
    join,
    last_day,
    period_words,
    season_of,
    shortened,
    whose_words,
    within,
)
from nurserytui.answers.wording import (
    OWN_RECORDS,
    PLURAL,
    animals_name,
    capital,
    counted,
    day_words,
    listed,
    percent,
    species_label,
    stage_count,
)

TOPIC = "survival"
NOT_KNOWN = "cause not recorded"
RANKED = 3
"""Causes whose share is told."""
MOST_AT = re.compile(r"\b(?:where|when|which stage|what stage)\b.*\b(?:most|more)\b|\b(?:more|most) as\b")
"""`where do I lose most, as eggs or as larvae`."""
EACH = re.compile(
    r"\b(?:by|per|for each|for every|in each|of each) (?:my |the )?"
    r"(species|kind|host|plant|season|year|cohort|batch|stage|enclosure|cage|tub|box|jar|container)(?:e?s)?\b"
)


def losses(request, nursery, want: Wanted) -> Answer:
    """Deaths and their causes, most first; missing animals are named apart, they are not deaths."""
    from nurserytui.answers.agents import cause_words, same_cause
    from nurserytui.answers.years import years_compared

    told = years_compared(request, nursery, want, ("died",))
    if told is not None:
        return told._replace(topic=TOPIC)
    if want.came:
        return _of_came(request, nursery, want)
    from nurserytui.answers.season_meant import months_of, of_one_season, older_words, season_asked

    year = season_asked(request, nursery, want)
    meant, when = (of_one_season(nursery, want, year), None) if year is not None else (want, request.period)
    told = nursery.until_written(("deaths", meant, when), lambda: _summed(deaths(nursery, meant, when)))
    agents = [name for named in request.agents for name in named.names]
    named = cause_words(request, nursery)
    if agents or named:
        told = _summed([p for p in told.found if same_cause(p.event.detail, agents, named, nursery)])
    older = ""
    if year is not None:
        pairs = [
            (p.source.cohort, p.count)
            for p in deaths(nursery, want, months_of(nursery, year))
            if not (agents or named) or same_cause(p.event.detail, agents, named, nursery)
        ]
        older = older_words(nursery, year, pairs, "died")
    found, total, causes, stages = told.found, told.total, told.causes, told.stages
    period = f" of season {year}" if year is not None else period_words(request, nursery.now)
    place = f" in {listed(want.enclosures)}" if want.enclosures else ""
    whose = whose_words(nursery, want) if want.animals else ""
    of = f" of {whose}" if whose else ""
    lacking, escaped = nursery.until_written(
        ("astray", meant, when),
        lambda: (_missing(meant, nursery, when), _escaped(meant, nursery, when)),
    )
    if not total:
        what = f" put down to {listed(named or [a.said for a in request.agents])}" if agents or named else ""
        first = f"0 deaths{what}{of}{place}{period} in the records."
    elif agents or named:
        words = listed(named or [agent.said for agent in request.agents])
        by = f": {listed(f'{n} {cause}' for cause, n in causes.most_common())}" if len(causes) > 1 else ""
        first = f"{counted(total, 'animal')}{of} died of {words}{place}{period}{by}."
    elif len(stages) > 1 and MOST_AT.search(request.plain):
        most = max(stages, key=stages.get)
        rest = listed(stage_count(count, stage) for stage, count in stages.most_common() if stage != most)
        first = f"Most died as {PLURAL[most]}: {stages[most]} of {counted(total, 'death')}{of}{place}{period}, against {rest}."
    elif re.search(r"\b(most|main|biggest|top|worst|chief)\b", request.plain) or "most" in request.cues:
        known = [(cause, n) for cause, n in causes.most_common() if cause != NOT_KNOWN] or causes.most_common()
        top = [(cause, n) for cause, n in known if n == known[0][1]]
        first = f"{listed(cause for cause, _ in top)}: {top[0][1]} of {counted(total, 'death')}{' each' if len(top) > 1 else ''}{of}{place}{period}."
        first = capital(first)
    else:
        first = f"{counted(total, 'death')}{of}{place}{period}: {listed(f'{n} {cause}' for cause, n in causes.most_common())}."
    if len(stages) > 1:
        by_stage = listed(stage_count(stages[stage], stage) for stage in sorted(stages, key=STAGE_ORDER.get))
        asks_stage = re.search(r"\bstages?\b", request.plain)
        first = f"{by_stage} died{of}{place}{period}.\n{first}" if asks_stage else f"{first}\nBy stage: {by_stage}."
    if total and len(causes) > 1 and not (agents or named):
        first = join(first, _ranked(causes, total), *_of_each(request.plain, nursery, found))
    shown = found[::-1] if len(found) <= SHOWN + 1 else found[: -SHOWN - 1 : -1]
    lines = [first, *(_loss_line(posting, nursery) for posting in shown), _more(len(found))]
    if lacking and not (agents or named):
        lines.append(f"{lacking} more went missing: fate not known, not counted as dead.")
    if escaped and not (agents or named):
        lines.append(f"{escaped} more escaped: not counted as dead.")
    if older:
        lines.append(older)
    values = {"count": Value(total, "animals")}
    if not (agents or named) and lacking:
        values["missing"] = Value(lacking, "animals")
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about=about_words(nursery, want, want.stages[0] if len(want.stages) == 1 else ""),
        values=values,
        items=told.items,
        working=(f"{counted(len(found), 'death event')}: {_added(found)} = {total}.",),
        sources=(OWN_RECORDS,),
        next=tuple(
            step for step in next_of(want) if step != ("causes of death by species" if EACH.search(request.plain) else "")
        ),
    )


def _ranked(causes: Counter, total: int) -> str:
    """The share of all deaths that each of the chief causes took."""
    return f"By share of {counted(total, 'death')}: {listed(f'{cause} {percent(n / total)}' for cause, n in causes.most_common(RANKED))}."


def _added(found) -> str:
    counts = [str(posting.count) for posting in found[:SHOWN]]
    more = f" + {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    return f"{' + '.join(counts) or '0'}{more}"


def _of_each(plain: str, nursery, found) -> list[str]:
    """`by species`, `by enclosure`: the deaths of each and what they were put down to, most first."""
    each = EACH.search(plain)
    if each is None:
        return []
    cohorts, start = nursery.ledger.cohorts, nursery.settings.season_start or 1
    word = each[1]
    of = {
        "species": lambda key: species_label(cohorts[key.cohort].species, nursery.knowledge),
        "kind": lambda key: species_label(cohorts[key.cohort].species, nursery.knowledge),
        "host": lambda key: cohorts[key.cohort].host or "host not recorded",
        "plant": lambda key: cohorts[key.cohort].host or "host not recorded",
        "season": lambda key: f"season {season_of(cohorts[key.cohort], start)}",
        "year": lambda key: f"season {season_of(cohorts[key.cohort], start)}",
        "cohort": lambda key: key.cohort,
        "batch": lambda key: key.cohort,
        "stage": lambda key: PLURAL.get(key.stage, key.stage),
    }.get(word, lambda key: key.enclosure or "no enclosure")
    tallies: dict[str, Counter] = {}
    for posting in found:
        tallies.setdefault(of(posting.source), Counter())[cause_of(posting.event)] += posting.count
    ranked = sorted(tallies.items(), key=lambda pair: -pair[1].total())
    return shortened(
        [f"- {name}: {tally.total()} ({listed(f'{n} {cause}' for cause, n in tally.most_common())})" for name, tally in ranked]
    )


def _of_came(request, nursery, want: Wanted) -> Answer:
    """Deaths of animals that came in as the line says, which only their whole lives tell."""
    causes: Counter = Counter()
    stages: Counter = Counter()
    fits = cohorts_meant(nursery, want)
    for family in families_of(nursery, want):
        for life in lives_of(nursery, family):
            last = life.steps[-1]
            if life.end != "died" or not came_so(life, want) or not fits(last.cohort):
                continue
            if (want.enclosures and last.enclosure not in want.enclosures) or not want.mark_fits(last):
                continue
            if request.period is None or request.period.start.date() <= day(life.high).date() <= last_day(request.period):
                causes[life.cause or NOT_KNOWN] += life.count
                stages[last.stage] += life.count
    total = causes.total()
    put_down = f": {listed(f'{n} {cause}' for cause, n in causes.most_common())}" if total else ""
    by_stage = listed(stage_count(stages[stage], stage) for stage in sorted(stages, key=STAGE_ORDER.get))
    return Answer(
        "answered",
        TOPIC,
        join(
            f"{counted(total, 'death')} of {whose_words(nursery, want)}{period_words(request, nursery.now)}{put_down}.",
            f"By stage: {by_stage}." if len(stages) > 1 else "",
        ),
        values={"count": Value(total, "animals")},
        items=cause_items(causes),
        working=("Animals that cannot be told apart are taken to leave a group in the order in which they came.",),
        sources=(OWN_RECORDS,),
        next=next_of(want),
    )


class Summed(NamedTuple):
    """Deaths, added up."""

    found: list
    total: int
    causes: Counter
    stages: Counter
    items: tuple[dict, ...]


def _summed(found: list) -> Summed:
    causes: Counter = Counter()
    stages: Counter = Counter()
    for posting in found:
        causes[cause_of(posting.event)] += posting.count
        stages[posting.source.stage] += posting.count
    return Summed(found, causes.total(), causes, stages, cause_items(causes, found))


def _more(events: int) -> str:
    return f"… and {events - SHOWN} more." if events > SHOWN + 1 else ""


def _missing(want: Wanted, nursery, period) -> int:
    """Animals that went missing in the period and were not found again in it."""
    ledger, chronicle = nursery.ledger, nursery.ledger.chronicle
    gone = [*chronicle.left("missing"), *chronicle.left("counted")]
    back = [one for number in chronicle.numbers(whats=("returned",)) for one in chronicle.postings_of(number)]
    lacking = sum(one.count for one in gone if within(one.event, period) and want.key_fits(one.source, ledger))
    lacking -= sum(
        one.count for one in back if one.source is None and within(one.event, period) and want.key_fits(one.target, ledger)
    )
    return max(lacking, 0)


def _escaped(want: Wanted, nursery, period) -> int:
    ledger = nursery.ledger
    return sum(
        one.count for one in ledger.chronicle.left("escaped") if within(one.event, period) and want.key_fits(one.source, ledger)
    )


def _loss_line(posting, nursery) -> str:
    key = posting.source
    place = f" in {key.enclosure}" if key.enclosure else ""
    when = day_words(posting.event.day, nursery.now)
    return f"- {animals_name(key.cohort, key.mark)}: {stage_count(posting.count, key.stage)}{place}, {cause_of(posting.event)}, {when}"


def next_of(want: Wanted) -> tuple[str, ...]:
    whose = f" of {want.cohorts[0]}" if len(want.cohorts) == 1 else ""
    return (f"survival{whose or ' by species'}", "causes of death by species", "survival by season")
