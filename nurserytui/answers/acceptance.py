"""Whether larvae of a species eat a plant: yes, poorly, in an emergency, a trap, no, or not recorded."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.host_words import (
    BUYING,
    GOOD,
    UNTREATED,
    deadly,
    grave,
    hazards_of,
    named,
    rank_place,
    refused_after,
    too_small,
)
from nurserytui.answers.wording import cite, listed, sentence, species_label
from nurserytui.knowledge.facts import Pairing

TOPIC = "species-on-host"
ACCEPTS = {"primary": "yes", "accepted": "yes", "poor": "poor", "emergency": "emergency", "trap": "trap", "no": "no"}
VERDICTS = {
    "yes": "Yes: {larvae} eat {plant}",
    "poor": "Only poorly: {larvae} eat {plant}, but do badly on it",
    "emergency": "Only in an emergency and only in the last instar: {larvae} can be kept going on {plant}",
    "trap": "No, it is a trap: eggs are laid on {plant}, but {larvae} die on it",
    "no": "No: {larvae} do not eat {plant}",
    "unrecorded": "No record of {larvae} eating {plant}; do not rely on it",
}
TO_KNOW = (
    "That is no proof that they refuse it. To know, it would take a record of larvae of this species that fed on it and pupated; one bite "
    "tells little."
)
KINDS = {
    "yes": "eaten",
    "poor": "eaten poorly",
    "emergency": "eaten by the last instar only, in an emergency",
    "unrecorded": "not on record as eaten",
    "no": "not eaten",
    "trap": "a trap",
}


class Verdict(NamedTuple):
    accepts: str
    plant: str
    reason: str
    sources: tuple[str, ...] = ()
    rank: str = ""
    """The rank of the pairing behind it, "" where there is none."""
    genus: str = ""
    """`Genus spp.` where the record is of the whole genus and the plant asked for is one of its kinds."""


def judge(species: str, plants: tuple[str, ...], knowledge) -> Verdict:
    """Whether larvae of `species` eat the plant; `plants` are all that its name may mean, the usual one first.

    `no` needs evidence: a pairing that says so, or a specialist whose host families are known and do not hold the plant.
    """
    for plant in plants:
        if pairing := knowledge.pairing(species, plant):
            other = (
                ""
                if pairing.plant == plant or naming.is_genus(pairing.plant)
                else f"{naming.plant_label(pairing.plant, knowledge)}: "
            )
            genus = pairing.plant if naming.is_genus(pairing.plant) and not naming.is_genus(plant) else ""
            return Verdict(ACCEPTS[pairing.rank], plant, other + pairing.reason, pairing.sources, pairing.rank, genus)
    known = knowledge.species(species)
    pairings = knowledge.pairings_of(species)
    cards = [knowledge.plant(name) for name in plants]
    if known and known.specialist and known.host_families and all(card and card.family for card in cards):
        families = {card.family for card in cards}
        taken = {card.family for one in pairings if one.rank not in ("no", "trap") and (card := knowledge.plant(one.plant))}
        if not families & (taken | set(known.host_families)):
            reason = f"its larvae feed only within {listed(known.host_families)}, and this plant is of the family {listed(sorted(families))}"
            return Verdict("no", plants[0], reason, evidence(known))
    kin = [one for one in pairings if one.rank in naming.EATEN and naming.genus(one.plant) == naming.genus(plants[0])]
    reason = f"it does eat a relative, {naming.plant_label(kin[0].plant, knowledge)}" if kin else ""
    return Verdict("unrecorded", plants[0], reason, kin[0].sources if kin else ())


def evidence(species) -> tuple[str, ...]:
    """The sources of what is said on the families that a specialist eats."""
    told = [
        note for note in species.notes if any(family in note.text for family in species.host_families) or "feed on" in note.text
    ]
    return tuple(dict.fromkeys(source for note in told for source in note.sources))


def accepts(request, nursery, lacked: tuple = ()) -> Answer:
    """The verdict on the line's species and plant; `lacked` are plants that the line says have run out."""
    knowledge = nursery.knowledge
    found = naming.the_species(request, nursery, TOPIC, "Do {} larvae eat " + request.hosts[0].said + "?")
    if isinstance(found, Answer):
        return for_each(found, request, knowledge)
    host = request.hosts[0]
    plants = naming.plants_among(host, knowledge)
    verdict = judge(found.name, plants, knowledge)
    kinds = by_kind(found.name, plants, knowledge)
    if not host.usual and len(kinds) > 1:
        return naming.ask_plant(host, nursery, TOPIC, f"Do {naming.spoken(found.name, knowledge)} larvae eat {{}}?")
    moved = verdict.accepts == "yes" and refused_after(verdict.reason, lacked)
    if moved:
        verdict = verdict._replace(accepts=moved)
    larvae, name = f"larvae of {species_label(found.name, knowledge)}", naming.spoken(found.name, knowledge)
    lines = [first_line(verdict, kinds, larvae, bool(moved), knowledge)]
    if verdict.accepts == "emergency" and too_small(request, found.name, nursery):
        word = naming.plant_word(verdict.plant, knowledge)
        lines.insert(
            0, f"Not for larvae this small: on {word} they rarely live. It is for the last instar only, in an emergency."
        )
        del lines[1]
    if danger := grave(plants[:1], knowledge):
        lines.insert(0, danger)
    if verdict.reason:
        lines.append(sentence(verdict.reason))
    if verdict.genus:
        lines.append(f"The record is of the genus ({verdict.genus}), not of this kind: try it on one larva first.")
    for kind, others in kinds.items():
        if kind not in (verdict.accepts, "trap") and verdict.plant not in others:
            lines.append(f"Not the same for {listed([naming.plant_label(one, knowledge) for one in others[:4]])}: {KINDS[kind]}.")
    if verdict.accepts == "unrecorded":
        lines.append(TO_KNOW)
    gone = {name for one in lacked for name in (*naming.plants_among(one, knowledge), *one.names)}
    good = [
        one
        for one in knowledge.pairings_of(found.name)
        if one.rank in GOOD and one.plant not in gone and one.plant != verdict.plant and not deadly(one.plant, knowledge)
    ]
    if (verdict.accepts != "yes" or lacked) and good:
        good.sort(key=lambda one: bool(refused_after(one.reason, lacked)))
        lines.append(f"They do eat {named(good, knowledge, 4)}.")
    if request.species and (note := naming.also_means(found, request.species[0].said, knowledge)):
        lines.append(note)
    sources = verdict.sources or tuple(source for one in good[:4] for source in one.sources)
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines),
        about={"species": found.name, "host": verdict.plant},
        values={"accepts": Value(verdict.accepts)},
        items=(
            {
                "name": found.name,
                "label": knowledge.common(found.name),
                "rank": verdict.rank or verdict.accepts,
                "plant": verdict.plant,
                "reason": verdict.reason,
            },
        ),
        sources=cite(knowledge, sources),
        cautions=cautions_of(verdict, request, knowledge),
        next=(f"What do {name} larvae eat?", f"What eats {naming.plant_word(verdict.plant, knowledge)}?"),
    )


def for_each(asked: Answer, request, knowledge) -> Answer:
    """The question back which species is meant, with the verdict for each that it may be."""
    if asked.status != "clarify" or not request.species:
        return asked
    plants = naming.plants_among(request.hosts[0], knowledge)
    found: dict[str, list[str]] = {}
    for name in naming.species_among(request.species[0].names, knowledge):
        if knowledge.pairings_of(name):
            found.setdefault(judge(name, plants, knowledge).accepts, []).append(species_label(name, knowledge))
    told = [f"{KINDS[kind]} {'for' if kind == 'trap' else 'by'} {listed(found[kind])}" for kind in KINDS if kind in found]
    if not told:
        return asked
    verdicts = sentence(f"{request.hosts[0].said}: {'; '.join(told)}")
    if deadly(plants[0], knowledge):
        verdicts += " It is deadly to people: never gather it."
    lines = [grave(plants[:1], knowledge), asked.text, verdicts]
    return asked._replace(text="\n".join(line for line in lines if line), cautions=hazards_of(plants[:1], knowledge))


def by_kind(species: str, plants: tuple[str, ...], knowledge) -> dict[str, list[str]]:
    """The plants that a name may mean and that are on record for the species, by verdict, the best verdict first."""
    own: list[Pairing] = [one for one in knowledge.pairings_of(species) if one.plant in plants]
    found: dict[str, list[str]] = {}
    for one in sorted(own, key=lambda one: rank_place(one.rank)):
        found.setdefault(ACCEPTS[one.rank], []).append(one.plant)
    return found


def first_line(verdict: Verdict, kinds: dict, larvae: str, moved: bool, knowledge) -> str:
    """The verdict in one line; where the name covers traps as well as food, the traps are in it."""
    plant = naming.plant_label(verdict.plant, knowledge)
    if moved:
        refuse = "often refuse it" if verdict.accepts == "poor" else "refuse it"
        return f"Not for larvae that already eat something else: {larvae} that hatch on {plant} eat it, others {refuse}."
    line = VERDICTS[verdict.accepts].format(larvae=larvae, plant=plant)
    if deadly(verdict.plant, knowledge):
        line += (
            ", and it is deadly to people: never gather it"
            if verdict.accepts != "yes"
            else ", but it is deadly to people: never gather it"
        )
    traps = [one for one in kinds.get("trap", ()) if one != verdict.plant]
    if verdict.genus and verdict.accepts == "yes":
        line = line.replace("Yes: ", "Yes, going by its genus: ", 1)
    if traps and verdict.accepts in ("yes", "poor", "emergency"):
        line = line.replace("Yes: ", "Yes, but not all kinds: ", 1)
        line += f"; {listed([naming.plant_label(one, knowledge) for one in traps[:5]])} {'are traps' if len(traps) > 1 else 'is a trap'}"
        line += ", on which they die"
    return line + "."


def cautions_of(verdict: Verdict, request, knowledge) -> tuple[str, ...]:
    found = list(hazards_of([verdict.plant], knowledge, 3))
    if verdict.accepts == "trap":
        found.insert(0, f"Move eggs and larvae from {naming.plant_word(verdict.plant, knowledge)} to a true host the same day.")
    elif verdict.accepts in ("no", "unrecorded", "emergency", "poor"):
        found.insert(0, "A larva on the wrong plant starves beside it: keep it on a plant that is recorded for its species.")
    if BUYING.search(request.plain):
        found.insert(0, UNTREATED)
    return tuple(found)
