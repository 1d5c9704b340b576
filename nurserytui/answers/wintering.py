"""Will it rest over winter, in which stage, and how to keep it."""

from __future__ import annotations

import re
from datetime import date, timedelta

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.cards import WINTERS
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, day_words, listed, number, percent, sentence, species_label

TOPIC = "overwintering"
LATITUDE = re.compile(
    r"(\d{1,2}(?:\.\d+)?)\s*(?:°|degrees?|deg)?\s*(north|south|n|s)\b|latitude\s*(?:of|is|=)?\s*(-?\d{1,2}(?:\.\d+)?)"
)
STAGE_WORD = re.compile(r"\b(chrysali\w*|pupa\w*|cocoons?)\b")
CHANCE = re.compile(r"\b(will|going to|diapaus\w*|probab\w*|chance|likely|day.?length|daylight|photoperiod|critical)\b")
LENGTH = re.compile(r"\b(day.?length|daylight|photoperiod|hours of (light|day)|critical)\b")
PAST_LIMIT = 0.95
"""Share of resting pupae well below the critical day length; as many do not rest well above it."""


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
        cohort = nursery.ledger.cohorts.get(label)
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
    light, day, working = light_of(text, request, nursery)
    chance, chance_words, more = chance_of(species, light, day, request, nursery)
    working += more
    lines = [first_line(species, label, text, request)]
    switch = day_length_lines(species) if len(names) == 1 else []
    if LENGTH.search(text):
        lines = [*switch, *lines]
    if chance_words and not LENGTH.search(text) and (CHANCE.search(text) or request.cohorts):
        lines.insert(0, chance_words)
    elif chance_words:
        lines.append(chance_words)
    lines += switch
    if species.wintering and len(names) == 1:
        lines.append(sentence(species.wintering.text))
    rules = []
    if species.winters_as not in ("migrates", "none", ""):
        rules = keeping_rules(text, species.winters_as, knowledge)
        lines += lines_of(rules, 6)
    ids = [source for note in (species.wintering, species.day_length_note) if note for source in note.sources]
    ids += sources_of(rules[:6])
    own = (OWN_RECORDS,) if request.cohorts else ()
    about = {"species": names[0]} if len(names) == 1 else {}
    if request.cohorts:
        about["cohort"] = request.cohorts[0]
    name = naming.spoken(names[0], knowledge)
    return Answer(
        "answered",
        TOPIC,
        "\n".join(dict.fromkeys(line for line in lines if line)),
        about=about,
        values={"daylength": light, "probability": chance},
        working=tuple(working),
        sources=(*cite(knowledge, ids), *own),
        cautions=cautions_for(species.winters_as),
        next=(
            f"Tell me about the {name}",
            f"How long is the pupa stage of the {name} at 20 C?",
            "How do I keep pupae over the winter?",
        ),
    )


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
    subject = f"{label[:1].upper()}{label[1:]}"
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


def light_of(text: str, request, nursery) -> tuple[Value, date, list[str]]:
    """Hours of daylight at the keeper's latitude (or one said in the line), the day meant, and the step."""
    found = LATITUDE.search(text)
    latitude = nursery.settings.latitude
    if found:
        latitude = float(found.group(1) or found.group(3)) * (-1 if found.group(2) in ("south", "s") else 1)
    day = day_meant(request, nursery)
    if latitude is None or not -90 <= latitude <= 90:
        return Value(None, "hour", reason="no latitude is set; say “my latitude is 42” or name one"), day, []
    from nurserytui.biology import day_length

    hours = day_length(latitude, day)
    return (
        Value(round(hours, 2), "hour"),
        day,
        [f"Day length at latitude {number(latitude)}° on {day.isoformat()} is {hours:.2f} h."],
    )


def day_meant(request, nursery) -> date:
    """The day said, or when the last larvae of the cohort fed, or today."""
    if request.period:
        return request.period.start.date()
    for label in request.cohorts:
        days = [event.day for event in nursery.events if event.cohort == label and event.what in ("pupated", "prepupated")]
        if days:
            return date.fromisoformat(max(days)) - timedelta(days=4)
    return nursery.now.date()


def chance_of(species, light: Value, day: date, request, nursery) -> tuple[Value, str, list[str]]:
    """The probability of a resting pupa, the sentence for it, and the steps."""
    if species.winters_as in ("migrates", "none", "adult", "egg", "larva"):
        if species.winters_as in ("egg", "larva"):
            reason = f"it rests as {'an egg' if species.winters_as == 'egg' else 'a larva'}, and no critical day length for that is on record"
            return Value(None, reason=reason), "", []
        return (
            Value(0.03, low=0.0, high=0.1),
            "",
            [f"Species that winter {WINTERS[species.winters_as]} have no resting pupa: taken as 3 %."],
        )
    if not species.winters_as:
        return Value(None, reason="its wintering is not on record"), "", []
    if not species.critical_day_length:
        return Value(None, reason="no critical day length has been published for it"), "", []
    if light.value is None:
        return Value(None, reason=light.reason), "", []
    if warming(day, nursery):
        note = "days are still growing longer"
    else:
        note = ""
    low, high = species.critical_day_length
    hours = light.value
    width = max(high - low, 0.5)
    share = min(PAST_LIMIT, max(1 - PAST_LIMIT, (high + 0.25 - hours) / (width + 0.5)))
    bounds = Value(round(share, 2), low=round(max(0.0, share - 0.25), 2), high=round(min(1.0, share + 0.25), 2), level=0.9)
    step = f"{number(hours, 2)} h against {number(low, 2)}-{number(high, 2)} h: from 95 % below it to 5 % above it, in a straight line between."
    state = "shorter than" if hours < low else "longer than" if hours > high else "within"
    words = (
        f"About {percent(share)} will rest as pupae if the larvae feed around {day_words(day, nursery.now)}: {number(hours, 1)} h of daylight is {state} the "
        f"{number(low, 1)}-{number(high, 1)} h at which they switch{f' ({note})' if note else ''}."
    )
    return (
        bounds,
        words,
        [step, "The switch is set in the larva; twilight counts for half an hour to an hour, and populations differ."],
    )


def warming(day: date, nursery) -> bool:
    south = (nursery.settings.latitude or 1) < 0
    return (day.month < 6) != south


def keeping_rules(text: str, stage: str, knowledge):
    told = STAGE_WORD.sub(" ", text)
    picked = pick(knowledge, (TOPIC,), told, (stage,))
    rest = [rule for rule in knowledge.rules(TOPIC) if rule not in picked]
    return picked[:6] if len(picked) >= 3 else picked + rest[: 5 - len(picked)]


def keeping_only(text: str, request, nursery) -> Answer:
    """General storage advice where no species is named."""
    knowledge = nursery.knowledge
    rules = keeping_rules(text, next(iter(request.stages), "pupa"), knowledge)
    light, _, working = light_of(text, request, nursery)
    lines = lines_of(rules, 6) or [
        "Keep resting pupae cold, out of rain, sun and the reach of mice, and look up first in which stage the species winters."
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
