"""How many got from one stage to another, with the interval their number allows, and what the others died of."""

from __future__ import annotations

import re
from collections import Counter

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.fates import Fates, asks_whether_all, cause_items, cause_of, censored_words
from nurserytui.answers.life_sums import by_cohort, by_source, total
from nurserytui.answers.selection import (
    STAGE_ORDER,
    Wanted,
    about_words,
    is_whole_year,
    join,
    last_day,
    of_season,
    seasons_said,
    shortened,
    trouble,
    wanted,
    whose_words,
    within,
)
from nurserytui.answers.wording import OWN_RECORDS, counted, day_words, listed, number, species_label, stage_count

TOPIC = "survival"
LEVEL = 0.95
STEPS = (("egg", "larva"), ("larva", "pupa"), ("pupa", "adult"))


def survival(request, nursery) -> Answer:
    """The share that reached a stage, or the losses and their causes; `rate` is a fraction with its 95 % Wilson interval."""
    stopped = trouble(request, nursery, TOPIC)
    if stopped:
        return stopped
    from nurserytui.answers.comparing import came_said

    want = wanted(request, nursery)._replace(came=came_said(request.plain))
    from nurserytui.answers.season_summary import against, asks_against, asks_summary, summary

    if asks_against(request, nursery):
        return against(request, nursery, want)
    if asks_summary(request):
        return summary(request, nursery, want)
    from nurserytui.answers.living import asks_how_long

    if asks_how_long(request.plain):
        from nurserytui.answers.comparing import groups_in
        from nurserytui.answers.living import how_long

        return how_long(request, nursery, want, groups_in(request, nursery, want))
    from nurserytui.answers.comparing import asks_losses_of_each

    if _asks_losses(request) and not asks_losses_of_each(request.plain):
        from nurserytui.answers.losses import losses

        return losses(request, nursery, want)
    from nurserytui.answers.side_by_side import compare

    if asks_whether_all(request.plain, ("emerged",)) and want.cohorts:
        return _rate(request, nursery, want)
    return compare(request, nursery, want) or _rate(request, nursery, want)


def _asks_losses(request) -> bool:
    plain = request.plain
    if _asks_mortality(plain):
        return False
    if re.search(r"\b(surviv\w*|hatch\w*|made it|success\w*)\b", plain) and not re.search(
        r"\b(causes?|kill\w*|why|what from)\b", plain
    ):
        return False
    return (
        "cause" in request.cues
        or bool(request.agents)
        or bool(
            re.search(
                r"\b(causes?|kill\w*|losses|lost|lose|loss|deaths?|dead|died|die|dying|mortality|took|take|taken|what from)\b",
                plain,
            )
        )
        or _asks_by_cause(plain)
        or bool(re.search(r"\b(?:what|anything|something) (?:got|get|gets|getting)\b", plain))
    )


def _asks_by_cause(plain: str) -> bool:
    """`how many drowned`: the cause stands for the death."""
    from nurserytui.answers.agents import others_said

    return bool(re.search(r"\bhow many\b|\bany\b", plain)) and bool(others_said(plain))


def _asks_mortality(plain: str) -> bool:
    """Whether the share that died is asked for, not the deaths themselves."""
    return bool(
        re.search(r"\bmortality\b|\b(death|loss) rate\b|\b(share|percent\w*|proportion|%) .*\b(died|dead|lost|dying)\b", plain)
    )


# Rates --------------------------------------------------------------------------------------------------------------------


REACHING = re.compile(
    r"\b(?:to|reach\w*|made it to|got to|become|became|into|turn\w*|as far as|past)\s+(?:(?:an?|the|be|being|their|its) )*[\w-]+(?: (?:stages?|phase|point))?"
    r"(?: (?:so far|by now|yet|alive|altogether|overall|in all|at all|in the end|in (?:19|20)\d\d|(?:this|last|that) (?:year|season|summer|spring|autumn)))*[^a-z]*$"
)
"""A stage that the animals get to, at the end of the question: how many came so far, whatever they were found as."""


def stage_pair(request) -> tuple[str | None, str]:
    """From which stage to which the line asks: (None, `adult`) is from whatever stage they came in to adult."""
    plain, stages = request.plain, list(request.stages)
    if re.search(r"\bhatch\w*\b", plain) and "adult" not in stages and "pupa" not in stages:
        return "egg", "larva"
    if re.search(r"\b(emergence|eclosion|emerge[sd]?|eclos\w*|c[oa]me out)\b", plain) and not {"egg", "larva"} & set(stages):
        return "pupa", "adult"
    if re.search(r"\bpupat\w*\b", plain) and "adult" not in stages:
        return ("egg" if "egg" in stages else "larva"), "pupa"
    ordered = sorted(set(stages), key=STAGE_ORDER.get)
    if len(ordered) >= 2:
        return ordered[0], ordered[-1]
    if not ordered:
        return None, "adult"
    only = ordered[0]
    if only == "adult":
        return None, "adult"
    if only != "egg" and REACHING.search(plain):
        return None, only
    if re.search(r"\b(make|made|get|got) it\b|\badult|\bbutterfl|\bmoths?\b|\bfl(?:y|ies|ying|ew|own)\b", plain):
        return only, "adult"
    return only, {"egg": "larva", "larva": "pupa", "prepupa": "pupa", "pupa": "adult"}[only]


def of_seasons(nursery, want: Wanted, years) -> Wanted:
    """Narrowed to the cohorts of some seasons."""
    from nurserytui.answers.life_sums import cohorts_meant

    fits, seasons = cohorts_meant(nursery, want), of_season(nursery)
    labels = [label for year in sorted(years) for label in seasons.get(year, ()) if fits(label)]
    return want._replace(cohorts=tuple(labels) or ("",))


def in_period(request, nursery, want: Wanted) -> tuple[Wanted, str]:
    """The cohorts of the period asked about, and its words. A year is a season; another period is the cohorts that began in it."""
    period = request.period
    if want.cohorts and len(want.cohorts) == 1:
        return want, ""
    if period is None:
        years = seasons_said(request.plain, nursery)
        if len(years) == 1:
            return of_seasons(nursery, want, years), f" in season {years[0]}"
        return want, ""
    if is_whole_year(period, nursery.now):
        return of_seasons(nursery, want, (period.start.year,)), f" in season {period.start.year}"
    labels = [
        label
        for label, cohort in nursery.ledger.cohorts.items()
        if want.cohort_fits(label, nursery.ledger)
        and period.start.date().isoformat() <= str(cohort.first_when)[:10] <= last_day(period).isoformat()
    ]
    words = f" begun from {day_words(period.start, nursery.now)} to {day_words(str(last_day(period)), nursery.now)}"
    return want._replace(cohorts=tuple(labels) or ("",)), words


def _rate(request, nursery, want: Wanted) -> Answer:
    origin, goal = stage_pair(request)
    if want.enclosures and not (want.animals or want.came) and origin is None:
        return _in_place(request, nursery, want)
    narrowed, period = in_period(request, nursery, want)
    laid_only = origin == "egg" and bool(re.search(r"\blaid\b", request.plain))
    fates = total(by_source(nursery, narrowed, origin, goal, laid_only=laid_only))
    whose = whose_words(nursery, want)
    if not fates.start:
        first = f"No animals of {whose}{period} that could have gone from {origin or 'their first stage'} to {goal} are in the records."
        return Answer("unknown", TOPIC, first, next=("causes of death", "headcount"), sources=(OWN_RECORDS,))
    values = values_of(fates)
    if _asks_mortality(request.plain):
        values["rate"], sentence = _mortality(fates, origin, f"{whose}{period}")
        values["n"] = Value(fates.start, "animals")
        lines = [
            sentence,
            f"Of those with a known fate: {_rate_sentence(fates, origin, goal, whose)}"
            if fates.known and not running(fates)
            else "",
        ]
    else:
        lines = [
            f"{_whether_all(request, fates)}{_rate_sentence(fates, origin, goal, f'{whose}{period}')}",
            _left_out(fates, goal),
        ]
    lines += _steps(nursery, narrowed, origin, goal)
    lines.append(_causes_line(fates))
    per_cohort = _by_cohort(nursery, narrowed, origin, goal, laid_only)
    if len(per_cohort) > 1:
        lines += ["By cohort:", *shortened([f"- {item['label']}" for item in per_cohort])]
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about=about_words(nursery, want, origin or goal),
        values=values,
        items=tuple(per_cohort) if len(per_cohort) > 1 else cause_items(fates.causes),
        working=_working(fates, origin, goal),
        sources=(OWN_RECORDS,),
        next=next_of(want),
    )


def _whether_all(request, fates: Fates) -> str:
    """The plain answer to whether all of them did, before the numbers."""
    if not asks_whether_all(request.plain, ("emerged",)):
        return ""
    if fates.reached == fates.start:
        return "Yes, all: "
    return "Not all, so far: " if fates.censored["alive"] else "No, not all: "


def percent(share: float) -> str:
    return f"{number(share * 100, 0 if 0.1 < share < 0.9 else 1)} %"


def wilson_of(k: int, n: int) -> tuple[float, float]:
    from nurserytui.biology import wilson

    return wilson(k, n, LEVEL)


def _origin_words(fates: Fates, origin: str | None) -> str:
    return stage_count(fates.known, origin) if origin else counted(fates.known, "animal")


def _rate_sentence(fates: Fates, origin: str | None, goal: str, whose: str) -> str:
    """`9 of 12 eggs of parsley (75 %, 95 % interval 47-91 %) reached adult.`"""
    if not fates.known:
        return f"No rate yet for {whose}: {censored_words(fates.censored, goal)}, and no fate is known."
    low, high = wilson_of(fates.reached, fates.known)
    known = " with a known fate" if fates.censored else ""
    return (
        f"{fates.reached} of {_origin_words(fates, origin)}{known} of {whose} ({percent(fates.reached / fates.known)}, "
        f"95 % interval {span(low, high)}) {'hatched' if (origin, goal) == ('egg', 'larva') else f'reached {goal}'}."
    )


def _mortality(fates: Fates, origin: str | None, whose: str) -> tuple[Value, str]:
    """The share of those that started that has died so far, as a value and a sentence."""
    low, high = wilson_of(fates.died, fates.start)
    share = fates.died / fates.start
    so_far = " so far" if fates.censored["alive"] else ""
    animals = stage_count(fates.start, origin) if origin else counted(fates.start, "animal")
    words = f"{fates.died} of {animals} of {whose} died{so_far} ({percent(share)}, 95 % interval {span(low, high)})."
    return Value(round(share, 4), "fraction", round(low, 4), round(high, 4), LEVEL), words


def span(low: float, high: float) -> str:
    return f"{number(low * 100, 0)}-{number(high * 100, 0)} %"


def _left_out(fates: Fates, goal: str) -> str:
    if not fates.censored or not fates.known:
        return ""
    words = censored_words(fates.censored, goal)
    best = (fates.reached + fates.censored.total()) / fates.start
    early = " Too early to judge: more are alive than have a known fate." if running(fates) else ""
    bounds = f"all told it must lie between {percent(fates.reached / fates.start)} and {percent(best)}"
    return f"Of {fates.start} in all, {fates.reached} got there so far; left out of the rate: {words}; {bounds}.{early}"


def running(fates: Fates) -> bool:
    """Whether most of the story is still to come: deaths show sooner than adults do, so the rate so far says little."""
    return fates.censored["alive"] > fates.known


def _steps(nursery, want: Wanted, origin: str | None, goal: str) -> list[str]:
    """Stage by stage, when the span asked about holds more than one stage."""
    first = STAGE_ORDER[origin] if origin else 0
    inside = [(a, b) for a, b in STEPS if STAGE_ORDER[a] >= first and STAGE_ORDER[b] <= STAGE_ORDER[goal]]
    if len(inside) < 2:
        return []
    words = []
    for start, end in inside:
        fates = total(by_source(nursery, want, start, end))
        if fates.known:
            words.append(f"{start} to {end} {fates.reached} of {fates.known} ({percent(fates.reached / fates.known)})")
    return [f"Stage by stage: {'; '.join(words)}."] if len(words) > 1 else []


def _causes_line(fates: Fates) -> str:
    if not fates.causes:
        return ""
    return f"Died: {listed(f'{count} {cause}' for cause, count in fates.causes.most_common())}."


def values_of(fates: Fates) -> dict[str, Value]:
    if not fates.known:
        return {
            "rate": Value(None, "fraction", reason="no fate is known yet"),
            "n": Value(0, "animals"),
            "started": Value(fates.start, "animals"),
        }
    low, high = wilson_of(fates.reached, fates.known)
    return {
        "rate": Value(round(fates.reached / fates.known, 4), "fraction", round(low, 4), round(high, 4), LEVEL),
        "n": Value(fates.known, "animals"),
        "reached": Value(fates.reached, "animals"),
        "died": Value(fates.died, "animals"),
        "started": Value(fates.start, "animals"),
    }


def _working(fates: Fates, origin: str | None, goal: str) -> tuple[str, ...]:
    start = origin or "whatever stage they came in"
    steps = [f"{fates.start} animals started from {start}: {fates.reached} reached {goal}, {fates.died} died before."]
    if fates.censored:
        steps.append(f"Fate not known, so not counted either way: {censored_words(fates.censored, goal)}.")
        best = (fates.reached + fates.censored.total()) / fates.start
        steps.append(f"If all those died the rate would be {percent(fates.reached / fates.start)}, if all lived {percent(best)}.")
    if fates.known:
        low, high = wilson_of(fates.reached, fates.known)
        steps.append(
            f"Rate {fates.reached} / {fates.known} = {number(fates.reached / fates.known, 3)}; Wilson interval at 95 % "
            f"{number(low, 3)} to {number(high, 3)}."
        )
    return tuple(steps)


def _by_cohort(nursery, want: Wanted, origin, goal, laid_only=False) -> list[dict]:
    """The rate of each cohort of the set, in the order they began."""
    items = []
    for label, sums in by_cohort(nursery, want, origin, goal, laid_only=laid_only).items():
        fates = total(sums)
        if fates.start:
            species = nursery.ledger.cohorts[label].species
            items.append(rate_item(fates, label, f"{label}, {species_label(species, nursery.knowledge)}", goal))
    return items


def rate_item(fates: Fates, name: str, label: str, goal: str) -> dict:
    item: dict = {"name": name, "n": fates.known, "reached": fates.reached, "died": fates.died, "started": fates.start}
    if fates.known:
        low, high = wilson_of(fates.reached, fates.known)
        item |= {"rate": round(fates.reached / fates.known, 4), "low": round(low, 4), "high": round(high, 4)}
        label = f"{label}: {fates.reached} of {fates.known} ({percent(fates.reached / fates.known)}, {span(low, high)})"
    else:
        label = f"{label}: no fate known yet"
    if fates.censored:
        item["censored"] = fates.censored.total()
        label += f"; {censored_words(fates.censored, goal)}"
    item["label"] = label
    return item


def _in_place(request, nursery, want: Wanted) -> Answer:
    """Survival while in an enclosure: of the animals that were ever there, how many did not die there."""
    ledger = nursery.ledger
    place = listed(want.enclosures)
    came = died = left = 0
    causes: Counter = Counter()
    for posting in ledger.chronicle.touching(want.enclosures[0]) if len(want.enclosures) == 1 else ledger.postings:
        if not within(posting.event, request.period):
            continue
        was = posting.source is not None and posting.source.enclosure in want.enclosures
        now = posting.target is not None and posting.target.enclosure in want.enclosures
        if now and not was:
            came += posting.count
        elif was and not now:
            if posting.target is None and posting.event.what == "died":
                died += posting.count
                causes[cause_of(posting.event)] += posting.count
            elif posting.target is not None or posting.event.what in ("released", "given"):
                left += posting.count
    fates = Fates(came, left, died, Counter({"there": max(0, came - left - died)}), causes)
    if not fates.known:
        text = f"No rate for {place}: of {counted(came, 'animal')} that came in, none has left it alive or died there."
        return Answer("unknown", TOPIC, text, sources=(OWN_RECORDS,), next=(f"what is in {place}",))
    low, high = wilson_of(left, fates.known)
    lines = [
        f"{left} of {counted(fates.known, 'animal')} ({percent(left / fates.known)}, 95 % interval {span(low, high)}) left {place} alive; "
        f"{died} died there.",
        f"Left out: {fates.censored['there']} still there, escaped or missing." if fates.censored["there"] else "",
        _causes_line(fates),
    ]
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about={"enclosure": want.enclosures[0]} if len(want.enclosures) == 1 else {},
        values=values_of(fates),
        items=cause_items(causes),
        working=(f"{came} animals came into {place}; {left} were moved on, released or given away from it, {died} died in it.",),
        sources=(OWN_RECORDS,),
        next=(f"losses in {place}", f"history of {place}"),
    )


def next_of(want: Wanted) -> tuple[str, ...]:
    if len(want.cohorts) == 1:
        return (f"history of {want.cohorts[0]}", f"what killed {want.cohorts[0]}", "survival by season")
    return ("survival by species", "causes of death this year", "survival by season")
