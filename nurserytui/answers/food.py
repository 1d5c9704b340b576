"""How much plant larvae still need, and whether what is on hand will last: what the question is about."""

from __future__ import annotations

import re

from nurserytui.answers import eaters, food_short, food_stock, naming, portions
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.food_needs import LASTING, Needs, shares_words
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.selection import elsewhere, wanted
from nurserytui.answers.wording import OWN_RECORDS, ask, cite
from nurserytui.biology import feeding

TOPIC = "food-supply"
WHICH_INSTAR = re.compile(
    r"\b(which|what) instar\b|\b(which|what|at what|in which) stage\b.*\b(most|greatest|biggest|hungr\w+|appetite|largest)\b|\beat\w* (the )?most\b|\b(hungriest|biggest (eater|appetite))\b"
)
OF_AN_INSTAR = re.compile(
    r"\b(most|last instar|share)\b.*\binstar|\binstar\b.*\b(most|share)\b|\b(everything|all|total|part|bulk|share|fraction|percent\w*)\b.*\b(last|final) (instar|stage|skin)\b"
)
SHARE = re.compile(
    r"\b(?:share|part|fraction|percent\w*|proportion|bulk|how much) (?:of|is) (?:it |all |the |its |their |everything|that|total|whole|a )*\w*"
)
"""Words that ask for a share of all food rather than for an amount."""
LACKING = re.compile(r"\b(what else|instead|substitut\w*|emergenc\w*|alternativ\w*|any other (plant|food))\b")
FULL_GROWN = re.compile(r"\bfull(y)?[- ]?grown\b|\b(last|final|ultimate) instar\b")
ALL = re.compile(r"\b(everything|everyone|everybody|all of (them|my)|all my|them all|they all|the (whole )?lot|altogether)\b")
HOLDING = re.compile(r"\bbutterfl(y|ies) i (am|m) holding|hold\w* back\b")


def food_supply(request, nursery) -> Answer:
    """What one larva, so many larvae or a cohort still eat, by day; by which day the plant on hand is gone, where it is told."""
    text = request.plain or request.text
    if LACKING.search(text) and (request.species or request.cohorts):
        from nurserytui.answers.hosts import hosts_of_species

        return hosts_of_species(request, nursery)
    if "adult" in request.stages or HOLDING.search(text):
        from nurserytui.answers.seasons import release

        return release(request, nursery)
    if WHICH_INSTAR.search(text) or (OF_AN_INSTAR.search(text) and not (request.species or request.cohorts)):
        return by_instar(nursery.knowledge)
    if request.instar and SHARE.search(text) and "most" in request.cues and not request.cohorts and request.count is None:
        return by_instar(nursery.knowledge)
    request = food_stock.own_slots(request, text)
    plant = portions.told(text, tuple(host.said for host in request.hosts))
    if not request.hosts and not request.cohorts and food_short.ALL_STOCK.search(text):
        return food_short.all_stock(nursery)
    if food_stock.asked(request, text, plant) and (not request.cohorts or food_stock.told_of(request, nursery)):
        return food_stock.food_stock(request, text, nursery)
    species = species_meant(request, nursery)
    if isinstance(species, Answer):
        return species
    who = eaters_of(request, species, plant, text, nursery)
    if isinstance(who, Answer):
        return who
    if who is None:
        return in_general(text, nursery.knowledge)
    if not who.count:
        return nobody_eats(request, who, nursery)
    return Needs(request, text, species, plant, who, nursery).answer()


def by_instar(knowledge) -> Answer:
    rules = [rule for rule in (knowledge.rule("last-instar-share"), knowledge.rule("instar-shares")) if rule]
    first = "In the last instar (the fifth in most species): it eats about three quarters of all its food then."
    return Answer(
        "answered",
        TOPIC,
        "\n".join([first, *lines_of(rules)]),
        items=tuple(
            {"name": f"instar {at}", "label": f"L{at}", "share": share} for at, share in enumerate(feeding.FOOD_SHARES, 1)
        ),
        working=(f"Planning shares of all food: {shares_words(5)}.",),
        sources=cite(knowledge, sources_of(rules)),
        next=("How much milkweed does one monarch caterpillar need?",),
    )


def species_meant(request, nursery):
    """The species, "" where none is named and the question is general; an Answer asks back."""
    if request.species:
        found = naming.the_species(request, nursery, TOPIC, "How much does one {} larva eat?")
        return found if isinstance(found, Answer) else found.name
    if request.cohorts:
        kept = nursery.ledger.cohorts.get(request.cohorts[0])
        return kept.species if kept else ""
    if request.unknown_names:
        return naming.no_such_name(request.unknown_names[0], nursery, TOPIC, "How much does one {} larva eat?")
    return ""


def eaters_of(request, species: str, plant: portions.Plant, text: str, nursery):
    """From the line (`twenty monarch caterpillars`), else from the records of the cohort, the enclosure or the plant meant.

    None where the question is about no animals in particular; an Answer asks back.
    """
    count = plant.animals if plant.supply is not None and request.count == plant.supply[0] else request.count
    if request.cohorts or request.enclosures:
        return eaters.recorded(request.cohorts, request.enclosures, nursery).some(count)
    instar = request.instar
    if instar == -1 or (instar is None and FULL_GROWN.search(text)):
        instar = eaters.instars_of(species, nursery.knowledge)
    if species or count or instar:
        return eaters.stated(count or 1, species, instar, nursery)
    if request.hosts:
        hosts = {name for host in request.hosts for name in naming.plants_among(host, nursery.knowledge)}
        labels = feeding_on(hosts, nursery)
        return eaters.recorded(labels, (), nursery) if labels else eaters.Eaters((), "", True)
    if ALL.search(text):
        labels = known_feeders(nursery)
        return eaters.recorded(labels, (), nursery) if labels else None
    if LASTING.search(text):
        labels = tuple(dict.fromkeys(key.cohort for key, _ in nursery.heads(stage="larva")))
        if len(labels) == 1:
            return eaters.recorded(labels, (), nursery)
        if labels:
            return which_cohort(plant, labels, nursery)
    return None


def known_feeders(nursery) -> tuple[str, ...]:
    """Cohorts with eggs or larvae whose species is known."""
    held = (key.cohort for key, _ in nursery.heads() if key.stage in ("egg", "larva"))
    return tuple(dict.fromkeys(label for label in held if nursery.ledger.cohorts[label].species not in ("", "unknown")))


def which_cohort(plant: portions.Plant, labels: tuple[str, ...], nursery) -> Answer:
    options = []
    for label in labels[:6]:
        host = nursery.ledger.cohorts[label].host
        of = f" of {naming.plant_word(host, nursery.knowledge)}" if host else ""
        if plant.supply:
            options.append(f"Are {plant.supply[0]:g} {plant.supply[1]}{of} enough for {label}?")
        else:
            options.append(f"Will the {naming.plant_word(host, nursery.knowledge) if host else 'plant'} last for {label}?")
    return ask(TOPIC, "For which cohort: different larvae eat different plants, and not at the same pace?", options)


def feeding_on(hosts, nursery) -> tuple[str, ...]:
    """Cohorts with eggs or larvae that feed on one of the plants, by their record or, where none is noted, by their species."""
    found = []
    for key, _ in nursery.heads():
        known = nursery.ledger.cohorts[key.cohort]
        if key.stage not in ("egg", "larva"):
            continue
        if known.host:
            fits = any(naming.same_plant(known.host, host) for host in hosts)
        else:
            fits = any(naming.eats(nursery.knowledge, known.species, host) for host in hosts)
        if fits:
            found.append(key.cohort)
    return tuple(dict.fromkeys(found))


def nobody_eats(request, who: eaters.Eaters, nursery) -> Answer:
    if moved := elsewhere(nursery, wanted(request, nursery)):
        return ask(TOPIC, moved, tuple(f"How much does {label} still need?" for label in request.cohorts))
    if request.cohorts:
        label = request.cohorts[0]
        return Answer(
            "answered",
            TOPIC,
            f"Cohort {label} needs no more plant: {who.words}.",
            about={"cohort": label},
            values={"needed": Value(0, "g")},
            sources=(OWN_RECORDS,),
        )
    on = f" feed on {request.hosts[0].said}" if request.hosts else " are there"
    return Answer(
        "unknown",
        TOPIC,
        f"In the records no eggs or larvae{on} now, so nothing of it is eaten that I know of. Say how many larvae of what, or which cohort.",
        values={"needed": Value(None, "g", reason="no eggs or larvae to feed are on record")},
        sources=(OWN_RECORDS,),
        next=("headcount", "How much milkweed does one monarch caterpillar need?"),
    )


def in_general(text: str, knowledge) -> Answer:
    """About no animals in particular: what can be said all the same."""
    rules = pick(knowledge, ("food",), text) or [
        rule for rule in knowledge.rules("food") if rule.id in ("last-instar-share", "monarch-plant")
    ]
    lines = [
        "That depends on the species and the plant; for the monarch it is about one mature milkweed plant for each larva.",
        *lines_of(rules, 4),
    ]
    return Answer(
        "answered",
        TOPIC,
        "\n".join(dict.fromkeys(lines)),
        values={"needed": Value(None, "plants", reason="it depends on the species and the plant, and neither is named")},
        sources=cite(knowledge, sources_of(rules[:4])),
        cautions=("Never take in more eggs than there is plant for.",),
        next=("In which instar do they eat the most?", "How much milkweed does one monarch caterpillar need?"),
    )
