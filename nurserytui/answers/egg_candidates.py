"""Everything that an egg on a plant may be, and how likely before its traits are looked at."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from nurserytui.answers import naming
from nurserytui.answers.sign_match import denied, like, words_of
from nurserytui.answers.wording import species_label
from nurserytui.knowledge.facts import EggTraits

LAID = {"primary": 1.0, "accepted": 0.6, "poor": 0.25, "trap": 0.2, "emergency": 0.02, "no": 0.01}
"""How often eggs are laid on a plant of that rank, against a primary host. Judged, not measured."""
SECOND_MEANING, RELATIVE = 0.6, 0.06
"""Factor where only another meaning of the plant's name is a host; and the weight of another plant of a host's genus."""
SPECIES, STRANGERS, LOOK_ALIKES = 0.62, 0.06, 0.24
"""What of all the doubt goes to species that eat the plant, to eggs of others on it, and to what is no egg of a butterfly; the rest is for
eggs that are not on record. Judged, not measured."""
ENOUGH = 0.25
"""The weight of hosts at which half of the share for species is given; a plant that hardly any eats leaves more to what is unknown."""
ON_IT, ELSEWHERE = 0.5, 0.04
"""The part of the look-alikes' share that goes to those of the plant said, and the weight of one of other plants against one of any."""
NEARBY, KEPT, FAR, SAID_FAR = 1.6, 1.5, 0.3, 0.04
"""Factors for species of the keeper's region, for species the keeper has had, and for species of other regions only: where the region is
taken from the keeper's settings and animals (a line may be about somewhere else), and where the line itself says it."""
NAMED = 8.0
"""Factor for the species that the line itself suspects."""


class Candidate(NamedTuple):
    name: str
    label: str
    what: str
    """`species` or `look-alike`."""
    prior: float
    card: EggTraits
    host: str
    """Why the plant speaks for it."""
    tell: str
    """What shows that it is this, as a sentence."""
    action: str
    telling: int
    """How many of its telling words the line has."""
    sources: tuple[str, ...]


def gather(plants: tuple[str, ...], request, nursery) -> tuple[list[Candidate], float]:
    """All candidates with their priors, and the prior of an egg that is none of them; all priors sum to 1."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    hosts = host_weights(plants, knowledge)
    region = naming.region_of(text, nursery)
    far = SAID_FAR if naming.region_said(text) else FAR
    kept = {cohort.species for cohort in nursery.ledger.cohorts.values()}
    suspected = {name for one in request.species for name in naming.species_among(one.names, knowledge)}
    eaters, strangers = [], []
    for species in knowledge.all_species():
        if not species.egg.colours:
            continue
        weight, reason = hosts.get(species.scientific, (0.0, "not recorded on this plant"))
        factor = species.egg.met
        if region and species.regions:
            factor *= NEARBY if region in species.regions else far
        factor *= KEPT if species.scientific in kept else 1.0
        factor *= NAMED if species.scientific in suspected else 1.0
        if not plants:
            eaters.append((species, factor, ""))
        elif weight:
            eaters.append((species, factor * weight, reason))
        else:
            strangers.append((species, factor, reason))
    mass = sum(weight for _, weight, _ in eaters)
    share = SPECIES * (mass / (mass + ENOUGH)) if mass else 0.0
    found = [_of_species(each, share / mass, knowledge) for each in eaters]
    others = sum(weight for _, weight, _ in strangers)
    found += [_of_species(each, STRANGERS / others, knowledge) for each in strangers]
    for one, species in _look_alikes(plants, text, knowledge):
        at = next((at for at, other in enumerate(found) if other.name in species), None) if species else None
        if at is None:
            found.append(one)
        else:
            found[at] = found[at]._replace(prior=found[at].prior + one.prior, telling=one.telling)
    return found, max(1.0 - sum(one.prior for one in found), 0.02)


def _of_species(each, scale: float, knowledge) -> Candidate:
    species, weight, reason = each
    card = species.egg
    label = species_label(species.scientific, knowledge)
    return Candidate(species.scientific, label, "species", weight * scale, card, reason, card.looks, "", 0, card.sources)


def _look_alikes(plants: tuple[str, ...], text: str, knowledge) -> list[tuple[Candidate, tuple[str, ...]]]:
    """Each with the species whose eggs it is, if any."""
    words = words_of(text)
    starts: dict[str, list[int]] = {}
    for at, word in enumerate(words):
        starts.setdefault(word[0], []).append(at)
    weighed = []
    for one in knowledge.look_alikes():
        on = any(naming.same_plant(plant, where) for plant in plants for where in one.found_on if where != "any")
        weight = 1.0 if "any" in one.found_on or not plants or on else ELSEWHERE
        weighed.append((one, weight, on, told_by(one.words, words, starts)))
    total = sum(weight for _, weight, _, _ in weighed) or 1.0
    many = sum(on for _, _, on, _ in weighed)
    found = []
    for one, weight, on, told in weighed:
        share = weight / total * (1 - ON_IT if many else 1.0) + (ON_IT / many if on else 0.0)
        share *= LOOK_ALIKES
        named = Candidate(one.name, one.name, "look-alike", share, one.egg, "", one.tell, one.action, told, one.sources)
        found.append((named, one.species))
    return found


def told_by(stems: tuple[str, ...], words: list[str], starts: dict[str, list[int]]) -> int:
    """How many words of the line are telling words (or phrases of them) that it does not deny; `starts` are the places of the words
    by their first letter."""
    said: set[int] = set()
    for stem in stems:
        parts = _parts(stem)
        for at in starts.get(parts[0][0], ()):
            following = words[at : at + len(parts)]
            if at not in said and len(following) == len(parts) and all(map(like, parts, following)):
                if not denied(words, at):
                    said.update(range(at, at + len(parts)))
                break
    return len(said)


@lru_cache(maxsize=1024)
def _parts(stem: str) -> tuple[str, ...]:
    return tuple(words_of(stem))


def host_weights(plants: tuple[str, ...], knowledge) -> dict[str, tuple[float, str]]:
    """Species that may lay on any of the plants that the words may mean: how readily, and the reason in words."""
    found: dict[str, tuple[float, str]] = {}
    genera = list(dict.fromkeys(naming.genus(plant) for plant in plants))
    for place, plant in enumerate(plants):
        first = place == 0 or naming.genus(plant) == genera[0]
        for pairing in knowledge.pairings_on(plant):
            weight = LAID[pairing.rank] * (1.0 if first else SECOND_MEANING)
            if weight > found.get(pairing.species, (0.0, ""))[0]:
                found[pairing.species] = (weight, f"{pairing.rank} host {naming.plant_word(pairing.plant, knowledge)}")
    for genus in genera:
        for pairing in knowledge.pairings_on(f"{genus} spp."):
            if pairing.species not in found and pairing.rank in naming.EATEN:
                found[pairing.species] = (RELATIVE, "eats a relative of this plant")
    return found
