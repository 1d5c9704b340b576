"""How many animals something befell in one year against another."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.fates import LEFT_WORDS
from nurserytui.answers.selection import Wanted, join, postings_of, years_said
from nurserytui.answers.wording import OWN_RECORDS, counted, listed

TOPIC = "history"
WHICH_YEAR = re.compile(
    r"\b(?:which|what|whats|best|worst) (?:was (?:my |the )?(?:best|worst) )?(?:year|season|summer)\b(?=.*\b(?:most|fewest|least)\b)"
)
FEWEST = re.compile(r"\b(?:fewest|least)\b")
COMPARED = re.compile(r"\b(?:more|fewer|less|most|fewest|least|compared?|versus|vs|against|or|than)\b")


def years_compared(request, nursery, want: Wanted, kinds: tuple[str, ...]) -> Answer | None:
    """The years that the line names side by side, the higher first; None where it compares none."""
    years = years_said(request.plain, nursery.now)
    if WHICH_YEAR.search(request.plain):
        years = years if len(years) > 1 else tuple(sorted({int(day[:4]) for day in nursery.ledger.chronicle.days("0", "9999")}))
    elif not COMPARED.search(request.plain):
        return None
    if len(years) < 2 or not kinds:
        return None
    tallies = dict.fromkeys(years, 0)
    for posting in postings_of(nursery, want):
        year = int(posting.event.day[:4])
        if posting.event.what in kinds and year in tallies:
            tallies[year] += posting.count
    ranked = sorted(tallies.items(), key=lambda pair: -pair[1])
    words = listed((LEFT_WORDS.get(kind, kind) for kind in kinds), "or")
    if FEWEST.search(request.plain) and WHICH_YEAR.search(request.plain):
        ranked.reverse()
    (top, most), *rest = ranked
    others = listed(f"{count} in {year}" for year, count in rest)
    if most == rest[0][1]:
        first = (
            f"As many {words} in {listed(str(year) for year, count in ranked if count == most)}: {counted(most, 'animal')} each."
        )
    else:
        more = "Fewest" if most < rest[0][1] else "Most" if len(rest) > 1 else "More"
        first = f"{more} {words} in {top}: {counted(most, 'animal')}, against {others}."
    partial = f"{nursery.now.year} is not over yet." if nursery.now.year in years else ""
    return Answer(
        "answered",
        TOPIC,
        join(first, partial),
        values={"count": Value(most, "animals"), "year": Value(top)},
        items=tuple(
            {"name": str(year), "label": f"{year}: {counted(count, 'animal')} {words}", "count": count} for year, count in ranked
        ),
        working=tuple(f"{year}: {count} {words}." for year, count in ranked),
        sources=(OWN_RECORDS,),
        next=("survival by season", "causes of death this year"),
    )
