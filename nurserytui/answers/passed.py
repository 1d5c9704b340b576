"""How many animals there have been, of a stage, a cohort or in a place, in all or in a period: not those that stand there now."""

from __future__ import annotations

import re
from collections import Counter

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.selection import Wanted, about_words, is_whole_year, join, last_day, of_cohorts, within
from nurserytui.answers.wording import OWN_RECORDS, counted, day_words, listed, species_label, stage_count

TOPIC = "headcount"
ASKED = re.compile(
    r"\b(?:have|has|had) (?:i|we|you|there) (?:ever )?(?:had|kept|been)\b|\b(?:i|we)(?: have|'ve) (?:ever )?had\b|\bever had\b"
    r"|\b(?:gone|come|passed|been|went|came|go) through\b|\bthrough my hands\b|\b(?:has|have|had) been in\b|\b(?:lived|used to be|(?:has|have|had|ever) stayed) in\b"
    r"|\b(?:who|what) (?:else )?(?:was|were|lived|stood) (?:\S+ ){0,4}before\b"
)


def asks_of_all(request, want: Wanted) -> bool:
    """Whether the line asks of all that there have been (`how many monarch eggs have I had this year`)."""
    return bool(ASKED.search(request.plain))


def passed(request, nursery, want: Wanted) -> Answer:
    """The animals that came to be of the stage, or in the place, that is meant; each counts once for every cohort and stage."""
    ledger = nursery.ledger
    by_cohort: Counter = Counter()
    for posting in of_cohorts(ledger, () if want.enclosures else want.cohorts):
        target = posting.target
        if target is None or not within(posting.event, request.period) or not _counts(posting.source, target, want):
            continue
        if (not want.enclosures and want.key_fits(target, ledger)) or (want.enclosures and _fits_there(target, want, ledger)):
            by_cohort[target.cohort] += posting.count
    total = sum(by_cohort.values())
    what = stage_count(total, want.stages[0]) if len(want.stages) == 1 else counted(total, "animal")
    whose = listed(species_label(name, nursery.knowledge) for name in want.species)
    place = f" in {listed(want.enclosures)}" if want.enclosures else ""
    first = f"{what}{f' of {whose}' if whose else ''}{place}{_period_words(request, nursery.now)}{'' if total else ': none by the records'}."
    lines = [
        f"- {label}, {species_label(ledger.cohorts[label].species, nursery.knowledge)}: {count}"
        for label, count in by_cohort.most_common()
        if label in ledger.cohorts
    ]
    steps = " + ".join(str(count) for count in by_cohort.values()) or "0"
    return Answer(
        "answered",
        TOPIC,
        join(first, *lines),
        about=about_words(nursery, want, want.stages[0] if len(want.stages) == 1 else ""),
        values={"count": Value(total, "animals")},
        items=tuple({"name": label, "label": line[2:], "cohort": label} for label, line in zip(by_cohort, lines, strict=False)),
        working=(f"Those that came to be there by the records: {steps} = {total}.",),
        sources=(OWN_RECORDS,),
        next=("headcount", "survival by season"),
    )


def _counts(source, target, want: Wanted) -> bool:
    """Whether by this change an animal newly became what is asked about: came to the place, reached the stage, or came in."""
    if source is None:
        return True
    if want.enclosures and source.enclosure != target.enclosure:
        return True
    return bool(want.stages) and source.stage != target.stage


def _fits_there(target, want: Wanted, ledger) -> bool:
    """Whether animals of the place are meant: with a place, the cohorts named are those left out (`what else was in tub 2 before B`)."""
    return want._replace(cohorts=()).key_fits(target, ledger) and target.cohort not in want.cohorts


def _period_words(request, now) -> str:
    period = request.period
    if period is None:
        return " so far, all years together"
    if is_whole_year(period, now):
        return f" in {period.start.year}" + (" so far" if period.start.year == now.year else "")
    first, last = period.start.date(), min(last_day(period), now.date())
    return (
        f" from {day_words(str(first), now)} to {day_words(str(last), now)}"
        if first != last
        else f" on {day_words(str(first), now)}"
    )
