"""Whose egg it is, and whether it is alive."""

import math
import re
from typing import NamedTuple

from nurserytui.answers import egg_traits, naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.wording import ask, cite, listed, percent, sentence, species_label
from nurserytui.knowledge.facts import EggTraits

TOPIC = "egg-identification"
PRIOR = {"primary": 1.0, "accepted": 0.6, "poor": 0.25, "trap": 0.2, "emergency": 0.02, "no": 0.01}
"""How often eggs are laid on a plant of that rank, against a primary host. Judged, not measured."""
RELATIVE, STRANGER = 0.06, 0.004
"""The same for another plant of a host's genus, and for a plant that is not on record."""
LOOK_ALIKE = 0.12
TOLD = re.compile(
    r"\b(legs?|antennae?|mov(e|es|ing)|rolls?|silk\w*|smear\w*|sticky|wet|fused|hairs?|hairy|jelly|wax\w*|lids?|spines?|chain|foam\w*)\b"
)
"""Words that tell an egg from other things; a look-alike whose own tell has the word is meant, anything else is not."""
OTHER = 0.12
"""The weight of an egg that is none of those known, before its traits; each trait fits it by `OTHER_FIT`."""
OTHER_FIT = 0.22
FAINT = 0.18
"""Below this share even the likeliest is only named, and more is asked."""
NEARBY, KEPT, FAR = 2.0, 1.5, 0.3
"""Factors for species of the keeper's region, for species the keeper has had, and for species of other regions only."""
ASKS = (
    "A single cream egg with ridges under a milkweed leaf",
    "A batch of green eggs under a nettle leaf",
    "A single pale yellow round egg on dill",
)


class Candidate(NamedTuple):
    name: str
    label: str
    weight: float
    fits: dict[str, float]
    traits: EggTraits
    host: str
    """Why the plant speaks for it."""
    what: str
    """`species` or `look-alike`."""
    tell: str
    sources: tuple[str, ...]


def egg_identification(request, nursery) -> Answer:
    """Species and look-alikes with probabilities by naive Bayes over the traits said, the plant, the place and the keeper's own."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    plants = tuple(dict.fromkeys(plant for host in request.hosts for plant in naming.plants_among(host, knowledge)))
    names = tuple(named.said for named in (*request.hosts, *request.species))
    seen = egg_traits.read(text, knowledge.traits, names)
    if not plants and not seen.anything:
        return ask(
            TOPIC,
            "Tell me the plant, and what you see: colour, shape, ribs or smooth, how many together, and where on the plant.",
            ASKS,
        )
    candidates = weigh(seen, plants, request, nursery)
    other = OTHER * math.prod([OTHER_FIT] * len(candidates[0].fits)) if candidates else 1.0
    total = sum(one.weight for one in candidates) + other
    probable = [(one, one.weight / total) for one in candidates]
    probable.sort(key=lambda pair: (-pair[1], pair[0].name))
    probable = [pair for pair in probable[:6] if pair[1] >= 0.01]
    if not probable or probable[0][1] < FAINT:
        near = [one.label for one, _ in probable[:3]]
        nearest = f" Nearest are {listed(near, 'or')}." if near else ""
        missing = lacking(seen, plants)
        tell = f" Tell me {listed(missing)}." if missing else ""
        return ask(TOPIC, f"Nothing on record fits that well.{nearest}{tell}", ASKS)
    return identified(seen, plants, probable, request, nursery)


def lacking(seen, plants) -> list[str]:
    wanted = {
        "the plant": bool(plants),
        "the colour": bool(seen.colours),
        "the shape": bool(seen.shapes or seen.ribbed),
    }
    wanted |= {"how many lie together": bool(seen.grouping), "where on the plant it sits": bool(seen.places)}
    return [words for words, said in wanted.items() if not said]


def weigh(seen, plants: tuple[str, ...], request, nursery) -> list[Candidate]:
    """Everything it could be, each with its weight: prior by plant and place times the likelihood of the traits said."""
    knowledge = nursery.knowledge
    region = naming.common_region(nursery)
    kept = {cohort.species for cohort in nursery.ledger.cohorts.values()}
    named = {name for one in request.species for name in naming.species_among(one.names, knowledge)}
    told = {word[:4] for word in told_words(request.plain or request.text)}
    found = []
    for species in knowledge.all_species():
        prior, host = plant_prior(species.scientific, plants, knowledge)
        if region and species.regions:
            prior *= NEARBY if region in species.regions else FAR
        if species.scientific in kept:
            prior *= KEPT
        if named:
            prior *= 1.0 if species.scientific in named else 0.1
        fits = egg_traits.fit(seen, species.egg)
        if told:
            fits["tell"] = 0.1
        label = species_label(species.scientific, knowledge)
        found.append(
            Candidate(
                species.scientific,
                label,
                prior * math.prod(fits.values()),
                fits,
                species.egg,
                host,
                "species",
                species.egg.looks,
                species.egg.sources,
            )
        )
    for other in knowledge.look_alikes():
        on = [plant for plant in plants for where in other.found_on if where != "any" and naming.same_plant(plant, where)]
        anywhere = "any" in other.found_on
        prior = LOOK_ALIKE * (1.5 if on else 1.0 if anywhere or not plants else 0.05)
        fits = egg_traits.fit(seen, other.egg)
        if told:
            own = {word[:4] for word in told_words(f"{other.tell} {other.egg.looks}".casefold())}
            fits["tell"] = 1.0 if told & own else 0.3
        found.append(
            Candidate(
                other.name,
                other.name,
                prior * math.prod(fits.values()),
                fits,
                other.egg,
                "",
                "look-alike",
                other.tell,
                other.sources,
            )
        )
    return found


def told_words(text: str) -> list[str]:
    return [match.group(0) for match in TOLD.finditer(text)]


def plant_prior(species: str, plants: tuple[str, ...], knowledge) -> tuple[float, str]:
    """How likely eggs of a species are on any of the plants that the words may mean, and the reason in words."""
    if not plants:
        return 0.3, ""
    best, reason = STRANGER, "not recorded on this plant"
    genera = {naming.genus(plant) for plant in plants}
    for place, plant in enumerate(plants):
        pairing = knowledge.pairing(species, plant)
        if pairing:
            weight = PRIOR[pairing.rank] * (1.0 if place == 0 or len(genera) == 1 else 0.6)
            if weight > best:
                best, reason = weight, f"{pairing.rank} host {naming.plant_word(pairing.plant, knowledge)}"
    if len(plants) > 1 and best > STRANGER:
        ranks = [pairing.rank for plant in plants if (pairing := knowledge.pairing(species, plant))]
        best *= 0.6 + 0.4 * sum(PRIOR[rank] for rank in ranks) / len(plants)
    if best == STRANGER and any(
        naming.genus(one.plant) in genera and one.rank in naming.EATEN for one in knowledge.pairings_of(species)
    ):
        best, reason = RELATIVE, "eats a relative of this plant"
    return best, reason


def identified(seen, plants, probable, request, nursery) -> Answer:
    knowledge = nursery.knowledge
    (first, sure), rest = probable[0], probable[1:]
    second = rest[0][0] if rest else None
    check = check_between(first, second) if second else ""
    items = []
    for one, probability in probable:
        against = second if one is first else first
        items.append(
            {
                "name": one.name,
                "label": knowledge.common(one.name) if one.what == "species" else one.label,
                "probability": round(probability, 3),
                "reason": reason_for(one),
                "check": check_between(one, against) if against else sentence(one.tell),
                "kind": one.what,
            }
        )
    how = "Almost surely" if sure >= 0.85 else "Most likely" if sure >= 0.5 else "Perhaps"
    what = f"the egg of {first.label}" if first.what == "species" else f"not a butterfly's egg but {first.label}"
    lines = [f"{how} {what} ({percent(sure)})."]
    if first.tell:
        lines.append(sentence(first.tell))
    if rest:
        lines.append(f"It could also be {listed([f'{one.label} ({percent(share)})' for one, share in rest[:3]], 'or')}.")
    if check:
        lines.append(f"What would tell them apart: {check}")
    missing = lacking(seen, plants)
    if missing and sure < 0.85:
        lines.append(f"It would help to know {listed(missing)}.")
    working = [f"Traits read from the line: {traits_said(seen)}."]
    for one, probability in probable[:3]:
        fitted = ", ".join(f"{trait} {fit:.2f}" for trait, fit in one.fits.items())
        working.append(
            f"{one.label}: {one.host or 'no plant given'}; fit of each trait {fitted or 'none said'}; share {percent(probability)}."
        )
    working.append(f"{percent(max(0.0, 1 - sum(share for _, share in probable)))} is left for other eggs.")
    about = {"stage": "egg"}
    if first.what == "species":
        about["species"] = first.name
    if plants:
        about["host"] = plants[0]
    name = naming.spoken(first.name, knowledge) if first.what == "species" else ""
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines),
        about=about,
        items=tuple(items),
        working=tuple(working),
        sources=cite(knowledge, (source for one, _ in probable[:3] for source in one.sources)),
        cautions=("Leave the egg on its piece of leaf; never peel it off to look.",),
        next=(f"How long do {name} eggs take to hatch?", f"What do {name} larvae eat?", f"Tell me about the {name}")
        if name
        else (),
    )


def reason_for(one: Candidate) -> str:
    """In words: what speaks for it and what against."""
    good = [trait for trait, fit in one.fits.items() if fit >= 0.6]
    bad = [trait for trait, fit in one.fits.items() if fit < 0.3]
    parts = [one.host] if one.host else []
    if good:
        parts.append(f"{listed(good)} fit{'s' if len(good) == 1 else ''}")
    if bad:
        parts.append(f"{listed(bad)} {'does' if len(bad) == 1 else 'do'} not")
    return "; ".join(parts) or "not ruled out by what was said"


def check_between(one: Candidate, other: Candidate) -> str:
    """The trait that best tells two candidates apart, as a sentence."""
    trait, mine, theirs = egg_traits.separating(one.traits, other.traits) or ("", "", "")
    if not trait:
        if one.what == other.what == "species":
            return f"Their eggs are much alike; compare {one.label}: {sentence(one.tell)} {other.label}: {sentence(other.tell)}"
        return sentence(other.tell if other.what == "look-alike" else one.tell)
    return f"Look at {egg_traits.ASKED[trait]}: {mine} for {one.label}, {theirs} for {other.label}."


def traits_said(seen) -> str:
    parts = []
    if seen.colours:
        parts.append("colour " + listed(seen.colours))
    if seen.shapes or seen.ribbed:
        parts.append("shape " + listed([*seen.shapes, *(["ribbed"] if seen.ribbed else [])]))
    if seen.grouping:
        parts.append("grouping " + listed(seen.grouping, "or") + (f" of {seen.count}" if seen.count else ""))
    if seen.places:
        parts.append("place " + egg_traits.in_words(seen.places))
    if seen.size_mm:
        parts.append(f"size {seen.size_mm:g} mm")
    return "; ".join(parts) or "none but the plant"
