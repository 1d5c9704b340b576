"""Survival of several sets of animals as a table: the number, the rate and its interval for each, and what the test says of them."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.comparing import LOSING, asks_losses_of_each, rated
from nurserytui.answers.fates import Fates
from nurserytui.answers.selection import Wanted, about_words, join, seasons_said, shortened
from nurserytui.answers.survival import TOPIC, in_period, percent, rate_item, running, span, stage_pair, values_of, wilson_of
from nurserytui.answers.verdict import CHANCE, FEW, SOON, TOGETHER, judged
from nurserytui.answers.wording import OWN_RECORDS, capital, counted, listed

WORST = re.compile(r"\b(worst|worse|lowest|fewest surviv\w*)\b")
GATE = {"enclosure": "left it alive"}
"""What those did that got through."""


def compare(request, nursery, want: Wanted) -> Answer | None:
    """The rates of the sets that the line puts side by side, best first; None where it compares none."""
    origin, goal = stage_pair(request)
    laid_only = origin == "egg" and bool(re.search(r"\blaid\b", request.plain)) and not re.search(r"\bfound\b", request.plain)
    what, sets = rated(request, nursery, want, *((None, "adult") if _by_way_in(request) else (origin, goal)), laid_only)
    if not what:
        return None
    if _by_way_in(request):
        origin, goal = None, "adult"
    groups = [(one.name, one.fates) for one in sets]
    early = {one.name: (one.early, one.dead) for one in sets if one.early}
    did = GATE.get(what, f"reached {goal}")
    told = [(one.name, one.fates) for one in sets if one.fates.known and (what == "stage" or not one.open)]
    told = told or [(name, fates) for name, fates in groups if fates.known]
    if not told:
        text = "No fate is known yet in any of those groups, so no rates can be compared."
        return Answer("unknown", TOPIC, text, sources=(OWN_RECORDS,), next=("headcount", "survival by species"))
    ranked = sorted(told, key=lambda pair: -pair[1].reached / pair[1].known)
    enough = [pair for pair in ranked if pair[1].known >= FEW]
    small = [pair for pair in ranked if pair[1].known < FEW] if len(enough) > 1 and what != "stage" else []
    losing = asks_losses_of_each(request.plain) or (what == "enclosure" and bool(LOSING.search(request.plain)))
    upside_down = losing or bool(WORST.search(request.plain))
    if upside_down:
        ranked.reverse()
    first, steps, p = _first(what, ranked, groups, did, losing)
    # Where others can be ranked, those too few for it stand behind them.
    ranked = [pair for pair in ranked if pair not in small]
    rows = [*ranked, *small, *(pair for pair in groups if pair not in told)] if what != "stage" else groups
    items = [_item(fates, name, name.rpartition(" ")[2] if what == "stage" else goal, what) for name, fates in rows]
    for item in items:
        if item["name"] in early:
            item["early"], item["early_died"] = early[item["name"]]
            item["label"] += f"; of a season still running {item['early_died']} dead and {item['early']} alive so far"
    if what != "stage":
        for rank, item in enumerate(items[: len(ranked)], 1):
            item["rank"] = rank
        for item in items[len(ranked) :]:
            few = "too few" if item["n"] and item["name"] in {name for name, _ in small} else "too early to judge"
            item["label"] += f"; not ranked, {few}"
    alike = _alike(request, nursery, want, what, told)
    values = values_of(_lowest(told)[1] if what == "stage" else ranked[0][1])
    if p is not None:
        values["p"] = Value(round(p, 4))
    period = "" if len(seasons_said(request.plain, nursery)) > 1 else in_period(request, nursery, want)[1]
    return Answer(
        "answered",
        TOPIC,
        join(
            capital(first),
            f"Counted: the cohorts{period}." if period else "",
            *shortened([f"- {item['label']}" for item in items]),
            *alike[0],
            _all_told(what, groups),
        ),
        about=about_words(nursery, want, origin or goal),
        values=values,
        items=tuple(items),
        working=(
            *(f"{name}: {fates.reached} of {fates.known} {did if what != 'stage' else 'went on'}." for name, fates in told),
            *steps,
            *alike[1],
        ),
        sources=(OWN_RECORDS,),
        cautions=(*_cautions(what), *(SOON if early else ()), *(TOGETHER if p is not None and p < CHANCE else ())),
        next=(
            "causes of death this year",
            "survival by species" if what != "species" else "survival by host",
            "survival by stage" if what != "stage" else "survival by season",
        ),
    )


def _lowest(groups):
    """The stage that the least share gets through, of several such the one with most deaths."""
    return min(groups, key=lambda pair: (pair[1].reached / pair[1].known, -pair[1].died))


def _by_way_in(request) -> bool:
    """Whether animals are compared by how they came in; then a stage named is the one they came in as, not one to reach."""
    from nurserytui.answers.comparing import side

    return side(request.plain) == "source"


def _first(what: str, ranked, groups, did: str, losing: bool) -> tuple[str, tuple[str, ...], float | None]:
    """(the first line, steps of the working, p)"""
    name, fates = ranked[0]
    if what == "stage":
        low, most = _lowest(ranked), max(groups, key=lambda pair: pair[1].died)
        words = f"Fewest get through from {low[0]}: {low[1].reached} of {low[1].known} ({percent(low[1].reached / low[1].known)})"
        if most[0] != low[0] and most[1].died > low[1].died:
            more = f"; most deaths, {most[1].died}, came from {most[0]}"
        else:
            more = f", {low[1].died} died"
        few = f" With only {low[1].known} of known fate that says little." if low[1].known < FEW else ""
        alive = low[1].censored["alive"]
        early = f" {alive} more are alive on that way: too early to judge." if running(low[1]) else ""
        return f"{words}{more}.{few}{early}", (), None
    if len(ranked) == 1:
        few = "Too few to say: only" if fates.known < FEW else "Only"
        only = f"{few} {name} can be rated: {fates.reached} of {fates.known} ({percent(fates.reached / fates.known)}) {did}."
        return only, (), None
    verdict = judged(sorted(ranked, key=lambda pair: -pair[1].reached / pair[1].known), did)
    if not losing:
        return verdict.words, verdict.steps, verdict.p
    most = max(groups, key=lambda pair: pair[1].died)
    worst = next((pair for pair in ranked if pair[1].known >= FEW), ranked[0])
    stood = " that stood there" if what == "enclosure" else ""
    where = "in" if what == "enclosure" else "of"
    words = f"Most died {where} {most[0]}: {most[1].died} of {counted(most[1].start, 'animal')}{stood} ({percent(most[1].died / most[1].start)})."
    if worst[0] != most[0]:
        share = f"{worst[1].died} of {worst[1].known} ({percent(worst[1].died / worst[1].known)})"
        words += f" Of those whose fate is known the largest share died {where} {worst[0]}: {share}."
    return join(words, verdict.words), verdict.steps, verdict.p


def _item(fates: Fates, name: str, goal: str, what: str) -> dict:
    if what != "enclosure":
        return rate_item(fates, name, name, goal)
    item: dict = {"name": name, "n": fates.known, "reached": fates.reached, "died": fates.died, "started": fates.start}
    label = f"{name}: {fates.start} stood there"
    if fates.known:
        low, high = wilson_of(fates.reached, fates.known)
        item |= {"rate": round(fates.reached / fates.known, 4), "low": round(low, 4), "high": round(high, 4)}
        label += f", {fates.died} died, {fates.reached} of {fates.known} left it alive ({percent(fates.reached / fates.known)}, {span(low, high)})"
    rest = fates.censored["there"]
    if rest:
        label += f"; {rest} still there"
    gone = fates.censored.total() - rest
    if gone:
        item["censored"] = fates.censored.total()
        label += f"; {gone} missing or escaped there"
    return item | {"label": label}


def _alike(request, nursery, want: Wanted, what: str, ranked) -> tuple[list[str], tuple[str, ...]]:
    """How those of the ranked sets compare that came in at different stages, from the latest of these on: eggs have more stages ahead."""
    if what != "source" or len(ranked) < 2 or not any("egg" in name for name, _ in ranked):
        return [], ()
    names = {name for name, _ in ranked}
    _, later = rated(request, nursery, want, "larva", "adult", False)
    told = [(one.name, one.fates) for one in later if one.name in names and one.fates.known >= FEW and not one.open]
    if len(told) < 2:
        return [], ()
    verdict = judged(told, "reached adult")
    rates = listed(f"{name} {fates.reached} of {fates.known} ({percent(fates.reached / fates.known)})" for name, fates in told)
    steps = tuple(f"From larva to adult: {step}" for step in verdict.steps)
    return [f"From larva to adult only, which is the same way for all: {rates}.", verdict.words], steps


def _all_told(what: str, groups) -> str:
    left = [fates.censored for _, fates in groups if fates.censored]
    if what != "stage" or not left:
        return ""
    return "Animals of unknown fate in a stage (alive, given away, missing) are left out of its rate."


def _cautions(what: str) -> tuple[str, ...]:
    if what == "source":
        return ("Found animals bring with them what happened outside: parasitised larvae die here of what they caught there.",)
    if what == "enclosure":
        return (
            "Enclosures hold different species and stages for different times, and animals are moved to some because they are ill: the share is no "
            "proof that the enclosure is the cause.",
        )
    if what in ("host", "species", "season"):
        return ("The groups differ in more than that: other species, seasons and cages may be behind a difference.",)
    return ()
