"""Hazards to people and animals, first aid in the first words, and the law, which is always the authority's to say."""

from __future__ import annotations

import re
from collections.abc import Sequence

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.egg_traits import mask
from nurserytui.answers.first_aid import DEFER, NEVER, NEXT, SAFETY, answered, first_aid
from nurserytui.answers.host_words import deadly, hazard_sentence, looks_of
from nurserytui.answers.injury import PETS, POISONING, injury
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.wording import capital, cite, listed, sentence, species_label
from nurserytui.language import emergencies

LAW = "law"

CHEMICALS = {
    "bleach": r"\b(ble+a?ch\w*|hypochlorite|chlorine|javel\w*|domestos|milton)\b",
    "ammonia": r"\b(am+on+ia\w*|salmiak|window (cleaner|stuff|spray)|glass cleaner|urine|(cat )?(wee|pee)|quat\w*|quaternary)\b",
    "acid": r"\b(vin[ei]g[ae]r|acids?|acetic|citric|lemon juice|(toilet|wc) cleaner|spirits? of salts?|descal\w*|sulfamic|phosphoric|bowl cleaner|rust remover|descaler|limescale|harpic|loo cleaner|hydrochloric|muriatic)\b",
    "alcohol": r"\b(acetone|nail polish remover|alch?oh?ol|ethanol|isopropyl|isopropanol|meth(s|ylated)|rubbing|surgical spirit|hand (gel|sanitis?z?er))\b",
    "peroxide": r"\b(peroxide|h2o2|oxygen bleach|oxi\w*)\b",
    "other": r"\b(detergent|washing.?up liquid|washing powder|fabric softener|caustic soda|ster[ie]li[sz]ing|dish soap|soap|cleaner|cleaning product|drain|oven|pool|insecticide|pesticide|disinfectant|dettol|virkon)\b",
}
GASES = {
    frozenset(("bleach", "ammonia")): "Bleach with ammonia gives off toxic chloramine gas",
    frozenset(("bleach", "acid")): "Bleach with vinegar or any other acid gives off toxic chlorine gas",
    frozenset(("bleach", "alcohol")): "Bleach with alcohol forms chloroform and other toxic compounds",
    frozenset(("bleach", "peroxide")): "Bleach with hydrogen peroxide reacts hard, bursts out oxygen gas and spoils both",
    frozenset(("bleach", "other")): "Bleach with another cleaner can give off toxic gas, by what the other holds",
    frozenset(("peroxide", "acid")): "Hydrogen peroxide with vinegar forms peracetic acid, which burns skin, eyes and lungs",
}
HARMS = re.compile(r"\b(sting\w*|rash|irritat\w*|acid)\b")
PROTECTED = re.compile(r"\b(protected|by law|authority|papers|official control)\b")
FIELDS = ("sap", "latex", "juice", "milk", "plant", "hair", "hairs")
MAKING = re.compile(
    r"\b(make|produce|create|generate|release)\b.*\b(gas|chlorine|chloramine|poison|toxic)\b|\bpoison (him|her|someone|them|my)\b"
    r"|\bgas(s?ing)? (the |my |a |that |an |next )?(neighbou?rs?|bloke|man|woman|guy|someone|somebody|him|her|them|people|person|boss|ex|brother|sister|flatmate|landlord|lodger)\b"
)
EATEN = re.compile(r"\b(can|may|could|do|should) (i|we|you|people) eat\b|\bedible\b")
"""Asks whether people may eat animals."""
HOT_WATER = re.compile(r"\b(hot|hotter|warm|boiling|lukewarm)\b")
MIXED = re.compile(
    r"\b(by (accident|mistake)|accident\w*|i('ve| have)? (mixed|put|poured|added|tipped)|(have|has|been|got) mixed|smells?|stinks?|just (mixed|poured|added|put)|^(mixed|poured|added|tipped))\b"
)
"""They have been put together already."""
HANDLED = re.compile(
    r"\b(hair\w*|spin(e|es|y)|bristl\w*|bite|bites|sting\w*)\b.*\b(caterpillars?|larva\w*|cats)\b|\b(caterpillars?|larva\w*)\b.*\b(bite|sting|hair\w*|rash)\b|\b(processionary|brown[- ]?tails?)\b"
)
"""Asks whether the animals themselves hurt who handles them."""
PREY = re.compile(
    r"\b(cats?|dogs?|kittens?|pupp(y|ies)|pets?|hens?|chickens?)\b.*\b(eats?|ate|eating|eaten|swallow\w*|chew\w*)\b"
)
TO_LARVAE = re.compile(
    r"\b(?:dangerous|toxic|poisonous|harmful|deadly|bad|safe|fatal|harm\w*|kills?)\b(?: to| for| the| my| our)* species\b"
)
"""Asks what a plant does to the animals that are reared."""
NOT_MAKING = re.compile(r"\b(avoid|without|not to|never|does|will|would|don't|did|accident\w*)\b")

WEAR = "Air the room, wear gloves and eye protection, add bleach to water, and label the bottle."
TOPICS = ("safety", "first-aid", "first aid", "sanitation", "hazards", "hygiene", "food")
DANGERS = ("safety", "first-aid", "first aid", "hazards")
"""Those of them beside which the others are not told."""


def safety(request, nursery) -> Answer:
    """What to do first, what never to mix, what a plant does to people, pets and larvae. Cautions are never empty."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    picked = pick(knowledge, TOPICS, mask(text, tuple(named.said for named in request.species)))
    if POISONING.search(text) or (MAKING.search(text) and not NOT_MAKING.search(text)):
        return refuse(knowledge)
    chemicals = [name for name, pattern in CHEMICALS.items() if re.search(pattern, text)]
    plant_words = bool(request.hosts) or any(f" {word} " in f" {text} " for word in FIELDS)
    hurt = injury(text, chemicals, plant_words)
    if hurt or emergencies.grave(text):
        return first_aid(hurt, chemicals, request, nursery)
    if request.agents and not chemicals and not request.hosts:
        from nurserytui.answers.about_agent import about_agent  # whose card tells what it does to people and pets

        return about_agent(request, nursery)
    if len(chemicals) > 1:
        return mixing(chemicals, knowledge, picked, bool(MIXED.search(text)))
    if request.hosts and request.species and TO_LARVAE.search(text.replace(request.species[0].said.casefold(), "species")):
        from nurserytui.answers.acceptance import accepts  # which tells traps

        return accepts(request._replace(topic="species-on-host"), nursery)
    if request.hosts:
        return of_plant(request, nursery, text)
    if EATEN.search(text) and not chemicals:
        return eaten(knowledge)
    if HANDLED.search(text) and not chemicals and not request.species and (rule := knowledge.rule("hairs")):
        return general((), knowledge, [rule])
    if request.species and not chemicals and PREY.search(text):
        return eaten_by_a_pet(knowledge)
    if request.species and not chemicals and (noted := notes_of(request, knowledge, HARMS)):
        return of_larvae(request, nursery, noted)
    if request.species and not chemicals:
        return of_larvae(request, nursery)
    if "bleach" in chemicals and HOT_WATER.search(text):
        return general(chemicals, knowledge, [rule] if (rule := knowledge.rule("bleach-handling")) else picked)
    if chemicals or picked:
        return general(chemicals, knowledge, picked)
    if PETS.search(text):
        return animals(nursery)
    return general((), knowledge, pick(knowledge, TOPICS, "bleach hands"))


def mixing(chemicals, knowledge, picked, done: bool = False) -> Answer:
    """Why these are never put together; what to do first where they were (`done`)."""
    pairs = [words for pair, words in GASES.items() if pair <= set(chemicals)]
    if "bleach" in chemicals and len(pairs) > 1 and "other" in chemicals:
        pairs = [words for words in pairs if words != GASES[frozenset(("bleach", "other"))]]
    if pairs:
        lines = [f"Never mix them. {'. '.join(pairs)}."]
        lines.append(
            "It does not make the disinfectant stronger. Use one product alone, in cold water, and rinse well before another is used."
        )
        after = "leave the room, air it, do not pour in anything else, and call the poison service if anyone feels it."
        lines = [f"{capital(after)} {lines[0]}", *lines[1:]] if done else [*lines, f"If they were mixed: {after}"]
    else:
        lines = [f"Do not mix {listed(chemicals)}: use one product alone, as its label says, and rinse before another is used."]
    lines += [rule for rule in lines_of(picked, 2) if rule not in lines]
    return answered(
        knowledge,
        "\n".join(lines),
        sources=sources_of([knowledge.rule("never-mix"), *picked[:2]]),
        cautions=(NEVER, WEAR, "Follow the label of the product."),
        next=("How much bleach for 1 litre at 5000 ppm from 6 % bleach?", "The bleach fumes make me cough, what do I do?"),
    )


def never_with(nursery) -> Answer:
    """What bleach must never be mixed with."""
    knowledge = nursery.knowledge
    rule = knowledge.rule("never-mix")
    return answered(
        knowledge,
        f"{rule.text}\nIf they were mixed: leave the room, air it, and call the poison service if anyone feels it.",
        sources=rule.sources,
        cautions=(NEVER, WEAR, "Follow the label of the product."),
        next=NEXT[:2],
    )


def refuse(knowledge) -> Answer:
    return Answer(
        "refused",
        SAFETY,
        "I do not help with making a poison or a toxic gas. If one has formed by accident: leave the room, air it, and call the poison service.",
        sources=cite(knowledge, sources_of([knowledge.rule("never-mix")])),
        cautions=(NEVER,),
        next=NEXT[:1],
    )


def of_plant(request, nursery, text: str) -> Answer:
    knowledge = nursery.knowledge
    hosts = sorted(request.hosts, key=lambda one: not any(deadly(name, knowledge) for name in one.names))
    names = naming.plants_among(hosts[0], knowledge)
    found = []
    for name in names:
        plant = knowledge.plant(name)
        found += [(name, hazard) for hazard in (plant.hazards if plant else ())]
    chief = "pets" if PETS.search(text) else "larvae" if re.search(r"\b(larva\w*|caterpillar\w*)\b", text) else "people"
    found.sort(key=lambda pair: concern(pair[1].who, chief))
    seen: dict[str, str] = {}
    for name, hazard in found:
        seen.setdefault(hazard.what, hazard_sentence(naming.plant_word(name, knowledge), hazard))
    label = naming.plant_label(names[0], knowledge)
    if not seen:
        lines = [
            f"Wash your hands after handling it: no hazard of {label} is on record here, which is no proof that it is harmless."
        ]
        cautions = ["Never let children or pets eat a plant that you do not know to be safe; ask the poison service if one did."]
    else:
        first = next(iter(found))[1]
        told = f"{sentence(first.what)} {sentence(first.precaution)}"
        if concern(first.who, chief) == 0:
            lines = [f"{capital(label)} can harm {chief}: {told}"]
        else:
            lines = [
                f"No hazard of {label} to {chief} is on record here, which is no proof that it is harmless. To {first.who}: {told}"
            ]
        lines += [words for words in list(seen.values())[1:5]]
        cautions = [*list(seen.values())[:6], DEFER]
    if len(hosts) > 1:
        lines += looks_of(hosts[:3], knowledge)
    return answered(
        knowledge,
        "\n".join(lines),
        about={"host": names[0]},
        sources=(source for _, hazard in found for source in hazard.sources),
        cautions=tuple(cautions),
        next=(f"Tell me about {naming.plant_word(names[0], knowledge)}", f"What eats {naming.plant_word(names[0], knowledge)}?"),
    )


NEVER_EAT = "Never eat or let children or pets eat caterpillars: some store the poisons of their plants."


def eaten(knowledge) -> Answer:
    """Whether people may eat what is reared."""
    rule = knowledge.rule("hairs")
    return answered(
        knowledge,
        f"{NEVER_EAT} The same goes for eggs, pupae and adults.\n{rule.text}",
        sources=rule.sources,
        cautions=(NEVER_EAT, DEFER),
        next=NEXT[2:],
    )


def eaten_by_a_pet(knowledge) -> Answer:
    """What if an animal of the house eats what is reared."""
    rule = knowledge.rule("hairs")
    return answered(
        knowledge,
        f"If a pet has eaten one, call a vet or an animal poison service and name the species and its plant: some store the poisons of "
        f"their plants, and hairs hurt the mouth. Keep pets away from cages and from adults that are let go.\n{rule.text}",
        sources=rule.sources,
        cautions=(NEVER_EAT, DEFER),
        next=NEXT[2:],
    )


def notes_of(request, knowledge, pattern) -> list:
    """The notes on the cards of the species meant that the pattern finds."""
    names = naming.species_among(request.species[0].names, knowledge)[:3]
    known = [one for name in names if (one := knowledge.species(name))]
    return [note for one in known for note in one.notes if pattern.search(note.text)]


def of_larvae(request, nursery, told: Sequence = ()) -> Answer:
    """What is on record of the animals themselves, or that nothing is; and the general care."""
    knowledge = nursery.knowledge
    rule = knowledge.rule("hairs")
    label = species_label(request.species[0].name, knowledge) if len(request.species[0].names) == 1 else request.species[0].said
    text = (
        f"Take care with {label}: {' '.join(sentence(note.text) for note in told)}"
        if told
        else f"Wash your hands after handling: no hazard of {label} to people is on record here, which is no proof that there is none."
    )
    return answered(
        knowledge,
        f"{text}\n{rule.text}",
        sources=(*(source for note in told for source in note.sources), *rule.sources),
        cautions=(NEVER_EAT, DEFER),
        next=NEXT[2:],
    )


def concern(who: str, chief: str) -> int:
    """0 for a hazard to those asked about, 1 for people, 2 for pets, 3 for larvae only."""
    kinds = ["people" in who or "skin" in who, "pet" in who or "dog" in who or "livestock" in who, True]
    return (
        0 if kinds[("people", "pets", "larvae").index(chief)] and (chief != "larvae" or "larva" in who) else 1 + kinds.index(True)
    )


def animals(nursery) -> Answer:
    """Host plants on record that harm pets."""
    knowledge = nursery.knowledge
    found = [
        (plant, hazard)
        for plant in knowledge.all_plants()
        for hazard in plant.hazards
        if "pet" in hazard.who or "dog" in hazard.who
    ]
    kept = {cohort.host for cohort in nursery.ledger.cohorts.values()}
    found.sort(key=lambda pair: pair[0].scientific not in kept)
    by_what: dict[str, tuple] = {}
    for plant, hazard in found:
        by_what.setdefault(hazard.what, (plant, hazard))
    rows = list(by_what.values())[:8]
    lines = ["Keep cut plants, frass trays and vase water out of reach of pets, and bin trimmings."]
    lines += [hazard_sentence(naming.plant_word(plant.scientific, knowledge), hazard) for plant, hazard in rows]
    return answered(
        knowledge,
        "\n".join(lines),
        sources=(source for _, hazard in rows for source in hazard.sources),
        cautions=("If a pet ate a plant, call a vet or an animal poison service and name the plant.",),
        next=NEXT[2:],
    )


def general(chemicals, knowledge, picked) -> Answer:
    of_danger = [rule for rule in picked if rule.topic in DANGERS]
    picked = of_danger or picked
    hands = "Wash your hands before and after, keep plants and chemicals away from children and pets, and read labels."
    lines = [*lines_of(picked, 5), WEAR if chemicals else hands]
    return answered(
        knowledge,
        "\n".join(dict.fromkeys(lines)),
        sources=sources_of(picked[:5]),
        cautions=(NEVER, "Follow the label of the product.", DEFER),
        next=NEXT,
    )


AUTHORITIES = {
    "north-america": "In the United States ask the federal plant health service (USDA APHIS) and your state's wildlife agency; in Canada and Mexico their own.",
    "europe": "Ask your country's nature conservation authority.",
    "": "Ask the nature conservation or wildlife authority of your country and region.",
}


def law(request, nursery) -> Answer:
    """What the rules on record say, deferring to the authority every time."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    place = nursery.settings.place or ""
    rules = pick(knowledge, ("law",), f"{text} {place}", tuple(named.name for named in request.species))
    if not rules:
        rules = list(knowledge.rules("law"))[:4]
    lines = [
        "That is for the authority where you live to say, and I cannot tell you that it is legal: check its rules before you act."
    ]
    noted = notes_of(request, knowledge, PROTECTED) if request.species else []
    lines += [f"{species_label(request.species[0].name, knowledge)}: {sentence(note.text)}" for note in noted]
    lines += [sentence(words) for words in lines_of(rules, 5)]
    lines.append(AUTHORITIES[naming.common_region(nursery)])
    about = {"species": request.species[0].name} if request.species and len(request.species[0].names) == 1 else {}
    return answered(
        knowledge,
        "\n".join(dict.fromkeys(lines)),
        about=about,
        sources=(*(source for note in noted for source in note.sources), *sources_of(rules)),
        cautions=(
            "Laws on protected species, on moving live animals and on releasing them differ by country and state, and they change: ask the authority "
            "for the rule of today, and get any permit or licence first.",
            "Never post or carry live animals over a border or between regions without papers.",
        ),
        next=("Is 12 C too cold for release?", "What should I check before I release a butterfly?"),
        topic=LAW,
    )
