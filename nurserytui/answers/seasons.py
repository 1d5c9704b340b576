"""Whether and when to release, and how animals get through the winter."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.rules import pick, sources_of
from nurserytui.answers.wording import OWN_RECORDS, cite, counted, day_words, listed, stage_count

RELEASE = "release"
HOT = 35.0
"""°C above which a release in full sun is hard on the animal (practice)."""
RAIN = re.compile(r"\b(rain\w*|storm\w*|thunder\w*|wet|pouring|drizzl\w*|wind\w*|gale\w*|hail|snow\w*|frost\w*)\b")
FEED = re.compile(r"\b(feed\w*|food|nectar|sugar|honey|drink\w*|eat)\b")
COLD = re.compile(r"\b(cold|cool|warm|hot|temperature|degrees)\b")
HURT = re.compile(r"\b(crumpled|deformed|crippled|can ?not fly|can'?t fly|won'?t fly|non.?flier|damaged|torn|bent)\b")
NIGHT = re.compile(r"\b(night|dusk|evening|dark|sunset|late in the day)\b")


def release(request, nursery) -> Answer:
    """When the wings are ready, and whether weather, hour and health allow a release. Advice, never a pass mark."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    ready, ready_words = ready_at(request, nursery)
    warm = next((one for one in request.amounts if one.kind == "temperature"), None)
    leads = []
    if warm:
        leads.append(("temperature", temperature_words(warm.celsius, warm.said, knowledge.rule("warm-enough")), "warm-enough"))
    elif COLD.search(text):
        leads.append(("temperature", "", "warm-enough"))
    for name, pattern, words, rule in (
        ("food", FEED, "Sugar or honey water, or cut fruit.", "first-feed"),
        ("weather", RAIN, "Keep it in for now.", "weather"),
        ("health", HURT, "Do not release one that cannot fly.", "do-not-release"),
        ("hour", NIGHT, "Not in the dark: wait for the morning.", "hour"),
    ):
        if pattern.search(text):
            leads.append((name, words, rule))
    wings = ("wings", ready_words, "wings-dry")
    if request.cohorts or not leads:
        leads.insert(0, wings)
    elif not FEED.search(text):
        leads.append(wings)
    reasons = [(name, " ".join(part for part in (words, knowledge.rule(rule).text) if part)) for name, words, rule in leads]
    rules = [knowledge.rule(rule) for _, _, rule in leads]
    rules += [rule for rule in pick(knowledge, (RELEASE,), text) if rule not in rules]
    lines = [words for _, words in reasons]
    if not any(rule.id == "warm-enough" for rule in rules[: len(leads)]) and not FEED.search(text):
        rules.insert(len(leads), knowledge.rule("warm-enough"))
    lines += [rule.text for rule in rules[len(leads) : len(leads) + 3]]
    about = {}
    if request.cohorts:
        about["cohort"] = request.cohorts[0]
    if request.mark:
        about["mark"] = request.mark
    return Answer(
        "answered",
        RELEASE,
        "\n".join(dict.fromkeys(lines)),
        about=about,
        values={"ready_at": ready},
        items=tuple({"name": name, "label": name, "reason": words} for name, words in reasons),
        sources=(*cite(knowledge, sources_of(rules[: len(leads) + 3])), *((OWN_RECORDS,) if ready.value else ())),
        cautions=(
            "Release only native species, where they were found, in their season; rules on releasing differ by place: ask the authority.",
            "These limits come from rearers' pages that do not agree with each other; take them as advice.",
        ),
        next=(
            "What can I feed a butterfly I am holding back?",
            "Is 12 C too cold for release?",
            "Do I need a permit to release butterflies?",
        ),
    )


def temperature_words(warmth: float, said: str, rule) -> str:
    """What a temperature means by the rule's three steps: sluggish below `low`, the usual lowest at `value`, better from `high`."""
    if warmth < rule.low:
        return f"{said} is too cold for release: wait for a warmer hour."
    if warmth < rule.value:
        return f"{said} is on the cold side: wait, unless it is sunny and calm."
    if warmth < rule.high:
        return f"{said} is warm enough on a sunny, calm day."
    if warmth > HOT:
        return f"{said} is very hot: release in the morning or into shade."
    return f"{said} is warm enough."


def ready_at(request, nursery) -> tuple[Value, str]:
    """When the wings of the animals meant are set, and the words for it."""
    if not request.cohorts:
        emerged = sorted((event.when, event.cohort) for event in nursery.events if event.what == "emerged")
        adults = [key for key, _ in nursery.heads(stage="adult")]
        if adults:
            labels = sorted({key.cohort for key in adults})
            latest = max((when for when, cohort in emerged if cohort in labels), default="")
            if latest:
                return when_ready(latest, nursery, f"Adults wait in {listed([f'cohort {label}' for label in labels])}.")
        return Value(None, reason="no adult waits in your records"), ""
    label = request.cohorts[0]
    emerged = [
        event.when
        for event in nursery.events
        if event.what == "emerged" and event.cohort == label and request.mark in ("", event.mark)
    ]
    standing: dict[str, int] = {}
    for key, heads in nursery.heads(cohort=label):
        standing[key.stage] = standing.get(key.stage, 0) + heads
    if not emerged:
        stages = listed([stage_count(heads, stage) for stage, heads in standing.items()]) or "nothing"
        return Value(None, reason="none has emerged yet"), f"None of cohort {label} has emerged yet (there now: {stages})."
    if "adult" not in standing:
        return Value(None, reason="no adult is left"), f"No adult of cohort {label} is left to release."
    return when_ready(
        max(emerged),
        nursery,
        f"{counted(standing['adult'], 'adult')} of cohort {label} wait{'s' if standing['adult'] == 1 else ''}.",
    )


def when_ready(emerged: str, nursery, lead: str) -> tuple[Value, str]:
    if len(emerged) <= 10:
        day = date.fromisoformat(emerged)
        ready = day + timedelta(days=1)
        words = f"{lead} The last emerged on {day_words(day, nursery.now)}, the hour is not known: ready at the latest on {day_words(ready, nursery.now)}."
        return Value(ready.isoformat(), low=day.isoformat(), high=ready.isoformat()), words
    moment = datetime.fromisoformat(emerged)
    dry = nursery.knowledge.rule("wings-dry")
    low, ready, high = (moment + timedelta(hours=hours) for hours in (dry.low, dry.value, dry.high))
    state = "Ready now" if ready <= nursery.now else f"Ready at about {ready:%H:%M} on {day_words(ready, nursery.now)}"
    value = Value(
        ready.isoformat(timespec="minutes"), low=low.isoformat(timespec="minutes"), high=high.isoformat(timespec="minutes")
    )
    return (
        value,
        f"{state}: {lead[:1].lower()}{lead[1:]} The last emerged at {moment:%H:%M} on {day_words(moment, nursery.now)}.",
    )
