"""Survival of several sets of animals side by side, and whether the difference could be chance."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer
from nurserytui.answers.fates import Fates, between
from nurserytui.answers.odds import fisher
from nurserytui.answers.selection import Wanted, about_words, join, known_enclosures, season_of, shortened, years_said
from nurserytui.answers.survival import TOPIC, in_period, of_seasons, percent, rate_item, running, stage_pair, values_of
from nurserytui.answers.wording import OWN_RECORDS, capital, species_label

FEW = 5
"""Fewer animals of known fate than this say next to nothing."""


ASKED_OF = re.compile(
    r"\b(?:which|what|worst|best) (?:of (?:my|the) |my )?(?:cohorts?|batch(?:es)?|groups?|lots?|broods?|species|kinds?|cages?|enclosures?)\b"
)
"""`which lot` of several years: those are compared, not the years."""


def groups_in(request, nursery, want: Wanted) -> list[tuple[str, Wanted]]:
    """The sets of animals that the line puts side by side: seasons, cohorts, species, enclosures or hosts."""
    years = years_said(request.plain, nursery.now)
    if len(years) > 1 and ASKED_OF.search(request.plain):
        want = of_seasons(nursery, want, years)
    elif len(years) > 1:
        return [(f"season {year}", of_seasons(nursery, want, (year,))) for year in years]
    narrowed, _ = in_period(request, nursery, want)
    if len(want.cohorts) > 1:
        return [(label, want._replace(cohorts=(label,))) for label in want.cohorts]
    if len(request.species) > 1 and len(want.species) > 1:
        return [(species_label(name, nursery.knowledge), narrowed._replace(species=(name,))) for name in want.species]
    each = "each" in request.cues or re.search(r"\b(by|per|every) (cohort|species|season|year|host|plant|stage)\b", request.plain)
    compare = "compare" in request.cues or re.search(r"\b(best|worst|better|worse|which)\b", request.plain)
    if not (each or compare):
        return []
    side = _side(request.plain)
    if side == "season":
        start = nursery.settings.season_start or 1
        began = [season_of(c, start) for label, c in nursery.ledger.cohorts.items() if want.cohort_fits(label, nursery.ledger)]
        return [(f"season {year}", of_seasons(nursery, want, (year,))) for year in sorted(set(began))]
    cohorts = {label: c for label, c in nursery.ledger.cohorts.items() if narrowed.cohort_fits(label, nursery.ledger)}
    if side == "species":
        return [
            (species_label(name, nursery.knowledge), narrowed._replace(species=(name,)))
            for name in dict.fromkeys(c.species for c in cohorts.values())
        ]
    if side == "host":
        return [(name, narrowed._replace(hosts=(name,))) for name in dict.fromkeys(c.host for c in cohorts.values() if c.host)]
    if side == "enclosure":
        return [(place, narrowed._replace(enclosures=(place,))) for place in sorted(known_enclosures(nursery))]
    return [(label, narrowed._replace(cohorts=(label,))) for label in cohorts]


SIDES = {
    "cohort": r"cohorts?|batch(?:es)?|groups?|lots?|broods?",
    "species": r"species|kinds?|butterfly|butterflies|moths?",
    "host": r"hosts?|plants?|foodplants?",
    "season": r"seasons?|years?|summers?",
    "enclosure": r"cages?|enclosures?|tubs?|box(?:es)?|jars?|tents?",
}
"""What is put side by side, and the words for it."""


def _side(plain: str) -> str:
    """What a line puts side by side: what it asks `which` or `worst` of, else whatever it names; `this year` names a period."""
    for before in (r"\b(?:which|what|best|worst|by|per|each|every)\s+(?:of (?:my|the) |my )?", r"(?<!this )(?<!last )\b"):
        found = [(match.start(), side) for side, words in SIDES.items() if (match := re.search(rf"{before}(?:{words})\b", plain))]
        if found:
            return min(found)[1]
    return "cohort"


def compare(request, nursery, want: Wanted, groups) -> Answer:
    """Rates side by side; with two groups an exact test says whether the difference could be chance."""
    origin, goal = stage_pair(request)
    laid_only = origin == "egg" and bool(re.search(r"\blaid\b", request.plain))
    rated = [(name, between(nursery, group, origin, goal, laid_only=laid_only)) for name, group in groups]
    told = [(name, fates) for name, fates in rated if fates.known and not running(fates)]
    told = told or [(name, fates) for name, fates in rated if fates.known]
    if not told:
        return Answer(
            "unknown", TOPIC, "No fate is known yet in any of those groups, so no rates can be compared.", sources=(OWN_RECORDS,)
        )
    ranked = sorted(told, key=lambda pair: -pair[1].reached / pair[1].known)
    if re.search(r"\bworst|\bworse\b", request.plain):
        ranked.reverse()
    best, best_fates = ranked[0]
    word = "Worst" if re.search(r"\bworst\b", request.plain) else "Best"
    share = best_fates.reached / best_fates.known
    working = [step for name, fates in told for step in (f"{name}: {fates.reached} of {fates.known} reached {goal}.",)]
    if len(told) == 1:
        first = f"Only {best} can be rated: {best_fates.reached} of {best_fates.known} ({percent(share)}) reached {goal}."
    elif len(told) == 2:
        other, other_fates = ranked[1]
        better = ((best, best_fates), (other, other_fates))
        better = better if share >= other_fates.reached / other_fates.known else better[::-1]
        first, test = _two(*better[0], *better[1], goal)
        working.append(test)
    else:
        first = f"{word} was {best}: {best_fates.reached} of {best_fates.known} ({percent(share)}) reached {goal}; ranked below."
    items = [rate_item(fates, name, name, goal) for name, fates in (*ranked, *(pair for pair in rated if pair not in told))]
    for item in items[len(ranked) :]:
        item["label"] += "; not ranked, too early to judge"
    for rank, item in enumerate(items[: len(ranked)], 1):
        item["rank"] = rank
    return Answer(
        "answered",
        TOPIC,
        join(
            capital(first) if first.startswith("season") else first,
            *shortened([f"- {item['label']}" for item in items]),
        ),
        about=about_words(nursery, want, origin or goal),
        values=values_of(best_fates),
        items=tuple(items),
        working=tuple(working),
        sources=(OWN_RECORDS,),
        next=("causes of death this year", "survival by species"),
    )


def _two(best: str, best_fates: Fates, other: str, other_fates: Fates, goal: str) -> tuple[str, str]:
    """The first line over two groups, and the test as a step of the working."""
    a, n, c, m = best_fates.reached, best_fates.known, other_fates.reached, other_fates.known
    p = fisher(a, n - a, c, m - c)
    rates = f"{a} of {n} ({percent(a / n)}) against {c} of {m} ({percent(c / m)}) reached {goal}"
    test = f"Fisher's exact test on {a}/{n} and {c}/{m}: two-sided p = {p:.3f}."
    if a * m == c * n:
        return f"No difference between {best} and {other}: {rates}.", test
    if min(n, m) < FEW:
        return f"{best} did better than {other}, {rates}, but there are too few to say more.", test
    if p < 0.05:
        return f"{best} did better than {other}: {rates}; hardly chance (p = {p:.3f}).", test
    return (
        f"{best} did better than {other}, {rates}, but so small a difference can well be chance (p = {p:.2f}): too few to say.",
        test,
    )
