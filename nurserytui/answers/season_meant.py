"""Which animals a season means: those of the cohorts that began in it. What befell older ones in its months is told apart."""

from __future__ import annotations

import re
from collections import Counter
from datetime import datetime, time

from nurserytui.answers.first_dates import dates_of
from nurserytui.answers.handled import season_days
from nurserytui.answers.selection import Wanted, is_whole_year, season_of, seasons_said
from nurserytui.answers.survival import of_seasons
from nurserytui.answers.wording import listed
from nurserytui.language.request import Period

NAMED = 4
"""Cohorts that are named one by one."""
SEASON = re.compile(r"\bseasons?\b")


def season_asked(request, nursery, want: Wanted) -> int | None:
    """The one season that a line names by that word; None where it names a cohort, another time or only a year."""
    if want.cohorts or not SEASON.search(request.plain):
        return None
    if request.period is not None and not is_whole_year(request.period, nursery.now):
        return None
    years = seasons_said(request.plain, nursery)
    return years[0] if len(years) == 1 else None


def of_one_season(nursery, want: Wanted, year: int) -> Wanted:
    """Narrowed to the cohorts that began in the season."""
    return of_seasons(nursery, want, (year,))


def months_of(nursery, year: int) -> Period:
    """The season's own months, in which animals of older cohorts may live on."""
    first, last = season_days(year, nursery.settings.season_start or 1)
    return Period(datetime.combine(first, time()), datetime.combine(last, time(23, 59, 59)), f"season {year}")


def in_months(nursery, year: int) -> str:
    """`in 2026`, or `in the months of season 2026` where the season is no calendar year."""
    return f"in {year}" if (nursery.settings.season_start or 1) == 1 else f"in the months of season {year}"


def of_older(nursery, want: Wanted, year: int, kind: str) -> list[tuple[str, int]]:
    """(cohort, animals) of what befell cohorts of earlier seasons in the months of this one: `died`, `emerged`, `released` …"""
    first, last = (str(day)[:7] for day in season_days(year, nursery.settings.season_start or 1))
    start, found = nursery.settings.season_start or 1, []
    for label, cohort in nursery.ledger.cohorts.items():
        if season_of(cohort, start) < year and want.cohort_fits(label, nursery.ledger):
            dates = dates_of(nursery, label).items()
            count = sum(span.count for (month, what), span in dates if what == kind and first <= month <= last)
            if count:
                found.append((label, count))
    return found


def older_words(nursery, year: int, pairs, words: str) -> str:
    """`In 2026, of season 2025: 1 died (1 of kale-25).` of (cohort, animals) pairs, those of the season itself left out; "" without any."""
    start, tally = nursery.settings.season_start or 1, Counter()
    for label, count in pairs:
        known = nursery.ledger.cohorts.get(label)
        if known is not None and season_of(known, start) < year:
            tally[label] += count
    if not tally:
        return ""
    seasons = sorted({season_of(nursery.ledger.cohorts[label], start) for label in tally})
    more = [f"{len(tally) - NAMED} more cohorts"] if len(tally) > NAMED + 1 else []
    shown = tally.most_common(NAMED if more else None)
    whose = listed([*(f"{count} of {label}" for label, count in shown), *more]) if len(tally) > 1 else shown[0][0]
    when = in_months(nursery, year)
    of = f"season{'s' if len(seasons) > 1 else ''} {listed(str(one) for one in seasons)}"
    return f"{when[:1].upper()}{when[1:]}, of {of}: {tally.total()} {words} ({whose})."
