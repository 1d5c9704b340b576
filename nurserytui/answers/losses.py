"""Deaths and what they were put down to, most first; the missing are named apart, they are not deaths."""

from __future__ import annotations

import re
from collections import Counter

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.fates import cause_items, cause_of, deaths
from nurserytui.answers.selection import (
    SHOWN,
    STAGE_ORDER,
    Wanted,
    about_words,
    is_whole_year,
    join,
    last_day,
    whose_words,
    within,
)
from nurserytui.answers.wording import OWN_RECORDS, capital, counted, day_words, listed, percent, stage_count

TOPIC = "survival"
NOT_KNOWN = "cause not recorded"


def losses(request, nursery, want: Wanted) -> Answer:
    """Deaths and their causes, most first; missing animals are named apart, they are not deaths."""
    from nurserytui.answers.agents import cause_words, same_cause
    from nurserytui.answers.years import years_compared

    told = years_compared(request, nursery, want, ("died",))
    if told is not None:
        return told._replace(topic=TOPIC)
    found = deaths(nursery, want, request.period)
    agents = [name for named in request.agents for name in named.names]
    named = cause_words(request, nursery)
    if agents or named:
        found = [p for p in found if same_cause(p.event.detail, agents, named, nursery)]
    total = sum(posting.count for posting in found)
    causes: Counter = Counter()
    for posting in found:
        causes[cause_of(posting.event)] += posting.count
    period = _period_words(request, nursery)
    place = f" in {listed(want.enclosures)}" if want.enclosures else ""
    whose = whose_words(nursery, want) if want.animals else ""
    of = f" of {whose}" if whose else ""
    lacking = _missing(want, nursery, request.period)
    if not total:
        what = f" put down to {listed(named or [a.said for a in request.agents])}" if agents or named else ""
        first = f"0 deaths{what}{of}{place}{period} in the records."
    elif agents or named:
        words = listed(named or [agent.said for agent in request.agents])
        by = f": {listed(f'{n} {cause}' for cause, n in causes.most_common())}" if len(causes) > 1 else ""
        first = f"{counted(total, 'animal')}{of} died of {words}{place}{period}{by}."
    elif re.search(r"\b(most|main|biggest|top|worst|chief)\b", request.plain) or "most" in request.cues:
        known = [(cause, n) for cause, n in causes.most_common() if cause != NOT_KNOWN] or causes.most_common()
        top = [(cause, n) for cause, n in known if n == known[0][1]]
        first = f"{listed(cause for cause, _ in top)}: {top[0][1]} of {counted(total, 'death')}{' each' if len(top) > 1 else ''}{of}{place}{period}."
        first = capital(first)
    else:
        first = f"{counted(total, 'death')}{of}{place}{period}: {listed(f'{n} {cause}' for cause, n in causes.most_common())}."
    stages: Counter = Counter()
    for posting in found:
        stages[posting.source.stage] += posting.count
    if len(stages) > 1:
        by_stage = listed(stage_count(stages[stage], stage) for stage in sorted(stages, key=STAGE_ORDER.get))
        asks_stage = re.search(r"\bstages?\b", request.plain)
        first = f"{by_stage} died{of}{place}{period}.\n{first}" if asks_stage else f"{first}\nBy stage: {by_stage}."
    if total and len(causes) > 1 and not (agents or named):
        first = join(first, _ranked(causes, total))
    shown = found[::-1] if len(found) <= SHOWN + 1 else found[: -SHOWN - 1 : -1]
    lines = [first, *(_loss_line(posting, nursery) for posting in shown), _more(len(found))]
    if lacking and not (agents or named):
        lines.append(f"{lacking} more went missing: fate not known, not counted as dead.")
    escaped = _escaped(want, nursery, request.period) if not (agents or named) else 0
    if escaped:
        lines.append(f"{escaped} more escaped: not counted as dead.")
    values = {"count": Value(total, "animals")}
    if not (agents or named) and lacking:
        values["missing"] = Value(lacking, "animals")
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about=about_words(nursery, want, want.stages[0] if len(want.stages) == 1 else ""),
        values=values,
        items=cause_items(causes, found),
        working=(f"{counted(len(found), 'death event')}: {' + '.join(str(p.count) for p in found) or '0'} = {total}.",),
        sources=(OWN_RECORDS,),
        next=next_of(want),
    )


def _ranked(causes: Counter, total: int) -> str:
    """The causes with the share of all deaths that each took, most first."""
    shares = listed(f"{cause} {count} ({percent(count / total)})" for cause, count in causes.most_common(8))
    rest = f", and {len(causes) - 8} more causes" if len(causes) > 8 else ""
    return f"By share of {counted(total, 'death')}: {shares}{rest}."


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
    mark = f" {key.mark}" if key.mark else ""
    when = day_words(posting.event.day, nursery.now)
    return f"- {key.cohort}{mark}: {stage_count(posting.count, key.stage)}{place}, {cause_of(posting.event)}, {when}"


def _period_words(request, nursery) -> str:
    period = request.period
    if period is None:
        return ""
    if is_whole_year(period, nursery.now):
        return f" in {period.start.year}"
    return f" from {day_words(period.start, nursery.now)} to {day_words(str(last_day(period)), nursery.now)}"


def next_of(want: Wanted) -> tuple[str, ...]:
    whose = f" of {want.cohorts[0]}" if len(want.cohorts) == 1 else ""
    return (f"survival{whose or ' by species'}", "causes of death this year", "survival by season")
