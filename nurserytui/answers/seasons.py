"""Whether and when to release."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer
from nurserytui.answers.rules import pick, sources_of
from nurserytui.answers.selection import present_label
from nurserytui.answers.sunlight import ASK, place_of
from nurserytui.answers.wings import headline, none_waiting, ready_value, waiting
from nurserytui.answers.wording import OWN_RECORDS, cite, listed

RELEASE = "release"
HOT = 35.0
"""°C above which a release in full sun is hard on the animal (practice)."""
RAIN = re.compile(
    r"\b(rain\w*|storm\w*|thunder\w*|wet|pouring|drizzl\w*|wind\w*|gale\w*|gust\w*|bluster\w*|blow(?:s|ing)|breez\w*|hail|snow\w*|frost\w*)\b"
)
FEED = re.compile(r"\b(feed\w*|nourish\w*|food|nectar|sugar|honey|drink\w*|eat(?:s|ing|en)?|fed|hungry)\b")
COLD = re.compile(r"\b(cold|cool|warm|hot|heat|heatwave|temperature|degrees)\b")
PLACE = re.compile(r"\b(where|near|road|street|park|forest|field|site|spot|miles?)\b")
HURT = re.compile(r"\b(crumpled|deformed|crippled|can ?not fly|can'?t fly|won'?t fly|non.?flier|damaged|bent)\b")
TORN = re.compile(
    r"^(?=.*wing).*\b(torn?|tore|tears?|rip(?:ped)?|shredded|tatter\w*|ragged|chipped|chunk|notch\w*|bite|split|snapped|broken|missing)\b"
)
"""Of a wing that may still carry it."""
TORN_WORDS = "If it flies with the tear, let it go in fair weather: a wing does not heal. If it cannot fly, keep it, with food."
SPORED = re.compile(r"\b(oe|spores?|positive|infected|infection)\b")
NIGHT = re.compile(r"\b(night|dusk|evening|dark|sunset|late in the day)\b")

SEX = re.compile(r"\b(males?|females?|sex|sexes|boys?|girls?)\b")
MOUTHLESS = "Saturniidae"
LATE = re.compile(
    r"\b(october|november|december|january|february|winter|autumn|out of season|so late|this late|late in the (?:year|season))\b"
)
HELD = re.compile(
    r"\b(?:hold|holding|keep|keeping|hang on)\b.*\b(?:days?|nights?|overnight|week|while|long|longer)\b|\bhow long\b.*\b(?:hold|keep|held|kept)\b"
)


def release(request, nursery) -> Answer:
    """When the wings are ready, and whether weather, hour and health allow a release. Advice, never a pass mark."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    labels = tuple(dict.fromkeys(present_label(nursery.ledger, label) for label in request.cohorts))
    groups = waiting(nursery, labels, request.mark)
    values, steps = {}, []
    if groups:
        ready, (ready_words, values, steps) = ready_value(groups), headline(groups, nursery)
    else:
        ready, ready_words = none_waiting(nursery, labels)
    warm = next((one for one in request.amounts if one.kind == "temperature"), None)
    leads = []
    held = ""
    if warm:
        leads.append(("temperature", temperature_words(warm.celsius, warm.said, knowledge.rule("warm-enough")), "warm-enough"))
        held = "cold" if warm.celsius < knowledge.rule("warm-enough").value else ""
    elif COLD.search(text):
        leads.append(("temperature", "", "warm-enough"))
    for name, pattern, words, rule in (
        ("food", FEED, "Sugar or honey water, or cut fruit.", "first-feed"),
        ("weather", RAIN, "Keep it in for now.", "weather"),
        ("health", HURT, "Do not release one that cannot fly.", "do-not-release"),
        ("health", TORN, TORN_WORDS, "do-not-release"),
        ("health", SPORED, "Not one with many spores.", "tape-result"),
        ("hour", NIGHT, "Not in the dark: wait for the morning.", "hour"),
        ("season", LATE, "Only while its kind still flies where you live.", "do-not-release"),
        ("place", PLACE, "", "place"),
        ("sex", SEX, "", "sexes-monarch"),
        ("holding", HELD, "A day or a night in a cool, dim cage does no harm; longer wears it out.", "first-feed"),
    ):
        if pattern.search(text):
            if rule == "first-feed" and mouthless(request, nursery):
                words, rule = "", "silk-moths"
            leads.append((name, words, rule))
            held = held or name
    infected = heavily_infected(nursery, sorted({one.cohort for one in groups}))
    if infected:
        words = f"Do not release {listed([f'cohort {label}' for label in infected])}: tested heavy."
        leads.insert(0, ("health", words, "do-not-release"))
        held = "health"
    wings = ("wings", ready_words, "wings-dry")
    if not leads or (labels and not held):
        leads.insert(0, wings)
    elif labels or not FEED.search(text):
        leads.append(wings)
    reasons = [(name, " ".join(part for part in (words, knowledge.rule(rule).text) if part)) for name, words, rule in leads]
    rules = [knowledge.rule(rule) for _, _, rule in leads]
    rules += [rule for rule in pick(knowledge, (RELEASE,), text) if rule not in rules]
    lines = [words for _, words in reasons]
    if not any(rule.id == "warm-enough" for rule in rules[: len(leads)]) and not FEED.search(text):
        rules.insert(len(leads), knowledge.rule("warm-enough"))
    lines += [rule.text for rule in rules[len(leads) : len(leads) + 3]]
    if groups:
        lines[1:1] = [ASK] if place_of(nursery) is None else [step for step in steps if not step.startswith("Wings")]
    about = {}
    if labels:
        about["cohort"] = labels[0]
    if request.mark:
        about["mark"] = request.mark
    return Answer(
        "answered",
        RELEASE,
        "\n".join(dict.fromkeys(lines)),
        about=about,
        values={"ready_at": ready, **values},
        items=tuple({"name": name, "label": name, "reason": words} for name, words in reasons),
        working=tuple(steps),
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


def mouthless(request, nursery) -> bool:
    """Whether the line is about moths that do not eat as adults."""
    kept = (nursery.ledger.cohorts.get(label) for label in request.cohorts)
    names = [one.names[0] for one in request.species] or [cohort.species for cohort in kept if cohort]
    known = (nursery.knowledge.species(name) for name in names)
    return any(species is not None and species.family == MOUTHLESS for species in known)


def heavily_infected(nursery, labels: list[str]) -> list[str]:
    """Those of the cohorts whose last test was heavy."""
    last = {event.cohort: event.detail for event in nursery.ledger.chronicle.events_of("tested")}
    return [label for label in labels if last.get(label, "").strip().casefold().startswith("heavy")]


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
