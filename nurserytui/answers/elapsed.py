"""How long animals took over a stage, or stood in an enclosure, in days by the keeper's own dates."""

from __future__ import annotations

import re
from datetime import date
from typing import NamedTuple

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.selection import STAGE_ORDER, Wanted, about_words, join, of_cohorts, whose_words
from nurserytui.answers.wording import OWN_RECORDS, capital, counted, day_words, listed, number, stage_count

TOPIC = "history"
ASKED = re.compile(
    r"\bhow (?:long|many days|many weeks|quick\w*|fast|slow\w*) (?:did|was|were|had|have|has|in|it took|from)\b|\btime (?:it|they) took\b"
    r"|\b(?:days|time|weeks) (?:it|they|[\w-]+) (?:took|spent|needed)\b"
)
UP_TO_NOW = re.compile(r"\bhow (?:long|many days) (?:have|has) (?!.*\b(?:took|taken|take|spent)\b)|\bago\b")
CHANGES = {"larva": "hatched", "pupa": "pupated", "adult": "emerged"}
"""A stage -> the change that leads to it."""
BEFORE = {"hatched": "egg", "pupated": "larva", "emerged": "pupa"}
DONE = {"hatched": "hatch", "pupated": "pupate", "emerged": "emerge"}
NEXT = {"egg": "hatched", "larva": "pupated", "pupa": "emerged"}


class Dated(NamedTuple):
    """Animals to which something happened on a day."""

    day: date
    count: int
    what: str


def asks_how_long(request, want: Wanted) -> bool:
    """Whether the line asks how long something took or lasted that is over or may be."""
    return bool(want.animals and ASKED.search(request.plain)) and not UP_TO_NOW.search(request.plain)


def how_long(request, nursery, want: Wanted) -> Answer | None:
    """The days from the start of a stage (or of a stay) to its end; None where the line names neither."""
    if want.enclosures:
        return _stay(nursery, want)
    pair = _pair(request)
    return _stages(nursery, want, *pair) if pair else None


def _pair(request) -> tuple[str, str] | None:
    """The stage from which and the change up to which the line asks."""
    plain = request.plain
    stages = sorted({"larva" if stage == "prepupa" else stage for stage in request.stages}, key=STAGE_ORDER.get)
    if len(stages) > 1:
        return stages[0], CHANGES[stages[-1]]
    change = next(
        (
            change
            for words, change in (
                (r"hatch\w*", "hatched"),
                (r"pupat\w*", "pupated"),
                (r"emerg\w*|eclos\w*|come out|fly", "emerged"),
            )
            if re.search(rf"\b(?:{words})\b", plain)
        ),
        "",
    )
    if re.search(r"\bstart to finish\b|\bbeginning to end\b|\bfrom start\b", plain) and not stages:
        return "egg", "emerged"
    if re.search(r"\begg\b.*\b(?:adult|butterfly|moth|wings?)\b", plain):
        return "egg", "emerged"
    if not stages:
        return (BEFORE[change], change) if change else None
    if (
        re.search(r"\b(?:reach|become|became|turn\w*|make|made|to|into)\b(?: (?:an?|the|into))* (?:\w+ )?[\w-]+$", plain)
        and not change
    ):
        return (BEFORE[CHANGES[stages[0]]], CHANGES[stages[0]]) if stages[0] in CHANGES else None
    if change and change != CHANGES.get(stages[0]):
        return stages[0], change
    return (stages[0], NEXT[stages[0]]) if stages[0] in NEXT else None


def _stages(nursery, want: Wanted, origin: str, change: str) -> Answer:
    """How long from the start of a stage to a later change, by the middle animal, with the quickest and the slowest."""
    whose = want._replace(stages=(), instar=None, enclosures=())
    came, ends = _starts(nursery, whose, origin), _happened(nursery, whose, change)
    who = whose_words(nursery, want)
    if not ends:
        text = f"Not known yet: none of {who} has {change} by the records."
        return _answer(nursery, want, text, {}, ())
    ended = _span_words(ends, nursery.now)
    if not came:
        first = _came_in(nursery, whose)
        when = f"; {first.what} {day_words(_noon(first.day), nursery.now)}, {_days(first.day, ends)} before" if first else ""
        text = f"Not known: when {who} became {stage_count(2, origin)[2:]} is not in the records. They {change} {ended}{when}."
        return _answer(nursery, want, text, {"days": Value(None, "days", reason="the start is not in the records")}, ends)
    low, high = (min(ends).day - max(came).day).days, (max(ends).day - min(came).day).days
    middle = (_middle(ends) - _middle(came)).days
    spread = f" ({low} to {high})" if low != high else ""
    stage = "" if BEFORE[change] == origin else f" from {origin}"
    text = (
        f"{capital(who)} took {counted(middle, 'day')}{spread} to {DONE[change]}{stage}: "
        f"{came[0].what} {_span_words(came, nursery.now)}, {change} {ended}."
    )
    values = {"days": Value(middle, "days", low=low, high=high), "count": Value(sum(one.count for one in ends), "animals")}
    return _answer(nursery, want, text, values, (*came, *ends))


def _stay(nursery, want: Wanted) -> Answer | None:
    """How long animals stood in the enclosures named."""
    whose = want._replace(stages=(), instar=None, enclosures=())
    came, left = [], []
    for posting in of_cohorts(nursery.ledger, whose.cohorts):
        source, target = posting.source, posting.target
        inside, outside = (
            key is not None and key.enclosure in want.enclosures and whose.key_fits(key, nursery.ledger)
            for key in (target, source)
        )
        if inside != outside:
            (came if inside else left).append(_dated(posting))
    if not came:
        return None
    still = sum(
        n for key, n in nursery.ledger.heads.items() if key.enclosure in want.enclosures and whose.key_fits(key, nursery.ledger)
    )
    since = _span_words(came, nursery.now)
    end = nursery.now.date() if still else max(left).day
    days = (end - min(came).day).days
    state = f"and {counted(still, 'is', 'are')} still there" if still else f"taken out {_span_words(left[-1:], nursery.now)}"
    text = f"{capital(whose_words(nursery, want))}: {counted(days, 'day')} in {listed(want.enclosures)}: put in {since}, {state}."
    return _answer(nursery, want, text, {"days": Value(days, "days")}, (*came, *left))


def _starts(nursery, whose: Wanted, origin: str) -> list[Dated]:
    """When animals became that stage: laid for eggs, else the change that leads to it; nothing where they came in at it."""
    return _happened(nursery, whose, "laid" if origin == "egg" else CHANGES[origin])


def _happened(nursery, whose: Wanted, what: str) -> list[Dated]:
    ledger = nursery.ledger
    return sorted(
        _dated(posting)
        for posting in of_cohorts(ledger, whose.cohorts)
        if posting.event.what == what and posting.target is not None and whose.key_fits(posting.target, ledger)
    )


def _came_in(nursery, whose: Wanted) -> Dated | None:
    found = _happened(nursery, whose, "found")
    return found[0] if found else None


def _dated(posting) -> Dated:
    return Dated(date.fromisoformat(posting.event.day), posting.count, posting.event.what)


def _middle(found: list[Dated]) -> date:
    """The day of the middle animal."""
    half, seen = sum(one.count for one in found) / 2, 0
    for one in found:
        seen += one.count
        if seen >= half:
            return one.day
    return found[-1].day


def _days(start: date, ends: list[Dated]) -> str:
    return counted((_middle(ends) - start).days, "day")


def _span_words(found, now) -> str:
    first, last = min(found).day, max(found).day
    if first == last:
        return day_words(_noon(first), now)
    return f"from {day_words(_noon(first), now)} to {day_words(_noon(last), now)}"


def _noon(day: date):
    from datetime import datetime, time

    return datetime.combine(day, time(12))


def _answer(nursery, want: Wanted, text: str, values: dict, dated) -> Answer:
    about = about_words(nursery, want, "")
    label = about.get("cohort", "")
    steps = tuple(f"{one.day:%Y-%m-%d}: {number(one.count)} {one.what}." for one in dated)
    return Answer(
        "answered",
        TOPIC,
        join(text),
        about=about,
        values=values,
        items=tuple(
            {"name": label, "label": step, "when": f"{one.day:%Y-%m-%d}"} for step, one in zip(steps, dated, strict=True)
        ),
        working=(*steps, "A date without a time means some time that day."),
        sources=(OWN_RECORDS,),
        next=(f"history of {label}", f"survival of {label}") if label else ("what needs doing today",),
    )
