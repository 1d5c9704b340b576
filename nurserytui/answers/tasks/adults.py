"""Adults that wait: to be released when wings and weather allow, to be fed meanwhile, or to be kept back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from nurserytui.answers.tasks.health import kept_back
from nurserytui.answers.tasks.living import groups, is_look_at, last_fed
from nurserytui.answers.tasks.task import Task, days_of, inside
from nurserytui.answers.wording import day_words, number, stage_count

MOUTHLESS = "Saturniidae"


def adults(nursery, until) -> Iterator[Task]:
    today, held = nursery.now.date(), days_of(nursery, "adults-held")
    back = kept_back(nursery)
    for (cohort, place), stages in groups(nursery).items():
        count = stages.get("adult")
        if not count:
            continue
        since = out_since(nursery, cohort)
        days = (today - since).days
        whose = f"{stage_count(count, 'adult')} of {cohort}{inside(place)}"
        if cohort in back:
            if not seen_held(nursery, cohort, place):
                rule = "tape-result" if back[cohort] == "tested heavy" else "do-not-release"
                yield Task(
                    "hold", cohort, f"Keep {whose} apart and do not release", place, today,
                    f"{back[cohort]}; out since {day_words(since.isoformat(), nursery.now)}", 1, f"checked {cohort}{inside(place)}",
                    every=1, rule=rule, cohorts=(cohort,),
                )  # fmt: skip
        else:
            yield _release(nursery, cohort, place, count, whose, since, days > held)
        yield from _fed(nursery, cohort, place, whose, since, until)


def _release(nursery, cohort: str, place: str, count: int, whose: str, since: date, worn: bool) -> Task:
    today = nursery.now.date()
    from nurserytui.answers.wings import waiting

    ready = [one.at for one in waiting(nursery, (cohort,), "")]
    at = min(ready, default=nursery.now)
    reason = f"out since {day_words(since.isoformat(), nursery.now)}"
    if worn:
        reason += f": held for more than {days_of(nursery, 'adults-held')} days they wear out"
    if at > nursery.now:
        reason += f"; wings hard from {at:%H:%M}{'' if at.date() == today else ' on ' + day_words(at, nursery.now)}"
    return Task(
        "release", cohort, f"Release {whose}: {weather_words(nursery)}", place, max(at.date(), today), reason, 1 if worn else 2,
        f"released {count} {cohort}{inside(place)}", rule="warm-enough", cohorts=(cohort,),
    )  # fmt: skip


def weather_words(nursery) -> str:
    """The limits outdoors in a few words."""
    warm, fair = nursery.knowledge.rule("warm-enough"), nursery.knowledge.rule("weather")
    if nursery.settings.units == "F":
        limits = [f"{number(celsius * 1.8 + 32, 0)} °F" for celsius in (warm.value, warm.high)]
    else:
        limits = [f"{number(celsius)} °C" for celsius in (warm.value, warm.high)]
    return f"dry, calm, above {limits[0]} outdoors (better {limits[1]}), {number(fair.low)} hours of it left"


def out_since(nursery, cohort: str) -> date:
    """The day on which the first of the cohort's adults that are still here came out, or was found: those that follow do not set it anew."""
    out = [entry.event.day for entry in nursery.ledger.entries(cohort, "adult") if entry.left]
    return date.fromisoformat(min(out)) if out else nursery.now.date()


def seen_held(nursery, cohort: str, place: str) -> bool:
    """Whether adults that are kept back were looked at today: one more that came out, or a look for something else, is no such look."""
    told = nursery.ledger.chronicle.on(nursery.now.date().isoformat())
    return any(
        event.what == "checked" and (event.cohort or not event.note) and is_look_at(event, nursery, cohort, place)
        for event in told
    )


def mouthless(nursery, cohort: str) -> bool:
    species = nursery.knowledge.species(nursery.ledger.cohorts[cohort].species)
    return species is not None and species.family == MOUTHLESS


def _fed(nursery, cohort: str, place: str, whose: str, since: date, until) -> Iterator[Task]:
    """Adults held beyond their first day want food every day, but for moths without a mouth."""
    if mouthless(nursery, cohort):
        return
    today = nursery.now.date()
    last = last_fed(nursery, place, (cohort,))
    begin = since + timedelta(days=round(nursery.knowledge.rule("adults-held").low))
    due = max(begin, today, last + timedelta(days=1) if last else begin)
    if due <= until.date():
        food = nursery.knowledge.rule("first-feed")
        label = f"Food for {whose}, if they stay: {number(food.low)}-{number(food.high)} % sugar or honey water on a sponge, or cut fruit"
        reason = f"out since {day_words(since.isoformat(), nursery.now)}; {_since(last, nursery)}, changed daily"
        record = f"fed {place or cohort}"
        yield Task(
            "nectar", cohort, label, place, due, reason, 2, record, every=1, rule="first-feed", brief=whose, cohorts=(cohort,)
        )


def _since(last: date | None, nursery) -> str:
    return f"last fed {day_words(last.isoformat(), nursery.now)}" if last else "no food is recorded for them"
