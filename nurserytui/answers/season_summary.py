"""A season told in sentences, and one season against another: what came in, got through and was lost, and what is still open."""

from __future__ import annotations

import re
from collections import Counter
from typing import NamedTuple

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.comparing import ASKED_OF
from nurserytui.answers.fates import Fates, censored_words
from nurserytui.answers.first_dates import EVER, spans_in
from nurserytui.answers.handled import LAW, season_days, season_now
from nurserytui.answers.outliving import differ
from nurserytui.answers.season_meant import of_older, of_one_season, older_words
from nurserytui.answers.season_sums import Season, same_day, season, seasons_known
from nurserytui.answers.selection import FIRST_STEPS, STAGE_ORDER, Wanted, is_whole_year, join, of_season, seasons_said
from nurserytui.answers.survival import percent, running, span, values_of, wilson_of
from nurserytui.answers.verdict import CHANCE, FEW, TOGETHER, judged, p_words
from nurserytui.answers.wording import OWN_RECORDS, counted, day_words, listed, species_label, stage_count

TOPIC = "survival"
SEASON = r"(?:season|year|summer|(?:19|20)\d\d)"
SUMMARY = re.compile(
    rf"\b(?:summar\w+|report|round-?up|overview|recap|review|wrap-?up|story|account)\b.*\b{SEASON}\b|\b{SEASON}(?:'?s)? (?:\w+ )?(?:summary|report|round-?up|overview|recap|review|wrap-?up)\b"
    rf"|\bsum(?:s|med)? up\b.*\b{SEASON}\b|\bstill open\b|\bhow (?:did|has|is|was)\b.*\b{SEASON}\b.*\b(?:go|gone|going|overall|been)\b|\bhow (?:was|is) (?:my |the |this |last )?{SEASON}(?: for (?:me|my \w+|us))?$|\bhow did {SEASON} go\b"
)
AGAINST = re.compile(
    rf"\b{SEASON}\b.*\b(?:compare[sd]?|comparing|against|versus|vs|than|like|to|with|or)\b.*\b(?:{SEASON}|before|last|this|one|previous|earlier|others?)\b"
    rf"|\bcompare\b.*\b{SEASON}\b|\bsame (?:time|date|point|stage) (?:of |in )?(?:the )?(?:last|previous|earlier) {SEASON}\b"
)
OTHER_THINGS = re.compile(r"\b(?:degree|temperature|warm\w*|cold\w*|hot\w*|hatch rate|host|enclosure|cage|causes?|what killed)\b")
MIXED = (
    "Cohorts began on other days and are of other species, and those of one cage, clutch or outbreak do not die independently: all that may be "
    "behind a difference."
)
UNLIKE = 0.25
"""Seasons of which the shares of found animals lie further apart are not like with like."""
CAME_TO = {"larva": "hatched", "pupa": "pupated", "adult": "emerged"}
GONE = {
    "released": "released",
    "given": "given away",
    "escaped": "escaped",
    "missing": "missing",
    "counted": "missing at a count",
}


def seasons_meant(request, nursery) -> tuple[int, ...]:
    """The seasons that a line names, the running one first if it is among them."""
    now = season_now(nursery)
    years = list(seasons_said(request.plain, nursery))
    if not years and request.period is not None and is_whole_year(request.period, nursery.now):
        years = [request.period.start.year]
    if len(years) == 1 and AGAINST.search(request.plain) and re.search(r"\bbefore|previous|earlier|others?\b", request.plain):
        years += [year for year in reversed(seasons_known(nursery)) if year < years[0]][:1]
    return tuple(sorted(dict.fromkeys(years), key=lambda year: (year != now, -year)))


def asks_summary(request) -> bool:
    return (
        bool(SUMMARY.search(request.plain))
        and not (request.cohorts or request.enclosures)
        and not OTHER_THINGS.search(request.plain)
    )


def asks_against(request, nursery) -> bool:
    """Whether two seasons are put side by side of which one is running: then only the same date is fair."""
    years = seasons_meant(request, nursery)
    return (
        len(years) > 1
        and season_now(nursery) in years
        and not ASKED_OF.search(request.plain)
        and not request.stages
        and not request.cohorts
        and not OTHER_THINGS.search(request.plain)
        and not re.search(r"\bwhich (?:season|year)\b|\bby season\b", request.plain)
        and not re.search(r"\b(?:more|fewer|less|most|fewest) (?:\w+ )?(?:die[sd]?|deaths?|dead|lost|loss\w*)\b", request.plain)
    )


# One season against another ------------------------------------------------------------------------------------------------


def against(request, nursery, want: Wanted) -> Answer:
    """The running season beside earlier ones as they stood on the same date, and what became of those in the end."""
    now = season_now(nursery)
    years = seasons_meant(request, nursery)
    known = seasons_known(nursery)
    lacking = [year for year in years if year not in known]
    seasons = [season(nursery, year, want, same_day(nursery, year, now)) for year in years if year in known]
    if len(seasons) < 2:
        text = f"Nothing to compare: no cohort began in season {listed(str(year) for year in lacking)}."
        return Answer("unknown", TOPIC, text, sources=(OWN_RECORDS,), next=("summary of the season", "survival by season"))
    this, others = seasons[0], seasons[1:]
    date = f"{nursery.now.day} {nursery.now:%B}"
    first = f"By {date} season {this.year}, still running, had {_so_far(this)}; " + listed(
        f"season {one.year} by the same date, that day included, {_so_far(one)}" for one in others
    )
    lines, steps, p = [], [], None
    for one in others:
        words, step, chance = _tested(this, one)
        lines.append(words)
        steps += step
        p = chance if p is None else min(p, chance) if chance is not None else p
    ends = [(year, season(nursery, year, want)) for year in years if year != now and year in known]
    for year, end in ends:
        lines.append(f"In the end, or so far, of season {year}: {_rate_words(end.adult, 'adult')}.")
    items = []
    for one in seasons:
        item = {"name": f"season {one.year}", "label": f"season {one.year} by {date}: {_full(one)}", "count": one.total}
        item |= {"died": one.ended["died"], "released": one.ended["released"], "n": one.adult.known, "reached": one.adult.reached}
        if one.adult.known:
            low, high = wilson_of(one.adult.reached, one.adult.known)
            item |= {"rate": round(one.adult.reached / one.adult.known, 4), "low": round(low, 4), "high": round(high, 4)}
        items.append(item)
    values = values_of(this.adult)
    values["count"] = Value(this.total, "animals")
    if p is not None:
        values["p"] = Value(round(p, 4))
    return Answer(
        "answered",
        TOPIC,
        join(f"{first}.", *lines, *(f"- {item['label']}" for item in items)),
        values=values,
        items=tuple(items),
        working=(
            f"Season {this.year} as it stands; the others as they stood at the end of the same date {listed(str(now - one.year) for one in others)} "
            f"{'year' if len(others) == 1 and now - others[0].year == 1 else 'years'} earlier.",
            "A cohort counts for the season in which it began.",
            *steps,
        ),
        sources=(OWN_RECORDS,),
        cautions=(MIXED, *(TOGETHER if p is not None and p < CHANCE else ())),
        next=("summary of the season", "survival by season", "first and last dates by species"),
    )


def _so_far(one: Season) -> str:
    adults = one.reached["adult"]
    return f"{counted(one.total, 'animal')} in, {one.ended['died']} dead and {counted(adults, 'adult')} emerged"


def _full(one: Season) -> str:
    parts = [f"{one.came['laid']} laid here, {one.came['found']} found"]
    parts += [f"{one.reached[stage]} {word}" for stage, word in CAME_TO.items() if one.reached[stage]]
    parts += [f"{one.ended['died']} died"]
    parts += [f"{one.ended[end]} {words}" for end, words in GONE.items() if one.ended[end]]
    return "; ".join([*parts, f"{one.here.total()} alive then" if one.here else "none alive then"])


def _tested(this: Season, other: Season) -> tuple[str, list[str], float | None]:
    """(what can be said of the losses by the same date, steps, p)"""
    n, m = this.total, other.total
    if min(n, m) < FEW:
        return f"Too few by that date to compare losses with season {other.year}: {n} and {m} animals.", [], None
    a, c = this.ended["died"], other.ended["died"]
    rates = f"Dead by that date: {a} of {n} ({percent(a / n)}) against {c} of {m} ({percent(c / m)}) in season {other.year}"
    if not a + c:
        return f"None had died by that date, of {n}, nor of {m} in season {other.year}.", [], None
    p, how, longer = differ(this.watch, other.watch)
    unlike = _unlike(this, other)
    step = f"Season {this.year} and season {other.year}, {how}, p = {p_words(p)}."
    if p >= CHANCE:
        return (
            f"{rates}; for the days that each was watched that can well be chance (log-rank p = {p_words(p)}).{unlike}",
            [step],
            p,
        )
    more = "fewer" if longer else "more"
    return (
        f"{rates}; that is {more} for the days that each was watched, hardly chance (log-rank p = {p_words(p)}).{unlike}",
        [step],
        p,
    )


def _unlike(this: Season, other: Season) -> str:
    """Where one season's animals came in otherwise than the other's, which is a difference by itself."""
    shares = [one.came["found"] / one.total for one in (this, other)]
    if abs(shares[0] - shares[1]) < UNLIKE:
        return ""
    return (
        f" But it is not like with like: {this.came['found']} of {this.total} were found, against {other.came['found']} of {other.total} in "
        f"season {other.year}; found animals have part of their dangers behind them, and others with them."
    )


def _rate_words(fates: Fates, goal: str) -> str:
    if not fates.known:
        return f"no fate is known yet ({censored_words(fates.censored, goal)})" if fates.censored else "nothing is known yet"
    low, high = wilson_of(fates.reached, fates.known)
    early = ", too early to judge" if running(fates) else ""
    return f"{fates.reached} of {fates.known} with a known fate reached {goal} ({percent(fates.reached / fates.known)}, 95 % interval {span(low, high)}{early})"


# A season in sentences -----------------------------------------------------------------------------------------------------


def summary(request, nursery, want: Wanted) -> Answer:
    """The season in plain sentences, with survival and its interval, causes, earlier seasons, and what is still open."""
    now, known = season_now(nursery), seasons_known(nursery)
    asked = seasons_meant(request, nursery)
    year = asked[0] if asked else now
    if year not in known:
        text = f"No cohort began in season {year}; {f'there are records of {listed(str(one) for one in known)}' if known else 'nothing is recorded yet'}."
        return Answer(
            "unknown", TOPIC, text, sources=(OWN_RECORDS,), next=tuple(f"summary of {one}" for one in known[-2:]) or FIRST_STEPS
        )
    one = season(nursery, year, want)
    start, end = season_days(year, nursery.settings.season_start or 1)
    still = year == now
    species = _cohorts_by_species(nursery, want, year)
    values = values_of(one.adult)
    values["count"] = Value(one.total, "animals")
    items = tuple(
        {"name": name, "label": f"{species_label(name, nursery.knowledge)}: {counted(count, 'cohort')}", "count": count}
        for name, count in species.most_common()
    )
    return Answer(
        "answered",
        TOPIC,
        join(*sentences(nursery, year, want)),
        values=values,
        items=items,
        working=(
            f"Season {year} runs from {day_words(str(start))} to {day_words(str(end))}; a cohort counts for the season in which it began.",
            f"{_full(one)}.",
            *(f"{first} to {last}: {_rate_words(fates, last)}." for first, last, fates in one.steps if fates.start),
        ),
        sources=(OWN_RECORDS,),
        cautions=(
            *((MIXED,) if any(year > each for each in known) else ()),
            *((LAW,) if still and nursery.settings.limit is not None else ()),
        ),
        next=("how does this season compare with last season", "first and last dates by species", "causes of death this year"),
    )


class Sentences(NamedTuple):
    """A season in sentences; "" for what there is nothing to say of."""

    came: str
    dates: str
    grown: str
    before: str
    """What befell cohorts of earlier seasons in its months."""
    survival: str
    stages: str
    lost: str
    earlier: str
    """Against the season before."""
    open: str
    limit: str


def sentences(nursery, year: int, want: Wanted) -> Sentences:
    """What is told of a season in which cohorts began, piece by piece."""
    now, known = season_now(nursery), seasons_known(nursery)
    one, still = season(nursery, year, want), year == now
    species = _cohorts_by_species(nursery, want, year)
    return Sentences(
        f"Season {year}{', still running' if still else ''}: {counted(one.total, 'animal')} of {len(species)} species in "
        f"{counted(species.total(), 'cohort')} came in, {one.came['laid']} laid here and {one.came['found']} found.",
        _dates(nursery, of_one_season(nursery, want, year)),
        _grown(one),
        grown_before(nursery, want, year),
        f"Survival: {_rate_words(one.adult, 'adult')}.",
        _stages(one),
        _lost(one),
        earlier(nursery, want, one, now, known),
        still_open(nursery, want, one, still),
        _limit(nursery, year) if still and not want.animals else "",
    )


def _cohorts_by_species(nursery, want: Wanted, year: int) -> Counter:
    """Species -> cohorts of it that began in the season, but not as a part of another."""
    species: Counter = Counter()
    for label in of_season(nursery)[year]:
        cohort = nursery.ledger.cohorts[label]
        if not cohort.split_from and want.cohort_fits(label, nursery.ledger):
            species[cohort.species] += 1
    return species


def _dates(nursery, want: Wanted) -> str:
    """`First in: …; first adult …; last release …`"""
    firsts: dict[str, tuple[str, str]] = {}
    lasts: dict[str, tuple[str, str]] = {}
    for species, spans in spans_in(nursery, want._replace(stages=(), instar=None), *EVER).items():
        for kind, dates in spans.items():
            firsts[kind] = min(firsts.get(kind, (dates.first, species)), (dates.first, species))
            lasts[kind] = max(lasts.get(kind, (dates.last, species)), (dates.last, species))
    parts = []
    for words, table, kind in (
        ("first in", firsts, "came in"),
        ("last in", lasts, "came in"),
        ("first adult", firsts, "emerged"),
        ("last adult", lasts, "emerged"),
        ("last release", lasts, "released"),
    ):
        if kind in table:
            day, species = table[kind]
            parts.append(f"{words} {nursery.knowledge.common(species) or species} on {day_words(day, nursery.now)}")
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def grown_before(nursery, want: Wanted, year: int) -> str:
    """What else emerged, was released and died in the season, of cohorts that began before it."""
    kinds = ("emerged", "released", "died")
    return " ".join(part for kind in kinds if (part := older_words(nursery, year, of_older(nursery, want, year, kind), kind)))


def _grown(one: Season) -> str:
    parts = [f"{one.reached[stage]} {word}" for stage, word in CAME_TO.items() if one.reached[stage]]
    parts += [f"{one.ended[end]} {word}" for end, word in GONE.items() if one.ended[end] and end in ("released", "given")]
    return f"Of those that began in it {listed(parts)}." if parts else ""


def _stages(one: Season) -> str:
    parts = [
        f"{first} to {last} {fates.reached} of {fates.known} ({percent(fates.reached / fates.known)})"
        for first, last, fates in one.steps
        if fates.known
    ]
    return f"Stage by stage: {'; '.join(parts)}." if len(parts) > 1 else ""


def _lost(one: Season) -> str:
    dead, astray = one.ended["died"], one.ended["missing"] + one.ended["counted"]
    if not dead:
        words = "None of them is recorded as dead"
    else:
        words = f"{dead} died: {listed(f'{count} {cause}' for cause, count in one.causes.most_common())}"
    more = [
        f"{astray} missing, which is not dead" if astray else "",
        f"{one.ended['escaped']} escaped" if one.ended["escaped"] else "",
    ]
    return f"{words}{'; ' + '; '.join(part for part in more if part) if any(more) else ''}."


def earlier(nursery, want: Wanted, one: Season, now: int, known: list[int]) -> str:
    """Against the season before, by the same date if this one is running, with the test."""
    before = [year for year in known if year < one.year]
    if not before:
        return "There is no earlier season to compare with."
    last = before[-1]
    if one.year == now:
        other = season(nursery, last, want, same_day(nursery, last, now))
        return f"Season {last} by the same date had {_so_far(other)}. {_tested(one, other)[0]}"
    other = season(nursery, last, want)
    if not (one.adult.known and other.adult.known):
        return ""
    rated = sorted(
        ((f"season {each.year}", each.adult) for each in (one, other)), key=lambda pair: -pair[1].reached / pair[1].known
    )
    return f"Against the season before: {judged(rated, 'reached adult').words}"


def still_open(nursery, want: Wanted, one: Season, still: bool) -> str:
    """What is not over: those alive of the season, and of earlier ones."""
    parts = []
    if one.here:
        stages = listed(stage_count(one.here[stage], stage) for stage in sorted(one.here, key=STAGE_ORDER.get))
        parts.append(f"{one.here.total()} of the season alive ({stages})")
    if still:
        old = sum(count for key, count in nursery.heads() if want.cohort_fits(key.cohort, nursery.ledger)) - one.here.total()
        if old > 0:
            parts.append(f"{old} of earlier seasons alive too")
    astray = one.ended["missing"] + one.ended["counted"]
    if astray:
        parts.append(f"{astray} missing, which may yet be found")
    return f"Still open: {'; '.join(parts)}." if parts else "Nothing of it is open any more."


def _limit(nursery, year: int) -> str:
    from nurserytui.answers.handled import came_in

    limit = nursery.settings.limit
    if limit is None:
        return ""
    total = came_in(nursery, year).total()
    return f"Your limit is {limit} a season: {total} are handled, {max(0, limit - total)} more remain{'' if total <= limit else f', it is passed by {total - limit}'}."
