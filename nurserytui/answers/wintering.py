"""Will it rest over winter, in which stage, and how to keep it."""

from __future__ import annotations

import re
from datetime import date, timedelta

from nurserytui.answers import naming
from nurserytui.answers.about_species import WINTERS
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.resting import known_at, rest_of, rest_on, turn_known, turn_value
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.selection import last_day, present_label
from nurserytui.answers.sunlight import ASK, NO_LATITUDE, place_of
from nurserytui.answers.waking import ASKS, spring_of
from nurserytui.answers.wording import OWN_RECORDS, ask, capital, cite, listed, number, sentence, species_label
from nurserytui.biology.daylight import day_length

TOPIC = "overwintering"
STAGE_WORD = re.compile(r"\b(chrysali\w*|pupa\w*|cocoons?)\b")
CHANCE = re.compile(r"\b(will|going to|diapaus\w*|probab\w*|chance|likely|day.?length|daylight|photoperiod|critical)\b")
LENGTH = re.compile(r"\b(day.?length|daylight|photoperiod|hours of (light|day)|critical)\b")
LONGEST = timedelta(days=183)
BY_DATE = re.compile(r"\b(when|first|date|from which|which day|start|begin)\b")
ASKS_DAYLIGHT = re.compile(r"\b(hours? of (day)?light|day ?light|day ?length|how long (is|are) (the|a) days?)\b")


def overwintering(request, nursery) -> Answer:
    """Day length against the species' critical day length, the probability of diapause, the stage it winters in, how to keep it."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    names = meant(request, nursery)
    if isinstance(names, Answer):
        return names
    if not names:
        return keeping_only(text, request, nursery)
    kinds = {knowledge.species(name).winters_as for name in names}
    if len(kinds) > 1:
        labels = listed([species_label(name, knowledge) for name in names[:5]], "or")
        options = [f"How does the {naming.spoken(name, knowledge)} winter?" for name in names[:5]]
        return ask(TOPIC, f"That depends on the species: {labels}?", options)
    return of_species(names, text, request, nursery)


def meant(request, nursery) -> tuple[str, ...] | Answer:
    """The species meant, several where the name is ambiguous; empty where the question is general."""
    knowledge = nursery.knowledge
    if request.species:
        settled = naming.settle(request.species[0], request, nursery)
        names = (settled.name,) if settled else naming.species_among(request.species[0].names, knowledge)
        known = tuple(name for name in names if knowledge.species(name))
        return known or naming.no_such_name(request.species[0].said, nursery, TOPIC, "How does the {} winter?")
    for label in request.cohorts:
        cohort = nursery.ledger.cohorts.get(present_label(nursery.ledger, label))
        if cohort and knowledge.species(cohort.species):
            return (cohort.species,)
    if request.unknown_names:
        return naming.no_such_name(request.unknown_names[0], nursery, TOPIC, "How does the {} winter?")
    return ()


def of_species(names: tuple[str, ...], text: str, request, nursery) -> Answer:
    knowledge = nursery.knowledge
    species = knowledge.species(names[0])
    label = listed([species_label(name, knowledge) for name in names[:4]])
    if len(names) > 1:
        label = request.species[0].said
    place = place_of(nursery, text)
    cohort = present_label(nursery.ledger, request.cohorts[0]) if request.cohorts else ""
    rest = rest_of(nursery, cohort, request.mark, place) if cohort in nursery.ledger.cohorts else None
    known = turn_known(knowledge, species, place)
    first, last = days_meant(request, nursery)
    if rest is None:
        rest = rest_on(known_at(knowledge, species, place), place, first, last, nursery.now)
    turn, turn_words = turn_value(known, place, last, nursery.now)
    chance = rest.chance
    working = list(rest.working)
    if species.winters_as in ("migrates", "none", "adult"):
        chance = Value(0.0, low=0.0, high=0.05, level=0.9)
        working.append(f"Species that winter {WINTERS[species.winters_as]} have no resting pupa: taken as 0, at most 5 %.")
    if place and rest.light.value is not None:
        working.insert(
            0, f"Day length at latitude {number(place.latitude)}°: {number(rest.light.value, 2)} h{_span(rest.light)}."
        )
        working += [place.words] if place.words else []
    lines = [first_line(species, label, text, request)]
    switch = day_length_lines(species) if len(names) == 1 else []
    if LENGTH.search(text):
        lines = [*switch, *lines]
    if rest.words and not LENGTH.search(text) and (CHANCE.search(text) or cohort):
        lines.insert(0, rest.words)
    elif rest.words:
        lines.append(rest.words)
    if turn_words and (BY_DATE.search(text) and CHANCE.search(text)) and not cohort:
        lines.insert(0, turn_words)
    elif turn_words:
        lines.append(turn_words)
    if not isinstance(known, Value):
        lines.append(known.words)
        working.append(known.words)
    elif place is None and known.reason == NO_LATITUDE:
        lines.append(ASK)
    lines += switch
    woken: dict[str, Value] = {}
    more: tuple[str, ...] = ()
    if cohort and ASKS.search(text):
        spring, woken, steps, more = spring_of(nursery, cohort, species, request.celsius)
        lines.insert(0, spring)
        working += steps
    if species.wintering and len(names) == 1:
        lines.append(sentence(species.wintering.text))
    rules = []
    if species.winters_as not in ("migrates", "none", ""):
        rules = keeping_rules(text, species.winters_as, knowledge)
        lines += lines_of(rules, 6)
    ids = [
        *more,
        *rest.sources,
        *(source for note in (species.wintering, species.day_length_note) if note for source in note.sources),
    ]
    ids += sources_of(rules[:6])
    own = (OWN_RECORDS,) if cohort else ()
    about = {"species": names[0]} if len(names) == 1 else {}
    if cohort:
        about["cohort"] = cohort
    if request.mark:
        about["mark"] = request.mark
    values = {"daylength": rest.light, "probability": chance, "half_from": turn, **woken}
    if isinstance(known, Value):
        values["critical_day_length"] = Value(None, "hour", reason=known.reason)
    elif known.basis != "always":
        hours = (round(one, 2) for one in known.response[:3])
        values["critical_day_length"] = Value(next(hours), "hour", next(hours), next(hours), 0.9)
    name = naming.spoken(names[0], knowledge)
    return Answer(
        "answered",
        TOPIC,
        "\n".join(dict.fromkeys(line for line in lines if line)),
        about=about,
        values=values,
        working=tuple(dict.fromkeys(working)),
        sources=(*cite(knowledge, ids), *own),
        cautions=cautions_for(species.winters_as),
        next=(
            f"When will the winter pupae of {cohort} emerge?" if cohort else f"Tell me about the {name}",
            f"How long is the pupa stage of the {name} at 20 C?",
            "How do I keep pupae over the winter?",
        ),
    )


def _span(light: Value) -> str:
    return "" if light.low is None else f" in the mean, {number(light.low, 2)} to {number(light.high, 2)} h"


def day_length_lines(species) -> list[str]:
    """The critical day length on record, and by latitude where that is known."""
    lines = []
    if species.critical_day_length:
        low, high = species.critical_day_length
        span = (
            f"about {number(low, 2)} h" if low == high else f"{number(low, 2)}-{number(high, 2)} h across published populations"
        )
        lines.append(
            f"Larvae of {species.common[0] if species.common else species.scientific} that grow in days shorter than {span} become resting pupae."
        )
    if species.day_length_note:
        lines.append(sentence(species.day_length_note.text))
    return lines


def first_line(species, label: str, text: str, request) -> str:
    """The stage it winters in; yes or no first where the line names a stage."""
    if not species.winters_as:
        return f"It is not on record in which stage {label} winters."
    said = tuple(stage for stage in request.stages if stage in ("egg", "larva", "pupa", "adult"))
    how = WINTERS[species.winters_as]
    asked = re.match(r"^(do|does|is|are|will|can)\b", text)
    subject = f"{capital(label)}"
    if said and asked and species.winters_as in ("migrates", "none"):
        rest = (
            "it migrates and winters as an adult"
            if species.winters_as == "migrates"
            else "it has no resting stage, and needs warmth"
        )
        return f"No: {label} does not winter as a{'n' if said[0][0] in 'ae' else ''} {said[0]}; {rest}."
    if said and asked:
        same = species.winters_as in said
        return f"{'Yes' if same else 'No'}: {label} winters {how}{'' if same else f', not as a {said[0]}'}."
    if species.winters_as == "migrates":
        return f"{subject} does not rest over winter: it migrates and winters as an adult."
    if species.winters_as == "none":
        return f"{subject} has no resting stage for the winter and needs warmth."
    return f"{subject} winters {how}."


def days_meant(request, nursery) -> tuple[date, date]:
    """The days said (of no more than a season), else today."""
    if request.period:
        first, last = request.period.start.date(), last_day(request.period)
        return first, min(max(first, last), first + LONGEST)
    return nursery.now.date(), nursery.now.date()


def keeping_rules(text: str, stage: str, knowledge):
    told = STAGE_WORD.sub(" ", text)
    picked = pick(knowledge, (TOPIC,), told, (stage,))
    rest = [rule for rule in knowledge.rules(TOPIC) if rule not in picked]
    return picked[:6] if len(picked) >= 3 else picked + rest[: 5 - len(picked)]


def keeping_only(text: str, request, nursery) -> Answer:
    """General storage advice where no species is named."""
    knowledge = nursery.knowledge
    rules = keeping_rules(text, next(iter(request.stages), "pupa"), knowledge)
    place = place_of(nursery, text)
    day = days_meant(request, nursery)[0]
    light = Value(None, "hour", reason=NO_LATITUDE)
    working = []
    if place:
        light = Value(round(day_length(place.latitude, day), 2), "hour")
        working.append(f"Day length at latitude {number(place.latitude)}° on {day.isoformat()} is {light.value:.2f} h.")
    lines = lines_of(rules, 6) or [
        "Keep resting pupae cold, out of rain, sun and the reach of mice, and look up first in which stage the species winters."
    ]
    if light.value is not None and ASKS_DAYLIGHT.search(text):
        hours, minutes = divmod(round(light.value * 60), 60)
        lines = [
            f"{hours} h {minutes} min from sunrise to sunset on {day.isoformat()} at latitude {number(place.latitude)}°.",
            *lines,
        ]
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines),
        values={"daylength": light, "probability": Value(None, reason="say which species")},
        working=tuple(working),
        sources=cite(knowledge, sources_of(rules[:6])),
        cautions=cautions_for("pupa"),
        next=("How does the black swallowtail winter?", "Which stage does the mourning cloak winter in?"),
    )


def cautions_for(stage: str) -> tuple[str, ...]:
    if stage in ("migrates", "none"):
        return ("Do not chill it: it has no resting stage and dies in frost.",)
    return (
        "Look up the species first: only the stage that rests may be kept cold, and a home freezer kills it.",
        "A still pupa may live a year or more; do not throw it out because it is late.",
    )
