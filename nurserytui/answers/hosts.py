"""Which plants a species eats, what to give instead, and whose larvae eat a plant."""

from __future__ import annotations

import re

from nurserytui.answers import naming
from nurserytui.answers.acceptance import accepts
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.host_words import (
    BEGAN,
    BUYING,
    GOOD,
    MARKED,
    ORDER,
    SHORT,
    UNTREATED,
    because,
    deadly,
    hazards_of,
    named,
    plant_item,
    rank_place,
    told_apart,
    too_small,
)
from nurserytui.answers.wording import OWN_RECORDS, ask, capital, cite, listed, sentence, species_label
from nurserytui.knowledge.facts import Pairing
from nurserytui.language.request import Named

BESIDES = re.compile(r"\b(besides|apart from|aside from|other than|except|stripped|run out|ran out)\b|\b(what|anything) else\b")
"""Words by which a line asks for what is eaten instead of the plant it names."""
EATING = "What do {} larvae eat?"
NEVER = ("no", "trap")
AVOIDING = re.compile(
    r"\b(traps?|toxic|poison\w*|kills?|deadly|avoid\w*|harm\w*|dangerous|never feed|not (be )?(feed|fed|give|given|eat))\b"
)
ONE_PLANT = re.compile(
    r"^(do|does|can|could|will|would|may|should|is it (ok|okay|safe) (if|for|that)) .*\b(eat|eats|feed on|feeds on|live on|survive on|have)\s+"
    r"(?P<plant>(?!(as|when|while|what|any|anything|some|something|other|else|more|most|leaves|leaf|it|them|this|that|all|plants?|food)\b)[a-z][a-z' -]{2,30}?)\W*$"
)


def who_eats_it(request, nursery) -> list[str]:
    """The kept species that eat the plant of the line; where none is kept, those of whom it is a main host."""
    knowledge = nursery.knowledge
    plants = naming.plants_among(request.hosts[0], knowledge)
    kept = {cohort.species for key, _ in nursery.heads() if (cohort := nursery.ledger.cohorts.get(key.cohort))}
    own = sorted(name for name in kept if any(naming.eats(knowledge, name, plant) for plant in plants))
    if own:
        return own
    found = [one.species for plant in plants[:1] for one in knowledge.pairings_on(plant) if one.rank == "primary"]
    return list(dict.fromkeys(found))


def hosts_of_species(request, nursery) -> Answer:
    """The plants that a species eats, best first, traps last; what else to give when one has run out."""
    topic, knowledge = "hosts-of-species", nursery.knowledge
    if request.hosts and not (request.species or request.cohorts or request.unknown_names):
        eaters = who_eats_it(request, nursery)
        if len(eaters) != 1:
            options = [
                f"What do {naming.spoken(name, knowledge)} larvae eat instead of {request.hosts[0].said}?" for name in eaters[:4]
            ]
            return ask(topic, f"Which animals are to be fed instead of {request.hosts[0].said}?", options)
        request = request._replace(species=(Named(knowledge.common(eaters[0]), (eaters[0],)),))
    lacked, asked = told_apart(request)
    if asked:
        return accepts(request._replace(hosts=asked, topic="species-on-host"), nursery, lacked)
    found = naming.the_species(request, nursery, topic, EATING)
    if isinstance(found, Answer):
        return found
    if not request.hosts and (unheard := ONE_PLANT.match(request.plain.strip())):
        return no_such_plant(unheard["plant"].strip(), found, nursery)
    gone = {name for host in lacked for name in (*naming.plants_among(host, knowledge), *host.names)}
    used = nursery.ledger.chronicle.hosts
    region = naming.region_of(request.plain, nursery)
    short = bool(SHORT.search(request.plain)) or bool(gone)
    pairings = [one for one in knowledge.pairings_of(found.name) if one.plant not in gone]
    pairings.sort(key=lambda one: place_of(one, short, region, used, knowledge))
    label = species_label(found.name, knowledge)
    about = {"species": found.name} | ({"cohort": request.cohorts[0]} if request.cohorts else {})
    if not [one for one in pairings if one.rank not in NEVER]:
        return nothing_else(found.name, lacked, label, about, knowledge)
    never = [one for one in pairings if one.rank not in NEVER and deadly(one.plant, knowledge)]
    offered = [one for one in pairings if one.rank not in NEVER and one not in never]
    ends = short and not (gone and any(one.rank == "primary" for one in offered))
    small = ends and too_small(request, found.name, nursery)
    lines = [
        first_line(label, offered, ends, small, region, request, knowledge),
        *more_lines(offered, short, region, used, found.name, knowledge),
    ]
    kinds = [one for one in knowledge.pairings_of(found.name) if one.plant in gone and one.rank in GOOD]
    if len(kinds) > 2 and not deadly(kinds[0].plant, knowledge):
        lines.insert(1, f"Look first whether any other kind of {lacked[0].said} is to be had: {named(kinds, knowledge, 4)}.")
    for host in lacked:
        if not any(one.plant in naming.plants_among(host, knowledge) for one in knowledge.pairings_of(found.name)):
            lines.append(f"No record says that {label} larvae eat {host.said}: make sure which species you have.")
    if never:
        lines.append(f"Eaten too, but deadly to people, so never gather it: {named(never, knowledge, 4)}.")
    shunned = never_lines(pairings, knowledge)
    lines = [*shunned, *lines] if shunned and not short and AVOIDING.search(request.plain) else [*lines, *shunned]
    if BUYING.search(request.plain):
        lines.insert(1, UNTREATED)
    if request.species and (note := naming.also_means(found, request.species[0].said, knowledge)):
        lines.append(note)
    cautions = [*hazards_of([one.plant for one in never], knowledge), *hazards_of([one.plant for one in offered[:6]], knowledge)]
    if short:
        cautions.append(
            "Give a new plant to one larva first and watch it for a day or two; a larva used to one host may refuse another."
        )
        cautions.append("Never use shop, nursery or roadside plants that may have been sprayed.")
    spoken = naming.spoken(found.name, knowledge)
    best = naming.plant_word(offered[0].plant, knowledge) if offered else ""
    own = (OWN_RECORDS,) if any(one.plant in used for one in offered) else ()
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about=about,
        items=tuple(plant_item(one, knowledge) for one in pairings),
        sources=(*cite(knowledge, (source for one in pairings for source in one.sources)), *own),
        cautions=tuple(cautions),
        next=tuple([f"How long do {best} cuttings keep in water?", f"Do {spoken} larvae eat {best}?"] if best else [])
        + (f"Tell me about the {spoken}",),
    )


def place_of(one: Pairing, short: bool, region: str, used: dict[str, int], knowledge) -> tuple:
    """Where a plant stands in the list: by rank; within it what larvae take over from another plant, what grows in the keeper's region
    and what the keeper has used before come first. What kills people comes after all food, refused plants and traps last."""
    return (
        one.rank in NEVER,
        one.rank not in NEVER and deadly(one.plant, knowledge),
        rank_place(one.rank),
        short and bool(BEGAN.search(one.reason)),
        elsewhere(one, region),
        -used.get(one.plant, 0),
    )


def elsewhere(one: Pairing, region: str) -> bool:
    return bool(region and one.regions and region not in one.regions)


def first_line(label: str, offered: list[Pairing], ends: bool, small: bool, region: str, request, knowledge) -> str:
    """What to give, in one line: far-off plants, poor ones and (unless all main hosts ran out) emergency ones are left to later lines."""
    good = [one for one in offered if one.rank in GOOD and not elsewhere(one, region)]
    emergency = [one for one in offered if one.rank == "emergency"]
    poor = [one for one in offered if one.rank == "poor"]
    without = f" instead of {request.hosts[0].said}" if request.hosts else ""
    if small and emergency:
        line = f"No emergency food carries {label} larvae this small: {named(emergency, knowledge, 6)} will do for the last instar only."
        return line + (f" Find them a true host: {named(good, knowledge, 6)}." if good else "")
    if ends and emergency:
        line = f"Emergency food for {label}, for last-instar larvae only: {named(emergency, knowledge, 6)}."
        if good:
            line += f" Far better, if you can find it{without}: {named(good, knowledge, 6)}."
        return line + " Smaller larvae rarely live on emergency food."
    if good:
        return f"{capital(label)} larvae eat{without}: {named(good, knowledge, 8)}."
    if poor:
        return f"{capital(label)} larvae have only poor hosts left{without}: {named(poor, knowledge, 6)}."
    return f"No good host{without} is recorded for {label}."


def why(pairing: Pairing, knowledge) -> str:
    """The plant and what stands behind its rank; a reason that begins with the plant stands alone."""
    word, reason = naming.plant_word(pairing.plant, knowledge), sentence(pairing.reason)
    return reason if reason.casefold().startswith(word.casefold()) else f"{capital(word)}: {reason}"


def more_lines(offered: list[Pairing], short: bool, region: str, used: dict[str, int], species: str, knowledge) -> list[str]:
    """The facts that decide: why the first ones, what grows elsewhere, what was used before, poor and emergency food and its limits."""
    rank = {rank: [one for one in offered if one.rank == rank] for rank in ORDER}
    good = [one for one in rank["primary"] + rank["accepted"] if not elsewhere(one, region)]
    lines = []
    lines += [why(one, knowledge) for one in good[:3] if one.reason]
    if far := [one for one in rank["primary"] + rank["accepted"] if elsewhere(one, region)]:
        lines.append(f"In other regions also: {named(far, knowledge, 5)}.")
    if kept := [one for one in good if one.plant in used]:
        lines.append(f"In your records already: {named(kept, knowledge, 5)}.")
    if short and (fixed := [one for one in good if BEGAN.search(one.reason)]):
        lines += [
            f"Mind {naming.plant_word(one.plant, knowledge)}: {sentence(one.reason)}" for one in fixed if one not in good[:3]
        ]
    if rank["poor"] and good:
        lines.append(
            f"Eaten poorly: {'; '.join(naming.plant_label(one.plant, knowledge) + because(one) for one in rank['poor'][:4])}."
        )
    if rank["emergency"] and short:
        lines += [why(one, knowledge) for one in rank["emergency"][:3]]
    elif rank["emergency"]:
        lines.append(
            f"Last instar only, in an emergency: {named(rank['emergency'], knowledge, 5)}; smaller larvae rarely live on it."
        )
    elif short and (within := within_words(species, knowledge)):
        lines.append(f"No emergency food is on record. {within} Anything not listed here may starve them.")
    elif short and len(good) < 4:
        lines.append("No emergency food is on record. Anything not listed here may starve them.")
    return lines


def within_words(species: str, knowledge) -> str:
    """That a specialist's larvae keep to their families; "" for one that is none."""
    known = knowledge.species(species)
    return f"Larvae feed only within {listed(known.host_families)}." if known and known.specialist and known.host_families else ""


def nothing_else(species: str, lacked: tuple, label: str, about: dict, knowledge) -> Answer:
    """Everything on record has run out: for a specialist that is an answer, for others nothing is known."""
    topic = "hosts-of-species"
    within = within_words(species, knowledge)
    own = [one for one in knowledge.pairings_of(species) if one.rank in GOOD and not deadly(one.plant, knowledge)]
    if not lacked or not within or not own:
        reason = "no other plant" if lacked else "no host plant"
        return Answer("unknown", topic, f"The knowledge base records {reason} for {label}.", about=about)
    said = listed([host.said for host in lacked], "or")
    lines = [
        f"Nothing on record takes the place of {said} for {label}: look for more of it.",
        f"{within} What is on record: {named(own, knowledge, 8)}.",
        *never_lines([one for one in knowledge.pairings_of(species) if one.rank in NEVER], knowledge),
    ]
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about=about,
        items=tuple(plant_item(one, knowledge) for one in own),
        sources=cite(knowledge, (source for one in own for source in one.sources)),
        cautions=("Never use shop, nursery or roadside plants that may have been sprayed.",),
        next=(
            f"How do I keep {naming.plant_word(own[0].plant, knowledge)} fresh?",
            f"Tell me about the {naming.spoken(species, knowledge)}",
        ),
    )


def never_lines(pairings: list[Pairing], knowledge) -> list[str]:
    """The traps with their reasons and the plants known to be refused."""
    lines = []
    if traps := [one for one in pairings if one.rank == "trap"]:
        told = "; ".join(f"{naming.plant_label(one.plant, knowledge)}{because(one)}" for one in traps)
        lines.append(f"Never leave them on these traps, where eggs are laid and larvae die: {told}.")
    if refused := [one for one in pairings if one.rank == "no"]:
        lines.append(f"Known not to be eaten: {named(refused, knowledge, 4)}.")
    return lines


def no_such_plant(said: str, found, nursery) -> Answer:
    """A line that asks after one plant that the knowledge base does not know at all."""
    knowledge = nursery.knowledge
    label, spoken = species_label(found.name, knowledge), naming.spoken(found.name, knowledge)
    good = [one for one in knowledge.pairings_of(found.name) if one.rank in GOOD and not deadly(one.plant, knowledge)]
    near = naming.near_sentences(said, nursery, f"Do {spoken} larvae eat {{}}?", "plant")
    text = f"I know no plant called “{said}”, and no record of {label} larvae eating it: do not rely on it."
    if good:
        text += f"\nThey do eat {named(good, knowledge, 5)}."
    return Answer(
        "unknown",
        "species-on-host",
        text,
        about={"species": found.name},
        values={"accepts": Value("unrecorded")},
        sources=cite(knowledge, (source for one in good[:5] for source in one.sources)),
        cautions=("A larva on the wrong plant starves beside it: keep it on a plant that is recorded for its species.",),
        next=(*near[:2], EATING.format(spoken)),
    )


def species_on_host(request, nursery) -> Answer:
    """The species whose larvae eat a plant, or, with a species in the line, whether that one does."""
    topic = "species-on-host"
    if not request.hosts:
        if request.unknown_names:
            return naming.no_such_name(request.unknown_names[0], nursery, topic, "What eats {}?", "plant")
        if request.species or request.cohorts:
            return hosts_of_species(request, nursery)
        return ask(topic, "Which plant do you mean?", ["What eats milkweed?", "What eats stinging nettle?"])
    if request.species or request.cohorts:
        lacked, asked = told_apart(request)
        if lacked and not asked and BESIDES.search(request.plain):
            return hosts_of_species(request._replace(topic="hosts-of-species"), nursery)
        return accepts(request._replace(hosts=asked), nursery, lacked) if asked else accepts(request, nursery)
    return eaters(request, nursery)


def eaters(request, nursery) -> Answer:
    topic, knowledge = "species-on-host", nursery.knowledge
    host = request.hosts[0]
    plants = naming.plants_among(host, knowledge)
    kin = len({naming.genus(name) for name in plants}) == 1
    if not host.usual and not kin:
        return naming.ask_plant(host, nursery, topic, "What eats {}?")
    meant = plants if kin else tuple(name for name in plants if naming.genus(name) == naming.genus(plants[0]))
    best: dict[str, Pairing] = {}
    for plant in meant:
        for pairing in knowledge.pairings_on(plant):
            known = best.get(pairing.species)
            if known is None or rank_place(pairing.rank) < rank_place(known.rank):
                best[pairing.species] = pairing
    pairings = sorted(best.values(), key=lambda one: rank_place(one.rank))
    label = naming.plant_label(meant[0], knowledge) if len(meant) == 1 else f"{host.said} ({naming.genus(meant[0])} species)"
    about = {"host": meant[0]}
    if not pairings:
        lines = [f"No species in the knowledge base is recorded on {label}. That is no proof that nothing eats it."]
        card = knowledge.plant(meant[0])
        notes = card.notes if card else ()
        lines += [sentence(note.text) for note in notes]
        cautions = hazards_of(list(meant[:1]), knowledge)
        sources = cite(knowledge, (source for note in notes for source in note.sources))
        return Answer("unknown", topic, "\n".join(lines), about=about, sources=sources, cautions=cautions)
    groups = {rank: [species_label(one.species, knowledge) for one in pairings if one.rank == rank] for rank in ORDER}
    eat = groups["primary"] + groups["accepted"]
    lines = [f"Larvae of {count_and_list(eat)} eat {label}." if eat else f"No species is recorded that does well on {label}."]
    if any(deadly(one, knowledge) for one in meant):
        lines.append("It is deadly to people: never gather it, not even for larvae that eat it.")
    for rank, words in (
        ("poor", "Poorly"),
        ("emergency", "In an emergency, last instar only"),
        ("no", "Known not to eat it"),
        ("trap", "A trap, on which their larvae die"),
    ):
        if groups[rank]:
            lines.append(f"{words}: {listed(groups[rank])}.")
    if others := [one for one in plants if one not in meant]:
        lines.append(naming.plant_also(host.said, others, knowledge))
    first = naming.spoken(pairings[0].species, knowledge)
    items = []
    for one in pairings:
        reason = MARKED[one.rank] + (f" on {naming.plant_word(one.plant, knowledge)}" if len(meant) > 1 else "") + because(one)
        items.append(
            {"name": one.species, "label": knowledge.common(one.species), "rank": one.rank, "plant": one.plant, "reason": reason}
        )
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about=about,
        items=tuple(items),
        sources=cite(knowledge, (source for one in pairings for source in one.sources)),
        cautions=((UNTREATED,) if BUYING.search(request.plain) else ()) + hazards_of(list(meant), knowledge, 3),
        next=(
            f"Tell me about the {first}",
            f"What do {first} larvae eat?",
            f"How long do {naming.plant_word(meant[0], knowledge)} cuttings keep?",
        ),
    )


def count_and_list(names: list[str], most: int = 8) -> str:
    return listed(names) if len(names) <= most else ", ".join(names[:most]) + f" and {len(names) - most} more"
