"""Which sets of animals a line puts side by side: seasons, cohorts, species, hosts, enclosures, stages, or how they came in."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.answers.fates import Fates
from nurserytui.answers.life_sums import Source, added, by_cohort, by_source, in_enclosures
from nurserytui.answers.selection import STAGE_ORDER, Wanted, season_of, seasons_said
from nurserytui.answers.survival import STEPS, in_period, of_seasons, running
from nurserytui.answers.wording import PLURAL, species_label

ASKED_OF = re.compile(
    r"\b(?:which|what|worst|best) (?:of (?:my|the) |my )?(?:cohorts?|batch(?:es)?|groups?|lots?|broods?|species|kinds?|cages?|enclosures?)\b"
)
"""`which lot` of several years: those are compared, not the years."""
EACH = re.compile(
    r"\b(?:by|per|every|each|for all|for every|across|between) (?:my |the |different )?"
    r"(cohort|batch|lot|species|kind|season|year|host|food ?plant|plant|stage|source|origin|enclosure|cage|tub|box|jar|container)s?\b"
    r"|\bby (?:where|how) they came\b|\b(?:host|species|season|enclosure|cage|source|stage)(?:wise| by (?:host|species|season|enclosure|cage|source|stage))\b"
)
COMPARE = re.compile(
    r"\b(best|worst|better|worse|which|versus|vs|against|compare\w*|differ\w*|than|(?:most|least|fewest) (?:die|deaths?|losses))\b"
)
BROUGHT = r"(?:wild[- ])?(?:found|collected|brought in|picked|gathered|wild)"
BRED = r"(?:laid here|laid|bred|home[- ]?laid|reared from eggs?|own)"
SOURCE = re.compile(
    rf"\b(?:source|origin)\b|\bby (?:where|how) they came\b|\b(?:found|collected|wild|laid|bought)\b.*\b(?:than|versus|vs|against|or|and|with|to|compared?)\b.*\b(?:found|collected|wild|laid)\b"
    rf"|\b{BROUGHT} (?:as )?(?:eggs?|larva[e]?|caterpillars?|pupa[e]?|ones|animals|cats)\b.*\b(?:than|versus|vs|against|or|compared?)\b.*\b(?:{BROUGHT}|{BRED}|eggs?|larva[e]?)\b"
    rf"|\bfind as (?:an? )?(?:eggs?|larva[e]?|caterpillars?)\b|\bfrom eggs?\b.*\b(?:than|or|vs|against)\b.*\bfound\b"
)
"""Lines about how animals came in: found as eggs, found as larvae, laid here."""
SIDES = {
    "cohort": r"cohorts?|batch(?:es)?|groups?|lots?|broods?",
    "species": r"species|kinds?|butterfly|butterflies|moths?",
    "host": r"hosts?|plants?|food ?plants?",
    "season": r"seasons?|years?|summers?",
    "enclosure": r"cages?|enclosures?|tubs?|box(?:es)?|jars?|tents?|containers?|sleeves?|crates?",
    "stage": r"stages?",
}
"""What is put side by side, and the words for it."""


FOUND_AS = {
    "egg": r"eggs?",
    "larva": r"larva[es]?|caterpillars?|cats",
    "pupa": r"pupa[es]?|chrysal\w+|cocoons?",
    "adult": r"adults?",
}
FOUND = re.compile(
    r"\b(?:wild[- ]?caught|found|collected|brought[- ]in|picked|gathered|wild) (?:as )?(?:an? )?"
    r"(?:(?P<any>animals?|ones|individuals|butterfl\w+|moths?|stock)|"
    + "|".join(f"(?P<{stage}>{words})" for stage, words in FOUND_AS.items())
    + r")\b"
)
"""`found larvae`, `animals found as eggs`: how the animals meant came in."""


def came_said(plain: str) -> tuple[str, str]:
    """(`found`, the stage they were found in or "") where a line narrows to those; () where it does not or sets ways in side by side."""
    if SOURCE.search(plain) or EACH.search(plain) and "source" in plain:
        return ()
    found = FOUND.search(plain)
    if found is None:
        return ("laid", "") if re.search(r"\banimals (?:that were )?laid\b|\blaid (?:here )?animals\b", plain) else ()
    return "found", next((stage for stage in FOUND_AS if found[stage]), "")


def groups_in(request, nursery, want: Wanted) -> list[tuple[str, Wanted]]:
    """The sets of animals that the line puts side by side, each with what narrows the records to it; [] where it compares none."""
    years = seasons_said(request.plain, nursery)
    if len(years) > 1 and ASKED_OF.search(request.plain):
        want = of_seasons(nursery, want, years)
    elif len(years) > 1:
        return [(f"season {year}", of_seasons(nursery, want, (year,))) for year in years]
    narrowed, _ = in_period(request, nursery, want)
    if len(want.cohorts) > 1:
        return [(label, want._replace(cohorts=(label,))) for label in want.cohorts]
    if len(request.species) > 1 and len(want.species) > 1:
        return [(species_label(name, nursery.knowledge), narrowed._replace(species=(name,))) for name in want.species]
    if len(request.hosts) > 1 and len(want.hosts) > 1:
        return [(name, narrowed._replace(hosts=(name,))) for name in want.hosts]
    if len(want.enclosures) > 1 and compares(request):
        return [(place, narrowed._replace(enclosures=(place,))) for place in want.enclosures]
    if not compares(request):
        return []
    named = side(request.plain)
    if named == "season":
        start = nursery.settings.season_start or 1
        began = [season_of(c, start) for label, c in nursery.ledger.cohorts.items() if want.cohort_fits(label, nursery.ledger)]
        return [(f"season {year}", of_seasons(nursery, want, (year,))) for year in sorted(set(began))]
    cohorts = {label: c for label, c in nursery.ledger.cohorts.items() if narrowed.cohort_fits(label, nursery.ledger)}
    if named == "species":
        return [
            (species_label(name, nursery.knowledge), narrowed._replace(species=(name,)))
            for name in dict.fromkeys(c.species for c in cohorts.values())
        ]
    if named == "host":
        return [(name, narrowed._replace(hosts=(name,))) for name in dict.fromkeys(c.host for c in cohorts.values() if c.host)]
    if named == "source":
        found: dict = {}
        for source in by_source(nursery, narrowed, None, "adult"):
            if (came := _came(source)) is not None:
                found[came] = narrowed._replace(came=came)
        return [(_name(came, "source", nursery), found[came]) for came in sorted(found, key=_rank)]
    if named == "enclosure":
        places = {key.enclosure for key in nursery.ledger.heads} | set(nursery.ledger.enclosures)
        return [(place, narrowed._replace(enclosures=(place,))) for place in sorted(places) if place]
    return [(label, narrowed._replace(cohorts=(label,))) for label in cohorts]


def compares(request) -> bool:
    plain = request.plain
    return bool({"each", "compare"} & set(request.cues) or EACH.search(plain) or COMPARE.search(plain) or SOURCE.search(plain))


def side(plain: str) -> str:
    """What a line puts side by side: how they came in, else what it asks `which` or `worst` of or says `by`, else whatever it names;
    `this year` names a period."""
    if SOURCE.search(plain):
        return "source"
    for before in (r"\b(?:which|what|best|worst|by|per|each|every)\s+(?:of (?:my|the) |my |of my )?", r"(?<!this )(?<!last )\b"):
        found = [(match.start(), name) for name, words in SIDES.items() if (match := re.search(rf"{before}(?:{words})\b", plain))]
        if found:
            return min(found)[1]
    return "cohort"


class Set(NamedTuple):
    """One of the sets put side by side."""

    name: str
    fates: Fates
    early: int = 0
    """Animals alive of seasons in which more are alive than have a known fate: of these deaths are known sooner than successes."""
    dead: int = 0
    """Deaths of those seasons, which are counted as all others are."""
    open: bool = False
    """Whether none of its seasons has most of its story behind it, so that it is too early to rank it."""


LOSING = re.compile(r"\b(los(?:e|es|t|s|ses|ing)|die[sd]?|dying|deaths?|mortality|kill\w*|jinx|trap)\b")
ASKED_LOSSES = re.compile(
    r"\b(?:which|what|by|per|each|every)\b (?:of (?:my |the )?)?(?:my )?(?:\w+ )?(?:cages?|enclosures?|tubs?|box(?:es)?|jars?|tents?|containers?|sleeves?|crates?"
    r"|species|kinds?|hosts?|food ?plants?|plants?|cohorts?|batch(?:es)?|lots?|broods?|sources?|origins?)\b"
)


def asks_losses_of_each(plain: str) -> bool:
    """Whether a line asks of which set most are lost (`which cage do most die in`, `losses by host`), not what they are lost to."""
    return bool(LOSING.search(plain) and ASKED_LOSSES.search(plain)) and not re.search(
        r"\b(causes?|why|what from|to what)\b", plain
    )


def rated(request, nursery, want: Wanted, origin: str | None, goal: str, laid_only: bool) -> tuple[str, list[Set]]:
    """(what is put side by side, what became of each set between two stages); ("", []) where the line compares none.

    By enclosure a set are the animals that stood there, and those count as having got through that left it alive.
    """
    years = seasons_said(request.plain, nursery)
    named = len(years) > 1 and not ASKED_OF.search(request.plain)
    several = named or len(want.cohorts) > 1 or len(want.species) > 1 or len(want.hosts) > 1
    narrowed, _ = in_period(request, nursery, want)
    if not several and not compares(request):
        return "", []
    what = "" if several else side(request.plain)
    if len(want.enclosures) > 1 or what == "enclosure":
        places = in_enclosures(nursery, narrowed._replace(stages=(), instar=None, enclosures=()))
        asked = want.enclosures or sorted(places)
        return "enclosure", [Set(place, places[place]) for place in asked if place in places]
    if what == "stage":
        return "stage", [
            _set(f"{first} to {last}", by_source(nursery, narrowed, first, last, laid_only=laid_only), nursery)
            for first, last in STEPS
        ]
    if what not in ("source", "season", "species", "host"):
        if what == "cohort" and len(years) < 2:
            each = by_cohort(nursery, narrowed, origin, goal, laid_only=laid_only)
            return "group", [_set(label, sums, nursery) for label, sums in each.items() if sums]
        groups = groups_in(request, nursery, want)
        sums = [(name, by_source(nursery, group, origin, goal, laid_only=laid_only)) for name, group in groups]
        return "group", [_set(name, found, nursery) for name, found in sums]
    asked = _asked_sources(request) if what == "source" else set()
    meant = want if what == "season" else narrowed
    return what, sets_by(nursery, what, meant, origin, goal, laid_only=laid_only, asked=asked)


def sets_by(
    nursery,
    what: str,
    want: Wanted,
    origin: str | None,
    goal: str,
    *,
    laid_only: bool = False,
    asked: frozenset | set = frozenset(),
) -> list[Set]:
    """What became of the animals meant by `season`, `species`, `host` or `source`; of several sources `asked` for, only those."""
    name = "sets", what, want, origin, goal, laid_only, frozenset(asked), nursery.settings.season_start
    return nursery.until_written(name, lambda: _sets_by(nursery, what, want, origin, goal, laid_only, asked))


def _sets_by(nursery, what: str, want: Wanted, origin: str | None, goal: str, laid_only: bool, asked) -> list[Set]:
    key = _key(what, nursery)
    parts: dict = {}
    for source, fates in by_source(nursery, want, origin, goal, laid_only=laid_only).items():
        name = key(source)
        if name is not None:
            parts.setdefault(name, {})[source] = fates
    if len(asked & set(parts)) > 1:
        parts = {name: sums for name, sums in parts.items() if name in asked}
    order = sorted(parts, key=_rank) if what in ("season", "source") else list(parts)
    return [_set(_name(name, what, nursery), parts[name], nursery) for name in order]


def _set(name: str, sums: dict[Source, Fates], nursery) -> Set:
    """What became of a set: every known fate counts, and those of seasons that have most of their story still to come are told besides."""
    cohorts, start = nursery.ledger.cohorts, nursery.settings.season_start or 1
    seasons: dict[int, list[Fates]] = {}
    for source, fates in sums.items():
        seasons.setdefault(season_of(cohorts[source.cohort], start), []).append(fates)
    totals = [added(parts) for parts in seasons.values()]
    open_now = [one for one in totals if running(one)]
    over = any(one.known and not running(one) for one in totals)
    return Set(name, added(totals), sum(one.censored["alive"] for one in open_now), sum(one.died for one in open_now), not over)


def _key(what: str, nursery):
    cohorts, start = nursery.ledger.cohorts, nursery.settings.season_start or 1
    if what == "season":
        return lambda source: season_of(cohorts[source.cohort], start)
    if what == "species":
        return lambda source: cohorts[source.cohort].species
    if what == "host":
        return lambda source: cohorts[source.cohort].host or None
    return _came


def _came(source: Source) -> tuple[str, str] | None:
    return (source.how, source.stage) if source.how in ("laid", "found") else None


def _asked_sources(request) -> set[tuple[str, str]]:
    """The ways in that the line names: found as the stages it names, and laid here."""
    named = {("found", stage) for stage in request.stages} if re.search(BROUGHT, request.plain) else set()
    laid = {("laid", "egg")} if re.search(r"\b(laid|bred|layings?)\b", request.plain) else set()
    if laid and not re.search(rf"{BROUGHT} (?:as )?eggs?", request.plain):
        named.discard(("found", "egg"))
    return named | laid


def _rank(name):
    return name if isinstance(name, int) else (name[0] == "found", STAGE_ORDER.get(name[1], 9))


def _name(name, what: str, nursery) -> str:
    if what == "season":
        return f"season {name}"
    if what == "species":
        return species_label(name, nursery.knowledge)
    if what == "source":
        return "eggs laid here" if name == ("laid", "egg") else f"{name[0]} {PLURAL.get(name[1], name[1])}"
    return name
