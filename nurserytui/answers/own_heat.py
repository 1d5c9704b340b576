"""Degree-days of a cohort: only of the days on which its animals stood in a place, and with the days that nobody measured named first."""

from __future__ import annotations

from collections import Counter
from datetime import date, datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.measured_sums import heat_sum
from nurserytui.answers.selection import join, last_day
from nurserytui.answers.warmth import moment_of
from nurserytui.answers.wording import OWN_RECORDS, cite, counted, day_words, listed, number

TOPIC = "temperature"
DAY = timedelta(days=1)


class Here(NamedTuple):
    """What was measured of a cohort in one place."""

    place: str
    days: tuple[date, ...]
    """When animals of it stood there."""
    measured: tuple[date, ...]
    total: float
    """°C·d of the measured days."""


def days_of(nursery, label: str) -> dict[date, frozenset[str]]:
    """Day -> the places in which animals of the cohort stood on it, from its first day to its last or today."""
    heads: Counter = Counter()
    found: dict[date, set[str]] = {}
    today, last = nursery.now.date(), None
    for posting in nursery.ledger.chronicle.of_cohort(label):
        day = datetime.fromisoformat(posting.event.when).date()
        while last is not None and last < day:
            last += DAY
            found.setdefault(last, set()).update(+heads)
        last = day
        for key, change in ((posting.source, -posting.count), (posting.target, posting.count)):
            if key is not None and key.cohort == label:
                heads[key.enclosure] += change
        found.setdefault(day, set()).update(+heads)
    while last is not None and last < today and +heads:
        last += DAY
        found.setdefault(last, set()).update(+heads)
    return {day: frozenset(places) for day, places in found.items() if places}


def own_heat(request, nursery, label: str, unit: str, base) -> Answer | None:
    """The degree-days of a cohort; None where no day of it was measured."""
    days = days_of(nursery, label)
    if request.period is not None and request.period.start <= nursery.now:
        first, until = request.period.start.date(), last_day(request.period)
        days = {day: places for day, places in days.items() if first <= day <= until}
    readings = {
        place: [one for one in nursery.temperatures(place) if place in days.get(moment_of(one.when).date(), ())]
        for place in sorted(set().union(*days.values()))
    }
    dates = {place: {moment_of(one.when).date() for one in here} for place, here in readings.items()}
    rows = []
    for place, here in readings.items():
        stood = tuple(day for day, places in days.items() if place in places)
        total = heat_sum(here, base.celsius, base.ceiling)[0] if here else 0.0
        rows.append(Here(place, stood, tuple(day for day in stood if day in dates[place]), total))
    measured = [row for row in rows if row.measured]
    if not measured:
        return None
    return _told(nursery, label, days, rows, unit, base)


def _told(nursery, label: str, days, rows: list[Here], unit: str, base) -> Answer:
    factor = 1 if unit == "C" else 9 / 5
    measured = sorted((row for row in rows if row.measured), key=lambda row: -len(row.measured))
    whole = len(days)
    known = {day for row in measured for day in row.measured}
    # The day that is not over counts as one, but that it has no reading yet makes no gap.
    today = nursery.now.date()
    early = today in days and today not in known
    complete = all(len(places) == 1 for places in days.values()) and len(known) == whole - early
    above = f"above {number(base.celsius if unit == 'C' else base.celsius * 1.8 + 32)} °{unit}"
    upper = (
        f", no faster above {number(base.ceiling if unit == 'C' else base.ceiling * 1.8 + 32)} °{unit}" if base.ceiling else ""
    )
    parts = [
        f"{number(row.total * factor)} °{unit}·d {above}{upper} in {row.place or 'the room'}, from {counted(len(row.measured), 'day')} with readings of "
        f"{counted(len(row.days), 'day')} there"
        for row in measured
    ]
    since = f"since {day_words(str(min(days)), nursery.now)}"
    total = sum(row.total for row in measured) if complete else measured[0].total
    if complete:
        first = f"{number(total * factor)} °{unit}·d (degree-days) {above}{upper} for {label}, {counted(whole, 'day')} {since}, every one measured{', today not yet' if early else ''}."
    else:
        first = (
            f"Not known for {label} as a whole: of {counted(whole, 'day')} {since} only {len(known)} {'has' if len(known) == 1 else 'have'} readings "
            f"from where its animals stood. Of those alone: {listed(parts)} (degree-days)."
        )
    gaps = [day for day in days if day not in known and day < today]
    lacking = [row.place or "no enclosure named" for row in rows if not row.measured]
    now = Counter()
    for key, count in nursery.heads(cohort=label):
        now[key.enclosure] += count
    spread = listed(f"{count} in {place or 'no enclosure named'}" for place, count in now.most_common())
    lines = [
        first,
        f"Days without a reading where it stood: {_spans(gaps)}." if gaps else "",
        f"Never measured while it was there: {listed(lacking)}." if lacking else "",
        f"Its animals now: {spread}; those elsewhere had other warmth." if len(now) > 1 and not complete else "",
    ]
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about={"cohort": label},
        values={
            "degree_days": Value(
                round(total * factor, 1), f"°{unit}·d", reason="" if complete else "only of the days with readings"
            ),
            "base": Value(round(base.celsius if unit == "C" else base.celsius * 1.8 + 32, 2), f"°{unit}"),
            "days": Value(len(known), "days"),
            "days_lacking": Value(whole - len(known), "days"),
        },
        items=tuple(
            {
                "name": row.place or "the room",
                "label": part,
                "enclosure": row.place,
                "degree_days": round(row.total * factor, 1),
                "days": len(row.measured),
            }
            for row, part in zip(measured, parts, strict=True)
        ),
        working=(
            f"Base: {base.words}.",
            *(
                f"{part}, days measured: {listed(str(day) for day in row.measured[:12])}."
                for row, part in zip(measured, parts, strict=True)
            ),
            "Days without readings are left out, not guessed, so the true sum is higher.",
        ),
        sources=(OWN_RECORDS, *cite(nursery.knowledge, base.sources)),
        next=(f"when will {label} emerge", f"where is {label}"),
    )


def _spans(days: list[date]) -> str:
    """`2026-06-12 to 2026-07-04 and 2026-07-06`"""
    spans: list[list[date]] = []
    for day in sorted(days):
        if spans and day - spans[-1][1] == DAY:
            spans[-1][1] = day
        else:
            spans.append([day, day])
    return listed(f"{first} to {last}" if first != last else str(first) for first, last in spans)
