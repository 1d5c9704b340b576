"""Which plants a species eats, whose larvae eat a plant, and whether this larva eats that plant."""

import re
from typing import NamedTuple

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.wording import ask, cite, listed, sentence, species_label
from nurserytui.knowledge.facts import Pairing

ORDER = ("primary", "accepted", "poor", "emergency", "no", "trap")
ACCEPTS = {"primary": "yes", "accepted": "yes", "poor": "poor", "emergency": "emergency", "trap": "trap", "no": "no"}
MARKED = {
    "primary": "main host",
    "accepted": "eaten well",
    "poor": "a poor host",
    "emergency": "last instar only, and only in an emergency",
    "trap": "TRAP: eggs are laid on it, larvae die",
    "no": "not eaten",
}
SHORT = re.compile(
    r"\b(run(ning|s)? (out|low)|ran out|emergenc\w*|substitut\w*|no more|out of|nothing left|stripped|all gone|starv\w*|desperate)\b"
)
EATING = "What do {} larvae eat?"


def rank_place(rank: str) -> int:
    return ORDER.index(rank) if rank in ORDER else len(ORDER)


def deadly(name: str, knowledge) -> bool:
    """Whether the plant kills people who take it for another: never to be gathered, even where larvae eat it."""
    plant = knowledge.plant(name)
    return any("deadly" in hazard.what.casefold() and "people" in hazard.who for hazard in (plant.hazards if plant else ()))


def plant_item(pairing: Pairing, knowledge) -> dict:
    """A pairing as an item of a list of plants."""
    reason = (
        ("DEADLY to people, never gather it; " if deadly(pairing.plant, knowledge) else "")
        + MARKED[pairing.rank]
        + (f": {pairing.reason}" if pairing.reason else "")
    )
    return {"name": pairing.plant, "label": naming.plant_word(pairing.plant, knowledge), "rank": pairing.rank, "reason": reason}


def hazards_of(plants: list[str], knowledge, most: int = 4) -> tuple[str, ...]:
    """What the plants can do to people and pets, one sentence for each hazard, the first plants first."""
    found: list[str] = []
    seen = set()
    for name in plants:
        plant = knowledge.plant(name)
        for hazard in plant.hazards if plant else ():
            if hazard.what not in seen:
                seen.add(hazard.what)
                found.append(hazard_sentence(naming.plant_word(name, knowledge), hazard))
    return tuple(found[:most])


def hazard_sentence(plant: str, hazard) -> str:
    return f"{plant[:1].upper()}{plant[1:]} ({hazard.who}): {sentence(hazard.what)} {sentence(hazard.precaution)}"


def hosts_of_species(request, nursery) -> Answer:
    """The plants that a species eats, best first, traps last; what else to give when one has run out."""
    topic, knowledge = "hosts-of-species", nursery.knowledge
    found = naming.the_species(request, nursery, topic, EATING)
    if isinstance(found, Answer):
        return found
    lacking = {name for host in request.hosts for name in lacked(host, knowledge)}
    pairings = [one for one in knowledge.pairings_of(found.name) if one.plant not in lacking]
    pairings.sort(key=lambda one: (deadly(one.plant, knowledge) and one.rank in naming.EATEN, rank_place(one.rank)))
    pairings.sort(key=lambda one: one.rank in ("no", "trap"))
    never = [one for one in pairings if one.rank in naming.EATEN and deadly(one.plant, knowledge)]
    label = species_label(found.name, knowledge)
    about = {"species": found.name} | ({"cohort": request.cohorts[0]} if request.cohorts else {})
    if not pairings:
        reason = "no other plant" if lacking else "no host plant"
        return Answer("unknown", topic, f"The knowledge base records {reason} for {label}.", about=about)
    short = bool(SHORT.search(request.plain)) or bool(lacking)
    by_rank = {rank: [one for one in pairings if one.rank == rank and one not in never] for rank in ORDER}
    lines = [first_line(label, by_rank, short, request, knowledge)]
    for rank, words in (("poor", "Eaten poorly"), ("emergency", "Last instar only, in an emergency")):
        if by_rank[rank] and not (short and rank == "emergency"):
            lines.append(f"{words}: {named(by_rank[rank], knowledge, 5)}.")
    if never:
        lines.append(f"Eaten too, but deadly to people, so never gather it: {named(never, knowledge, 4)}.")
    if by_rank["trap"]:
        traps = [f"{naming.plant_label(one.plant, knowledge)}{because(one)}" for one in by_rank["trap"]]
        lines.append(f"Never leave them on these traps, where eggs are laid and larvae die: {'; '.join(traps)}.")
    if by_rank["no"]:
        lines.append(f"Known not to be eaten: {named(by_rank['no'], knowledge, 4)}.")
    if request.species and (note := naming.also_means(found, request.species[0].said, knowledge)):
        lines.append(note)
    good = [one.plant for one in pairings if one.rank in ("primary", "accepted", "poor", "emergency") and one not in never]
    cautions = [*hazards_of([one.plant for one in never], knowledge), *hazards_of(good[:6], knowledge)]
    if short:
        cautions.append(
            "Give a new plant to one larva first and watch it for a day or two; a larva used to one host may refuse another."
        )
        cautions.append("Never use shop, nursery or roadside plants that may have been sprayed.")
    spoken = naming.spoken(found.name, knowledge)
    best = naming.plant_word(good[0], knowledge) if good else ""
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about=about,
        items=tuple(plant_item(one, knowledge) for one in pairings),
        sources=cite(knowledge, (source for one in pairings for source in one.sources)),
        cautions=tuple(cautions),
        next=tuple([f"How long do {best} cuttings keep in water?", f"Do {spoken} larvae eat {best}?"] if best else [])
        + (f"Tell me about the {spoken}",),
    )


def lacked(host, knowledge) -> tuple[str, ...]:
    """The plants that a keeper has no more of: all that the words can mean."""
    return naming.plants_among(host, knowledge) + host.names


def first_line(label: str, by_rank: dict, short: bool, request, knowledge) -> str:
    good = by_rank["primary"] + by_rank["accepted"]
    without = f" instead of {request.hosts[0].said}" if request.hosts else ""
    if short and by_rank["emergency"]:
        line = f"Emergency food for {label}, for last-instar larvae only: {named(by_rank['emergency'], knowledge, 6)}."
        if good:
            line += f" Far better, if you can find it{without}: {named(good, knowledge, 6)}."
        return line + " Smaller larvae rarely live on emergency food."
    if good:
        return f"{label[:1].upper()}{label[1:]} larvae eat{without}: {named(good, knowledge, 8)}."
    if by_rank["poor"]:
        return (
            f"{label[:1].upper()}{label[1:]} larvae have only poor hosts left{without}: {named(by_rank['poor'], knowledge, 6)}."
        )
    return f"No good host{without} is recorded for {label}."


def named(pairings: list[Pairing], knowledge, most: int) -> str:
    names = [naming.plant_label(one.plant, knowledge) for one in pairings]
    if len(names) > most:
        return ", ".join(names[:most]) + f" and {len(names) - most} more"
    return listed(names)


def because(pairing: Pairing) -> str:
    return f" ({pairing.reason.rstrip('.')})" if pairing.reason else ""


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
        return accepts(request, nursery)
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
        text = f"No species in the knowledge base is recorded on {label}. That is no proof that nothing eats it."
        return Answer("unknown", topic, text, about=about, cautions=hazards_of(list(meant[:1]), knowledge))
    groups = {rank: [species_label(one.species, knowledge) for one in pairings if one.rank == rank] for rank in ORDER}
    eat = groups["primary"] + groups["accepted"]
    lines = [f"Larvae of {count_and_list(eat)} eat {label}." if eat else f"No species is recorded that does well on {label}."]
    if groups["poor"]:
        lines.append(f"Poorly, on this plant: {listed(groups['poor'])}.")
    if groups["emergency"]:
        lines.append(f"In an emergency, last instar only: {listed(groups['emergency'])}.")
    if groups["trap"]:
        lines.append(f"A trap, on which their larvae die: {listed(groups['trap'])}.")
    if len(plants) > len(meant):
        lines.append(naming.plant_also(host.said, [one for one in plants if one not in meant], knowledge))
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
        cautions=hazards_of(list(meant), knowledge, 3),
        next=(
            f"Tell me about the {first}",
            f"What do {first} larvae eat?",
            f"How long do {naming.plant_word(meant[0], knowledge)} cuttings keep?",
        ),
    )


def count_and_list(names: list[str], most: int = 8) -> str:
    return listed(names) if len(names) <= most else ", ".join(names[:most]) + f" and {len(names) - most} more"


class Verdict(NamedTuple):
    accepts: str
    plant: str
    reason: str
    sources: tuple[str, ...] = ()


def judge(species: str, plants: tuple[str, ...], knowledge) -> Verdict:
    """Whether larvae of `species` eat the plant; `plants` are all that its name may mean, the usual one first.

    `no` needs evidence: a pairing that says so, or a specialist whose host families are known and do not hold the plant.
    """
    pairs = [(plant, pairing) for plant in plants if (pairing := knowledge.pairing(species, plant))]
    if pairs:
        plant, pairing = pairs[0]
        return Verdict(ACCEPTS[pairing.rank], plant, pairing.reason, pairing.sources)
    known = knowledge.species(species)
    families = {one.family for name in plants if (one := knowledge.plant(name)) and one.family}
    if known and known.specialist and known.host_families and families and not families & set(known.host_families):
        reason = f"its larvae feed only within {listed(known.host_families)}, and this plant is of the family {listed(sorted(families))}"
        return Verdict(
            "no", plants[0], reason, tuple(source for one in knowledge.pairings_of(species)[:2] for source in one.sources)
        )
    kin = [
        one
        for one in knowledge.pairings_of(species)
        if one.rank in naming.EATEN and naming.genus(one.plant) == naming.genus(plants[0])
    ]
    reason = f"it does eat a relative, {naming.plant_label(kin[0].plant, knowledge)}" if kin else ""
    return Verdict("unrecorded", plants[0], reason, kin[0].sources if kin else ())


VERDICTS = {
    "yes": "Yes: {larvae} eat {plant}",
    "poor": "Only poorly: {larvae} eat {plant}, but do badly on it",
    "emergency": "Only in an emergency and only in the last instar: {larvae} can be kept going on {plant}",
    "trap": "No, it is a trap: eggs are laid on {plant}, but {larvae} die on it",
    "no": "No: {larvae} do not eat {plant}",
    "unrecorded": "No record of {larvae} eating {plant}; do not rely on it",
}


def accepts(request, nursery) -> Answer:
    topic, knowledge = "species-on-host", nursery.knowledge
    found = naming.the_species(request, nursery, topic, "Do {} larvae eat " + request.hosts[0].said + "?")
    if isinstance(found, Answer):
        return found
    host = request.hosts[0]
    plants = naming.plants_among(host, knowledge)
    verdict = judge(found.name, plants, knowledge)
    others = {judge(found.name, (plant,), knowledge).accepts for plant in plants if knowledge.pairing(found.name, plant)}
    if not host.usual and len(others) > 1:
        return naming.ask_plant(host, nursery, topic, f"Do {naming.spoken(found.name, knowledge)} larvae eat {{}}?")
    plant, larvae = naming.plant_label(verdict.plant, knowledge), f"larvae of {species_label(found.name, knowledge)}"
    lines = [VERDICTS[verdict.accepts].format(larvae=larvae, plant=plant) + "."]
    if verdict.reason:
        lines.append(sentence(verdict.reason))
    different = {}
    for other in plants:
        if (
            other != verdict.plant
            and (pairing := knowledge.pairing(found.name, other))
            and ACCEPTS[pairing.rank] != verdict.accepts
        ):
            different.setdefault(ACCEPTS[pairing.rank], naming.plant_label(other, knowledge))
    for kind, name in different.items():
        lines.append(f"Not the same for {name}: {kind}.")
    good = [one for one in knowledge.pairings_of(found.name) if one.rank in ("primary", "accepted")]
    if verdict.accepts != "yes" and good:
        lines.append(f"They do eat {named(good, knowledge, 4)}.")
    if request.species and (note := naming.also_means(found, request.species[0].said, knowledge)):
        lines.append(note)
    cautions = list(hazards_of([verdict.plant], knowledge, 3))
    if deadly(verdict.plant, knowledge):
        lines.insert(1, "It is deadly to people: never gather it.")
    if verdict.accepts == "trap":
        cautions.insert(
            0, f"Move eggs and larvae from {naming.plant_word(verdict.plant, knowledge)} to a true host the same day."
        )
    elif verdict.accepts in ("no", "unrecorded", "emergency", "poor"):
        cautions.insert(0, "A larva on the wrong plant starves beside it: keep it on a plant that is recorded for its species.")
    name = naming.spoken(found.name, knowledge)
    sources = verdict.sources or tuple(source for one in good[:4] for source in one.sources)
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about={"species": found.name, "host": verdict.plant},
        values={"accepts": Value(verdict.accepts)},
        items=(
            {
                "name": found.name,
                "label": knowledge.common(found.name),
                "rank": rank_of(found.name, verdict, knowledge),
                "plant": verdict.plant,
                "reason": verdict.reason,
            },
        ),
        sources=cite(knowledge, sources),
        cautions=tuple(cautions),
        next=(f"What do {name} larvae eat?", f"What eats {naming.plant_word(verdict.plant, knowledge)}?"),
    )


def rank_of(species: str, verdict: Verdict, knowledge) -> str:
    pairing = knowledge.pairing(species, verdict.plant)
    return pairing.rank if pairing else verdict.accepts
