"""Cohorts or enclosures by how many animals they hold: the biggest, the fullest, the smallest."""

from __future__ import annotations

import re
from collections import Counter

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.selection import Wanted, join, standing
from nurserytui.answers.wording import OWN_RECORDS, counted, listed

MOST = r"biggest|largest|fullest|busiest|most crowded|most (?:animals|in)|has the most|hold\w* the most"
LEAST = r"smallest|emptiest|fewest|has the least|least"
PLACES = re.compile(r"\b(cages?|enclosures?|tubs?|box(?:es)?|jars?|crates?|tents?|sleeves?|fullest|emptiest)\b")
RANKED = re.compile(rf"\b(?:{MOST}|{LEAST})\b")


def ranked(request, nursery, want: Wanted) -> Answer:
    """Every cohort or enclosure in use with its count, the one asked for first."""
    tally: Counter = Counter()
    by_place = bool(PLACES.search(request.plain))
    for key, count in standing(nursery, want):
        tally[key.enclosure if by_place else key.cohort] += count
    least = bool(re.search(rf"\b(?:{LEAST})\b", request.plain))
    rows = sorted(tally.items(), key=lambda row: (row[1] if least else -row[1], row[0]))
    if not rows:
        return Answer(
            "answered",
            "headcount",
            "0 animals now: nothing to rank.",
            values={"count": Value(0, "animals")},
            sources=(OWN_RECORDS,),
        )
    top = [name for name, count in rows if count == rows[0][1]]
    word = "fewest" if least else "most"
    first = f"{listed(top)} {'hold' if len(top) > 1 else 'holds'} the {word} now: {counted(rows[0][1], 'animal')}{' each' if len(top) > 1 else ''}."
    kind = "enclosure" if by_place else "cohort"
    return Answer(
        "answered",
        "headcount",
        join(first, *(f"- {name}: {counted(count, 'animal')}" for name, count in rows)),
        about={kind: top[0]} if len(top) == 1 else {},
        values={"count": Value(rows[0][1], "animals")},
        items=tuple(
            {"name": name, "label": f"{name}: {counted(count, 'animal')}", kind: name, "count": count} for name, count in rows
        ),
        working=(f"By {kind}, {' + '.join(str(count) for _, count in rows)} = {sum(tally.values())} animals.",),
        sources=(OWN_RECORDS,),
        next=("headcount",),
    )
