"""What every answer on hosts shares: ranks and their words, plants that are never offered, hazards, and what a line lacks or asks for."""

from __future__ import annotations

import re
from collections.abc import Iterable

from nurserytui.answers import naming
from nurserytui.answers.wording import capital, listed, sentence
from nurserytui.knowledge.facts import Pairing

ORDER = ("primary", "accepted", "poor", "emergency", "no", "trap")
GOOD = ("primary", "accepted")
MARKED = {
    "primary": "main host",
    "accepted": "eaten well",
    "poor": "a poor host",
    "emergency": "last instar only, and only in an emergency",
    "trap": "TRAP: eggs are laid on it, larvae die",
    "no": "not eaten",
}
SHORT = re.compile(
    r"\b(run(ning|s)? (out|low|short)|ran (out|low|short)|emergenc\w*|substitut\w*|no more|(all|nearly|almost) out of|out of|nothing left"
    r"|stripped|all gone|starv\w*|desperate\w*|short of|used up|eaten (all|up|bare))\b"
)
LACKED_BEFORE = re.compile(
    r"\b(out of|low on|no more|no|not any|without|from|off|instead of|other than|else than|rather than|besides|except|apart from|short of|replac\w+"
    r"|substitutes? (for|to)|alternatives? (for|to)|lost|finished|stripped|used up|eaten|only)\s+((all|up|the|my|our|their|any|its|bare)\s+)*$"
)
LACKED_AFTER = re.compile(
    r"^\W*((leaves|plants?|left|cuttings)\W*)?((is|are|was|were|has|have|it|all|just|been|got)\W+)*"
    r"(left|gone|finished|out|ran out|run out|dead|died|wilted|eaten|stripped|over|used up)\b"
)
MOVING = re.compile(r"\W*(?:\w+\W+){0,3}?(?:switch|swap|chang|mov|go|cross|transfer)\w*\b.{0,20}\b(?:to|onto|for)\b")
"""After a plant that larvae are taken off (`on dill switch to rue`)."""
TRIED = re.compile(r"\b(is|are|would|could|will|might)\s+((an?|the|some|any|my|our)\s+)?$")
"""Before a plant that a question is about: `is spinach a substitute`."""
EATEN = re.compile(
    r"^(?:\W*(?:so|and|but|ok|hi|hello|please|hm+|well|erm?)\b)*\W*(?:do|does|can|could|will|would|may|might|should|shall|are|is|if i|if we)\b.*"
    r"\b(?:eat|eats|have|take|accept|touch|try|use|given?|fed?|feed|on|onto|with|of)\s+((an?|the|some|any|my|our|bits?|leaves|of|shop|bought|fresh|wild)\s+)*$"
)
"""Before the only plant of a yes-or-no question, which is then what is asked about (`would they eat spinach if I have nothing else`)."""
WHETHER = re.compile(
    r"^\W*(?:lea(?:f|ves)|plants?|foliage)?\W*(?:is it |are they |would it be )?(?:suitable|ok|okay|fine|safe|alright|all right|any good|accepted|edible|possible|allowed|usable)\W*$"
)
"""Behind the only plant of a line that asks whether it will do."""
OTHERWISE = re.compile(r"\b(?:what|which|anything|something|any other)\b")
"""Words of a question for other plants than the one it names."""
TOGETHER = re.compile(r"\W*(and|or|nor|&)\s+((the|my|any|no)\s+)?")
BUYING = re.compile(
    r"\b(buy(ing)?|bought|purchas\w*|garden cent(er|re)s?|nursery (plant|stock|tree)s?|(from|at) (a|the) (nursery|shop|store)|shops?\b|stores?\b"
    r"|supermarkets?|grocer\w*|big[- ]box|(un)?treated|organic|pesticid\w*|insecticide\w*|spray\w*|systemics?|neonic\w*)\b"
)
BEGAN = re.compile(r"\b[Ll]arvae that began on (?!it\b)(?P<on>[^.]*?) (?P<some>may |mostly |often )?refuse\b")
"""A reason that says which larvae do not take the plant over: those that already eat another."""
SMALL = re.compile(
    r"\b(small|tiny|little|young|baby|babies|hatchlings?|new(ly)?[- ]?hatched|just hatched)\b(?! (white|tortoiseshell|copper|heath|blue|skipper)s?\b)"
)
UNTREATED = (
    "Buy only plants known to be untreated: ask in writing what was applied, keep new plants apart, and feed one spare larva first for "
    "48 hours. Systemic insecticide stays in trees and shrubs for a season or more, and rinsing does not take it out."
)


def rank_place(rank: str) -> int:
    return ORDER.index(rank) if rank in ORDER else len(ORDER)


def deadly(name: str, knowledge) -> bool:
    """Whether the plant kills people who take it for another: never to be gathered, even where larvae eat it."""
    plant = knowledge.plant(name)
    return any("deadly" in hazard.what.casefold() and "people" in hazard.who for hazard in (plant.hazards if plant else ()))


GRAVE = re.compile(r"\bsevere burns\b|\bdeadly\b", re.IGNORECASE)


def grave(names: Iterable[str], knowledge) -> str:
    """The sentence on the first of the plants that burns people badly or kills them, which is told before all else; "" for none."""
    for name in names:
        plant = knowledge.plant(name)
        for hazard in plant.hazards if plant else ():
            if "people" in hazard.who and GRAVE.search(hazard.what):
                return hazard_sentence(naming.plant_word(name, knowledge), hazard)
    return ""


def looks_of(hosts: Iterable, knowledge) -> list[str]:
    """A line for each of the plants named, by which they are told apart."""
    known = [knowledge.plant(naming.plants_among(host, knowledge)[0]) for host in hosts]
    plants = {plant.scientific: plant for plant in known if plant and plant.looks}
    return [f"{capital(naming.plant_label(name, knowledge))}: {sentence(plant.looks)}" for name, plant in plants.items()]


def plant_item(pairing: Pairing, knowledge) -> dict:
    """A pairing as an item of a list of plants."""
    reason = (
        ("DEADLY to people, never gather it; " if deadly(pairing.plant, knowledge) else "")
        + MARKED[pairing.rank]
        + (f": {pairing.reason}" if pairing.reason else "")
    )
    return {"name": pairing.plant, "label": naming.plant_word(pairing.plant, knowledge), "rank": pairing.rank, "reason": reason}


def hazards_of(plants: Iterable[str], knowledge, most: int = 4) -> tuple[str, ...]:
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
    return f"{capital(plant)} ({hazard.who}): {sentence(hazard.what)} {sentence(hazard.precaution)}"


def named(pairings: list[Pairing], knowledge, most: int) -> str:
    told = [naming.genus(one.plant) for one in pairings]
    names = [
        ("other kinds of " if naming.is_genus(one.plant) and told.count(naming.genus(one.plant)) > 1 else "")
        + naming.plant_label(one.plant, knowledge)
        for one in pairings
    ]
    if len(names) > most:
        return ", ".join(names[:most]) + f" and {len(names) - most} more"
    return listed(names)


def because(pairing: Pairing) -> str:
    return f" ({pairing.reason.rstrip('.')})" if pairing.reason else ""


def told_apart(request) -> tuple[tuple, tuple]:
    """The hosts of a line that the keeper lacks, and those that the line asks about instead; with nothing asked, all are lacked."""
    text, end = request.plain.casefold(), 0
    if len(request.hosts) < 2:
        before, _, after = text.partition(request.hosts[0].said.casefold()) if request.hosts else ("", "", "")
        tried = TRIED.search(before) or (EATEN.search(before) and not OTHERWISE.search(text))
        tried = (tried or WHETHER.match(after)) and not LACKED_AFTER.match(after)
        return ((), request.hosts) if tried else (request.hosts, ())
    lacked, asked = [], []
    for host in sorted(request.hosts, key=lambda one: text.find(one.said.casefold())):
        start = text.find(host.said.casefold(), end)
        between, before = text[end : max(start, end)], text[: max(start, 0)]
        after = text[start + len(host.said) :]
        joined = bool(lacked) and not asked and TOGETHER.fullmatch(between)
        moved = len(lacked) + len(asked) + 1 < len(request.hosts) and MOVING.match(after)
        gone = start >= 0 and (joined or moved or LACKED_BEFORE.search(before) or LACKED_AFTER.match(after))
        (lacked if gone else asked).append(host)
        end = start + len(host.said) if start >= 0 else end
    return (tuple(lacked), tuple(asked)) if lacked else (request.hosts, ())


def refused_after(pairing_reason: str, lacked: tuple) -> str:
    """`no` or `poor` where larvae that began on a plant that has run out do not take this one over; "" where nothing says so."""
    found = BEGAN.search(pairing_reason)
    if not found:
        return ""
    on = found["on"].casefold()
    if "another plant" not in on and not any(
        word in on for host in lacked for word in {host.said.casefold(), host.said.casefold().rstrip("s")}
    ):
        return ""
    return "poor" if found["some"] else "no"


def too_small(request, species: str, nursery) -> bool:
    """Whether the line, or the records of the cohort it names, say that the larvae are before their last instar."""
    known = nursery.knowledge.species(species)
    last = known.instars if known else 5
    if request.instar:
        return 0 < request.instar < last  # the last one is -1
    if SMALL.search(request.plain):
        return True
    instars = [
        key.instar for label in request.cohorts for key, _ in nursery.heads(cohort=label) if key.stage == "larva" and key.instar
    ]
    return bool(instars) and max(instars) < last
