"""Animals that went missing or escaped: how many, of which cohort and from where, and how many of the missing came back."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.selection import (
    Wanted,
    about_words,
    join,
    period_words,
    shortened,
    whose_words,
    within,
)
from nurserytui.answers.wording import OWN_RECORDS, animals_name, counted, day_words, listed, stage_count

MISSING = re.compile(
    r"\b(?:how many|which|what|who|any|anyone|anything|are (?:any|some)|is (?:any\w*|one)|did any\w*|have any)\b[^,;]*\b(?:missing|unaccounted|astray|vanished|disappeared)\b"
    r"|^(?:missing|unaccounted)(?: animals| ones)?$"
)
ESCAPED = re.compile(
    r"\b(?:how many|which|did any\w*|have any\w*|has any\w*|any)\b[^,;]*\b(?:escap\w+|got out|get out|got away|get away)\b"
)
PARTS = re.compile(r"\b(?:legs?|wings?|antenna\w*|head|tentacles?|horn|tail|limb|proboscis|tongue|eye)\b")


def asks_missing(plain: str) -> bool:
    return bool(MISSING.search(plain)) and not PARTS.search(plain) and not re.search(r"\bescap", plain)


def asks_escaped(plain: str) -> bool:
    return bool(ESCAPED.search(plain)) and not re.search(r"\bmissing\b", plain)


def missing(request, nursery, want: Wanted, topic: str) -> Answer:
    """Those missing now, or those that went missing in the period and how many came back since. `count` is the first, in animals."""
    ledger, chronicle, period = nursery.ledger, nursery.ledger.chronicle, request.period
    now = [
        (key, count)
        for key, count in sorted(ledger.lost.items(), key=lambda pair: pair[0].cohort)
        if count and want.key_fits(key, ledger)
    ]
    here = sum(count for _, count in now)
    gone = _left(nursery, want, period, "missing", "counted")
    back = [one for number in chronicle.numbers(whats=("returned",)) for one in chronicle.postings_of(number)]
    back = [one for one in back if one.source is None and one.target is not None and want.key_fits(one.target, ledger)]
    back = [one for one in back if period is None or one.event.when >= period.start.isoformat()]
    went, came = sum(one.count for one in gone), sum(one.count for one in back)
    whose = f" of {whose_words(nursery, want)}" if want.animals else ""
    if period is None:
        by = f": {listed(_group(key, count) for key, count in now)}" if now else ""
        first = f"{counted(here, 'animal')}{whose} missing now{by}." if now else f"0 animals{whose} are missing now."
        first = join(
            first, f"In all {went} went missing, and {came} came back." if went else "None ever went missing by the records."
        )
        count = here
    else:
        first = (
            f"{counted(went, 'animal')}{whose} went missing{period_words(request, nursery.now)}"
            f"{f'; {came} came back since then' if came else ''}; {here or 'none'} of all {'are' if here != 1 else 'is'} missing now."
        )
        count = went
    lines = [f"- {_line(one, nursery, 'went missing')}" for one in gone] + [
        f"- {_line(one, nursery, 'came back')}" for one in back
    ]
    return Answer(
        "answered",
        topic,
        join(
            first, *shortened(lines), "Missing is not dead: they are counted as neither living nor dead." if went or here else ""
        ),
        about=about_words(nursery, want, ""),
        values={"count": Value(count, "animals"), "missing": Value(here, "animals"), "returned": Value(came, "animals")},
        items=tuple(
            {"name": key.cohort, "label": _group(key, count), "cohort": key.cohort, "count": count} for key, count in now
        ),
        working=(f"Went missing {went}, came back {came}, missing now {here}.",),
        sources=(OWN_RECORDS,),
        next=("causes of death this year", "headcount"),
    )


def escaped(request, nursery, want: Wanted, topic: str) -> Answer:
    """Those that escaped, all in all or in the period."""
    gone = _left(nursery, want, request.period, "escaped")
    total = sum(one.count for one in gone)
    whose = f" of {whose_words(nursery, want)}" if want.animals else ""
    when = period_words(request, nursery.now)
    first = f"Yes, {total} escaped{whose}{when}." if total else f"No, none{whose} escaped{when} by the records."
    if re.search(r"\bhow many\b", request.plain):
        first = f"{counted(total, 'animal')}{whose} escaped{when}."
    return Answer(
        "answered",
        topic,
        join(first, *shortened([f"- {_line(one, nursery, 'escaped')}" for one in gone])),
        about=about_words(nursery, want, ""),
        values={"count": Value(total, "animals")},
        items=tuple({"name": one.source.cohort, "label": _line(one, nursery, "escaped"), "count": one.count} for one in gone),
        working=(f"{counted(len(gone), 'event')} in which animals escaped: {total} in all.",),
        sources=(OWN_RECORDS,),
        next=("how many are missing", "headcount"),
    )


def _left(nursery, want: Wanted, period, *whats: str) -> list:
    ledger = nursery.ledger
    found = [one for what in whats for one in ledger.chronicle.left(what)]
    return [one for one in found if within(one.event, period) and want.key_fits(one.source, ledger)]


def _group(key, count: int) -> str:
    return f"{stage_count(count, key.stage)} of {animals_name(key.cohort, key.mark)}{f' in {key.enclosure}' if key.enclosure else ''}"


def _line(one, nursery, did: str) -> str:
    key = one.source or one.target
    return f"{_group(key, one.count)} {did} on {day_words(one.event.day, nursery.now)}"
