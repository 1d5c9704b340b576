"""Talk about the talk: what can be asked, why the last answer came out so, and what to say to a line that was not understood."""

from __future__ import annotations

import re

from rapidfuzz import fuzz, process

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.wording import ask, listed, sentence
from nurserytui.language.places import named, several

PLACE_WORD = re.compile(r"\b(cages?|tubs?|tents?|jars?|sleeves?|box(es)?|enclosures?|pots?|cups?)\b")
COHORT_WORD = re.compile(r"\b(cohorts?|groups?|batch(es)?|label(led)?)\b")
SOON = {"egg": "hatch", "larva": "pupate", "prepupa": "pupate", "pupa": "emerge"}
_NUMBERED = r"(?:number|no\.?|nr|item|#) ?"
FIRST = re.compile(rf"\b(?:first|1st|top|best)\b|{_NUMBERED}(?:one|1)\b")
LATER = tuple(
    rf"\b(?:{words.replace(' ', '|')})\b|{_NUMBERED}(?:{count})\b"
    for words, count in (
        ("second 2nd", "two|2"),
        ("third 3rd", "three|3"),
        ("fourth 4th", "four|4"),
        ("fifth 5th", "five|5"),
        ("sixth 6th", "six|6"),
    )
)
"""How the items of a list are pointed at, from the second on."""
LAST_ONE = re.compile(r"\blast one\b|\bthe (?:last|bottom)$|\blast on the list\b")
SOURCE = re.compile(r"\b(source|sources|where (is|does|do|did)|who says|says who|reference|references|citation)\b")


def examples(nursery, request=None) -> list[tuple[str, str, str]]:
    """(topic, what it answers, a sentence that can be sent) with the names of the request, else the keeper's own where there are some."""
    knowledge = nursery.knowledge
    heads = nursery.heads()
    if request is not None and request.cohorts:
        heads = [head for head in heads if head[0].cohort in request.cohorts] or heads
    cohort = heads[0][0].cohort if heads else ""
    waiting = next(((key.cohort, SOON[key.stage]) for key, _ in heads if key.stage in SOON), None)
    eating = next((key.cohort for key, _ in heads if key.stage in ("egg", "larva")), "")
    kept = naming.key_species(nursery)
    if request is not None and request.species:
        kept = request.species[0].names
    name = naming.spoken(kept[0], knowledge) if kept and knowledge.species(kept[0]) else "monarch"
    pairings = knowledge.pairings_of(kept[0]) if kept else ()
    plant = naming.plant_word(pairings[0].plant, knowledge) if pairings else "milkweed"
    enclosure = next((key.enclosure for key, _ in heads if key.enclosure), "")
    if request is not None:
        plant = naming.plant_word(request.hosts[0].name, knowledge) if request.hosts else plant
        enclosure = request.enclosures[0] if request.enclosures else enclosure
    rows = [
        ("round", "what needs doing", "What needs doing today?"),
        ("headcount", "how many, where and in which stage", "How many animals do I have?"),
        (
            "stage-forecast",
            "when they hatch, pupate or emerge",
            f"When will cohort {waiting[0]} {waiting[1]}?" if waiting else "",
        ),
        ("stage-duration", "how long a stage lasts at a temperature", f"How long is the pupa stage of the {name} at 22 C?"),
        ("hosts-of-species", "what a species eats", f"What do {name} larvae eat?"),
        ("species-on-host", "who eats a plant", f"What eats {plant}?"),
        ("egg-identification", "whose egg it is", f"Whose egg is this: single, pale yellow, round, on {plant}?"),
        ("egg-viability", "whether an egg is alive", f"When should I give up on a {name} egg?"),
        ("cutting-care", "how cut plants keep", f"How long do {plant} cuttings keep?"),
        (
            "food-supply",
            "how much they still eat",
            f"How much plant does cohort {eating} still need?" if eating else "In which instar do they eat the most?",
        ),
        ("density", "how many fit an enclosure", "How many large larvae fit a 10 L tub?"),
        ("dilution", "how to mix a disinfectant", "How much bleach for 2 litres at 5000 ppm from 6 % bleach?"),
        (
            "hygiene",
            "when and how to clean",
            f"When did I last clean {enclosure}?" if enclosure else "How often should I clean out frass?",
        ),
        ("health-sign", "what a sign means", "My caterpillar is limp and dark, what is it?"),
        ("exposure", "who shared air with an enemy", f"Who was exposed to {cohort}?" if cohort else ""),
        ("release", "when to release", "Is 12 C too cold for release?"),
        ("overwintering", "how to bring them through winter", f"How does the {name} winter?"),
        ("history", "what happened when", f"What happened to cohort {cohort}?" if cohort else ""),
        ("survival", "how many came through", "How many survived this season?"),
        ("temperature", "readings and degree-days", "What was the mean temperature this week?"),
        ("convert", "units", "Convert 72 F to C"),
        ("safety", "hazards", "Can I mix bleach and vinegar?"),
        ("law", "permits", "Do I need a permit to release butterflies?"),
        ("record", "writing things down", f"Found 5 {name} eggs on {plant} today"),
        ("undo", "taking the last record back", "Undo"),
    ]
    return [row for row in rows if row[2]]


PAGE = {
    "Every day": ("round", "headcount", "stage-forecast", "history", "survival", "temperature"),
    "Writing down, and taking back": ("record", "undo"),
    "Plants and food": ("hosts-of-species", "species-on-host", "cutting-care", "food-supply", "density"),
    "Eggs, health and release": (
        "egg-identification",
        "egg-viability",
        "health-sign",
        "exposure",
        "stage-duration",
        "release",
        "overwintering",
    ),
    "Cleaning, sums and rules": ("hygiene", "dilution", "convert", "safety", "law"),
}
"""The help page: its parts, and the topics in each."""


def help_topics(request, nursery) -> Answer:
    """What can be asked and told: a page of sentences, each with a number that sends it."""
    if "backups" in request.cues:
        from nurserytui.answers.backups import backups

        return backups(request, nursery)
    if any(cue.startswith("term:") for cue in request.cues):
        from nurserytui.answers.terms import meaning

        return meaning(request, nursery)
    by_topic = {row[0]: row for row in examples(nursery)}
    lines = [
        "Ask about your animals, or tell me what happened; one line each. In a conversation, a number alone asks its question."
    ]
    rows = []
    if not nursery.ledger.cohorts:
        from nurserytui.answers.beginning import steps

        to_do = [("record", step.what, step.example) for step in steps(nursery) if not step.done]
        by_topic.pop("record")
        lines += _part("To begin with", to_do, rows)
    for part, topics in PAGE.items():
        shown = [by_topic[topic] for topic in topics if topic in by_topic]
        if "record" in topics:
            shown[-1:-1] = _records(nursery)
        lines += _part(part, shown, rows)
    lines.append("“Why?” after an answer shows how it was worked out, and “undo” takes the last record back.")
    return Answer(
        "answered",
        "help",
        "\n".join(lines),
        items=tuple({"name": topic, "label": what, "reason": example} for topic, what, example in rows),
        next=tuple(example for _, _, example in rows[:3]),
    )


RECORDS = (
    "{number} of {egg} hatched",
    "{number} of {larva} pupated",
    "{number} of {pupa} emerged",
    "1 of {cohort} died",
    "released all {adult}",
    "fed {enclosure}",
    "cleaned {enclosure}",
)


def _records(nursery) -> list[tuple[str, str, str]]:
    """What is often written down, of animals that are there."""
    from nurserytui.language.said_often import filled

    names: dict[str, str] = {"number": "1"}
    for key, _ in nursery.heads():
        names.setdefault(key.stage, key.cohort)
        names.setdefault("cohort", key.cohort)
        if key.enclosure:
            names.setdefault("enclosure", key.enclosure)
    return [("record", "writing things down", sentence) for sentence in filled(names, RECORDS)]


def _part(heading: str, part: list[tuple[str, str, str]], rows: list) -> list[str]:
    """A heading and its numbered sentences; the numbers go on from `rows`, which takes them in."""
    lines = [heading, *(f"{number:2}  {example}" for number, (_, _, example) in enumerate(part, len(rows) + 1))]
    rows += part
    return lines if part else []


def explain(request, nursery) -> Answer:
    """The working of the answer before this one, numbered, with its sources; or why one of its items stands first."""
    previous = request.previous
    if previous is None:
        rows = examples(nursery)
        return ask("explain", "There is no answer yet that I could explain. Ask something first.", [row[2] for row in rows[:4]])
    text = request.plain or request.text
    steps = list(previous.working)
    item = meant_item(text, request, previous)
    lead = ""
    if item is not None:
        name = item.get("label") or item.get("name", "")
        reason = item.get("reason", "")
        share = f" (probability {item['probability']:.0%})" if isinstance(item.get("probability"), (int, float)) else ""
        rank = f" (rank {item['rank']})" if item.get("rank") else ""
        lead = (
            f"{name}{share}{rank} stands there because: {reason}."
            if reason
            else f"{name}{share}{rank} came out highest of those compared."
        )
        steps.insert(0, lead)
    if not steps:
        steps = [
            f"{entry.get('label') or entry.get('name')}: {sentence(entry['reason'])}"
            for entry in previous.items[:6]
            if entry.get("reason")
        ]
    if not steps:
        about = ", ".join(f"{key} {value}" for key, value in previous.about.items() if value)
        steps = [f"Looked up{f' for {about}' if about else ''}; nothing was computed."]
    sources = [f"{source.citation} ({source.kind})" for source in previous.sources[:6]]
    lines = [lead or previous.text.split("\n", 1)[0]]
    lines += [f"{at}. {step}" for at, step in enumerate(steps, 1)]
    if sources:
        lines.append(f"Source{'s' if len(sources) > 1 else ''}: {'; '.join(sources)}.")
    elif SOURCE.search(text):
        lines.append("No source is behind it: nothing in it comes from the knowledge base.")
    return Answer(
        "answered",
        "explain",
        "\n".join(lines),
        about=previous.about,
        values=previous.values,
        items=previous.items,
        working=tuple(steps),
        sources=previous.sources,
        cautions=previous.cautions,
        next=previous.next,
    )


def meant_item(text: str, request, previous):
    """The item that a `why` points at: by name, or the first; None where it asks about the answer as a whole."""
    if not previous.items:
        return None
    said = {name for named in (*request.species, *request.hosts, *request.agents) for name in named.names} | set(request.cohorts)
    for item in previous.items:
        if item.get("name") in said:
            return item
    placed = next((at for at, words in enumerate(LATER, 1) if re.search(words, text)), -1 if LAST_ONE.search(text) else 0)
    if placed and placed < len(previous.items):
        return previous.items[placed]
    return previous.items[0] if FIRST.search(text) or "first" in request.cues else None


def not_understood(request, nursery) -> Answer:
    """A line that no topic claims: say so, name the word that is not known, and show what can be asked."""
    rows = examples(nursery)
    if request.unknown_names:
        said = request.unknown_names[0]
        if said.isalpha() and len(said) > 1 and not COHORT_WORD.search(request.plain or request.text.casefold()):
            return Answer(
                "unknown",
                "help",
                f"I know nothing called “{said}”: no species or plant of that name, and nothing in your records.",
                next=(rows[0][2], "What can I ask you?"),
            )
        labels = (
            sorted({key.enclosure for key, _ in nursery.heads() if key.enclosure}) if PLACE_WORD.search(said) else living(nursery)
        )
        kind = "enclosure" if PLACE_WORD.search(said) else "cohort"
        if labels:
            close = [hit[0] for hit in process.extract(said, labels, scorer=fuzz.WRatio, limit=4)]
            word = "" if kind == "enclosure" else "cohort "
            return ask(
                "headcount",
                f"There is no {kind} “{said}” in your records. There are {listed(labels[:12])}.",
                [f"How many are in {word}{label}?" for label in close],
            )
        return ask("help", f"I do not know “{said}”, and your records hold no {kind} yet.", [rows[-2][2], "What can I ask you?"])
    if not (request.plain or request.text).strip():
        return Answer("unknown", "help", "That line is empty.", next=("What can I ask you?",))
    if request.layer == "signs":
        from nurserytui.answers.signs import told_by_signs

        told = told_by_signs(request, nursery)
        if told is not None:
            return told
    if re.search(r"\b(?:with|and|share|together)\b", request.text):
        from nurserytui.answers.sharing_asked import missing

        lacking = missing(request, nursery)
        if lacking is not None:
            return lacking
    meant = {topic: sentence for topic, _, sentence in examples(nursery, request)}
    if offered := [meant[topic] for topic in request.near if topic in meant]:
        which = "one of these" if len(offered) > 1 else "this"
        return ask("help", f"I am not sure what you mean, and nothing was written down. Did you mean {which}?", offered)
    return Answer(
        "unknown",
        "help",
        "I did not understand that, and nothing was written down. I know about rearing butterflies and moths and about your own records.",
        next=(rows[0][2], next(row[2] for row in rows if row[0] == "hosts-of-species"), "What can I ask you?"),
    )


BEFORE = {
    "hatch": ("egg",),
    "moult": ("larva",),
    "prepupate": ("larva",),
    "pupate": ("larva", "prepupa"),
    "emerge": ("pupa",),
}
"""The stages in which a change is still to come."""
PRONOUN = re.compile(r"\b(?:they|them|those|these|it|he|him|she|her|his|their|its|that|this)\b", re.IGNORECASE)


def whom(request, nursery) -> Answer:
    """A question about `them` where nobody was spoken of: which animals, with the question put for each of those that it fits."""
    kind, places = several(request.text, nursery.ledger.enclosures)
    if places:
        options = [named(request.text.strip(), kind, label) for label in places]
        return ask(request.topic, f"Which {kind} do you mean? There are {listed(places)}.", options)
    due = BEFORE.get(request.event, ()) if request.topic == "stage-forecast" else ()
    labels = sorted({key.cohort for key, _ in nursery.heads() if not due or key.stage in due}) or living(nursery)
    asked = request.text.strip()
    if PRONOUN.search(asked):
        options = [PRONOUN.sub(lambda _, label=label: f"cohort {label}", asked, count=1) for label in labels[:8]]
    else:
        options = [f"{asked}, cohort {label}" for label in labels[:8]]
    if not labels:
        return Answer("unknown", request.topic, "There are no animals in the records yet that this could be about.")
    return ask(request.topic, f"Which animals do you mean? There are {listed(labels[:12])}.", options)


def living(nursery) -> list[str]:
    """Cohort labels with living animals, else all labels."""
    alive = sorted({key.cohort for key, _ in nursery.heads()})
    return alive or sorted(nursery.ledger.cohorts)
