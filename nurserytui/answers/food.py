"""How much plant larvae still need, and whether what is on hand will last."""

import re
from datetime import timedelta
from typing import NamedTuple

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.wording import OWN_RECORDS, cite, counted, day_words, listed, number, percent, species_label
from nurserytui.biology import feeding

TOPIC = "food-supply"
MOST = re.compile(r"\b(most|biggest (eater|appetite)|hungriest|last instar|share)\b")
LACKING = re.compile(r"\b(what else|instead|substitut\w*|emergenc\w*|alternativ\w*|any other (plant|food))\b")
LASTING = re.compile(r"\b(last|enough|run(s)? out|will .* do|suffice)\b")
UNITS = ("plants", "leaves", "stems", "g", "cm2")
SAME_UNIT = {"pots": "plants", "pot": "plants", "plant": "plants", "leaf": "leaves", "stem": "stems", "gram": "g", "grams": "g"}
LATEST = 0.95
"""A larva that still is one is taken to be no further than this through its larval time."""
SPREAD = 2.0
"""Rearers' figures for one larva differ by more than this factor either way, because plants and leaves differ in size."""


class Eaters(NamedTuple):
    """The larvae meant: how many, of what, and how far along each group is (fraction of larval time behind it)."""

    feeders: list
    count: int
    words: str
    own: bool


def food_supply(request, nursery) -> Answer:
    """What one larva, so many larvae or a cohort still eat; by which day the plant on hand is gone, where it is told."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    if LACKING.search(text) and (request.species or request.cohorts):
        from nurserytui.answers.hosts import hosts_of_species

        return hosts_of_species(request, nursery)
    if "adult" in request.stages or re.search(r"\bbutterfl(y|ies) i (am|m) holding|hold\w* back\b", text):
        from nurserytui.answers.seasons import release

        return release(request, nursery)
    if MOST.search(text) and "instar" in text or re.search(r"\beat\w* the most\b", text):
        return by_instar(request, nursery)
    species = species_meant(request, nursery)
    if isinstance(species, Answer):
        return species
    eaters = eaters_of(request, nursery, species)
    if request.cohorts and not eaters.count:
        label = request.cohorts[0]
        return Answer(
            "answered",
            TOPIC,
            f"Cohort {label} needs no more plant: {eaters.words}.",
            about={"cohort": label},
            values={"needed": Value(0, "plants")},
            sources=(OWN_RECORDS,),
        )
    ration = ration_of(species, request, knowledge)
    return with_ration(ration, species, eaters, request, nursery) if ration else without_ration(species, eaters, request, nursery)


def by_instar(request, nursery) -> Answer:
    knowledge = nursery.knowledge
    rules = [rule for rule in (knowledge.rule("last-instar-share"), knowledge.rule("instar-shares")) if rule]
    shares = ", ".join(
        f"L{at} {percent(share) if share >= 0.01 else f'{share * 100:g} %'}" for at, share in enumerate(feeding.FOOD_SHARES, 1)
    )
    return Answer(
        "answered",
        TOPIC,
        "\n".join(
            [
                "In the last instar (the fifth in most species): it eats about three quarters of all its food then.",
                *lines_of(rules),
            ]
        ),
        items=tuple(
            {"name": f"instar {at}", "label": f"L{at}", "share": share} for at, share in enumerate(feeding.FOOD_SHARES, 1)
        ),
        working=(f"Planning shares of all food: {shares}.",),
        sources=cite(knowledge, sources_of(rules)),
        next=("How much milkweed does one monarch caterpillar need?",),
    )


def species_meant(request, nursery):
    """The species, "" where none is named and the question is general; an Answer asks back."""
    if request.species or request.cohorts:
        found = naming.the_species(request, nursery, TOPIC, "How much does one {} larva eat?")
        return found if isinstance(found, Answer) else found.name
    if request.unknown_names:
        return naming.no_such_name(request.unknown_names[0], nursery, TOPIC, "How much does one {} larva eat?")
    return ""


def eaters_of(request, nursery, species: str) -> Eaters:
    """From the line (`twenty monarch caterpillars`), else from the headcount of the cohort or enclosure meant."""
    if request.count is not None or not (request.cohorts or request.enclosures):
        count = request.count or 1
        progress = 0.0
        start = "from hatching to pupation"
        if request.instar and request.instar <= len(feeding.FOOD_SHARES):
            progress = feeding.larval_progress(request.instar)
            start = f"from the start of instar {request.instar} to pupation"
        return Eaters([feeding.Feeder(count, progress)], count, start, False)
    feeders, by_stage = [], {}
    for label in request.cohorts or (None,):
        for key, heads in nursery.heads(cohort=label, enclosure=request.enclosures[0] if request.enclosures else None):
            if key.stage not in ("egg", "larva"):
                continue
            progress, name = (0.0, "eggs, counted as whole larvae") if key.stage == "egg" else larva_progress(key, nursery)
            feeders.append(feeding.Feeder(heads, progress))
            by_stage[name] = by_stage.get(name, 0) + heads
    words = listed([f"{heads} {name}" for name, heads in by_stage.items()]) or "no eggs or larvae are left"
    return Eaters(feeders, sum(one.count for one in feeders), words, True)


def larva_progress(key, nursery) -> tuple[float, str]:
    """Fraction of larval time behind the larvae of a key, and how it is known: by the instar seen, or by age since they hatched.

    A moult that was not written down leaves the records behind, so the further of the two counts.
    """
    instars = instars_of(nursery, key.cohort)
    seen = feeding.larval_progress(min(key.instar, instars), 0.5, feeding.time_shares(instars)) if key.instar else None
    hatched = [event.when for event in nursery.events if event.what == "hatched" and event.cohort == key.cohort]
    aged = None
    cohort = nursery.ledger.cohorts.get(key.cohort)
    if hatched and cohort and cohort.species:
        from nurserytui.answers.development import basis
        from nurserytui.answers.warmth import moment_of, warmth

        found = basis(nursery.knowledge, cohort.species, "larva")
        start = moment_of(max(hatched))
        if found:
            aged = min(LATEST, warmth(nursery, key.enclosure, start).timeline.progress(found.stage.curve, start, nursery.now))
    if aged is not None and (seen is None or aged > seen):
        return aged, f"larvae, by their age about {percent(aged)} through their larval time"
    if seen is not None:
        return seen, f"larvae in instar {key.instar}"
    return 0.5, "larvae, instar not known and taken as half grown"


def instars_of(nursery, label: str) -> int:
    cohort = nursery.ledger.cohorts.get(label)
    species = nursery.knowledge.species(cohort.species) if cohort and cohort.species else None
    return species.instars if species else 5


def ration_of(species: str, request, knowledge):
    """The rule that says how much one larva of the species (or one on the plant named) eats in all; None where none is on record."""
    known = knowledge.species(species) if species else None
    names = {name.casefold() for name in known.common} if known else set()
    if not species:
        names |= {host.said.casefold() for host in request.hosts}
    for rule in knowledge.rules("food"):
        if rule.unit in UNITS and rule.value and names & {word.casefold() for word in rule.about}:
            return rule
    return None


def with_ration(ration, species: str, eaters: Eaters, request, nursery) -> Answer:
    knowledge = nursery.knowledge
    known = knowledge.species(species) if species else None
    instars = known.instars if known else 5
    times, shares = feeding.time_shares(instars), feeding.food_shares(instars)
    needed = feeding.food_left(eaters.feeders, ration.value, times, shares)
    label = species_label(species, knowledge) if species else f"{request.hosts[0].said}-feeding" if request.hosts else ""
    unit = ration.unit if needed != 1 else ration.unit.removesuffix("s")
    who = counted(eaters.count, f"{label} larva", f"{label} larvae")
    if request.cohorts:
        who = f"cohort {request.cohorts[0]}"
    verb = "needs" if request.cohorts or eaters.count == 1 else "need"
    still = " still" if eaters.own else ""
    lines = [f"{who[:1].upper()}{who[1:]}{still} {verb} about {number(needed)} {unit} ({eaters.words})."]
    values = {"needed": Value(round(needed, 2), ration.unit, round(needed / SPREAD, 2), round(needed * SPREAD, 2))}
    lines.append(ration.text)
    more = [rule for rule in (knowledge.rule("leaf-counts-disagree"), knowledge.rule("last-instar-share")) if rule]
    lines += lines_of(more)
    supply_lines, supply_values, working = supply(ration, species, eaters, times, shares, request, nursery)
    lines[1:1] = supply_lines
    steps = [f"One larva eats about {number(ration.value)} {ration.unit} in all."]
    steps += [
        f"{one.count} × {percent(1 - feeding.eaten(one.progress, times, shares))} of that still to come."
        for one in eaters.feeders
    ]
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines),
        about=about_of(species, request),
        values={**values, **supply_values},
        working=tuple(steps + working),
        sources=(*cite(knowledge, sources_of([ration, *more])), *((OWN_RECORDS,) if eaters.own else ())),
        cautions=("Rearers' figures differ widely, because plants and leaves differ in size: keep twice the plant in reserve.",),
        next=("In which instar do they eat the most?", f"What do {naming.spoken(species, knowledge)} larvae eat?")
        if species
        else ("In which instar do they eat the most?",),
    )


def about_of(species: str, request) -> dict:
    about: dict = {}
    if species:
        about["species"] = species
    if request.cohorts:
        about["cohort"] = request.cohorts[0]
    return about


def supply(ration, species: str, eaters: Eaters, times, shares, request, nursery):
    """Until when the plant on hand lasts, from what the line says or the last `stocked` event: (lines, values, steps)."""
    text = request.plain or request.text
    stock, what = on_hand(request, nursery)
    if stock is None:
        if LASTING.search(text):
            reason = "how much is on hand is not told"
            line = f"Whether it will last I cannot say: {reason}. Tell me, for example “stocked 6 plants of milkweed”."
            return [line], {"runs_out": Value(None, reason=reason)}, []
        return [], {}, []
    if SAME_UNIT.get(what, what) != ration.unit:
        reason = f"the stock is told in {what}, and what a larva eats is on record in {ration.unit} only"
        return [f"Whether it will last I cannot say: {reason}."], {"runs_out": Value(None, reason=reason)}, []
    gone = feeding.progress_until_gone(eaters.feeders, ration.value, stock, times, shares)
    if gone is None:
        return (
            [f"The {number(stock)} {what} on hand should last until they pupate."],
            {"runs_out": Value(None, reason="it lasts until they pupate")},
            [f"{number(stock)} {what} on hand is at least what they still eat."],
        )
    from nurserytui.answers.development import basis
    from nurserytui.answers.warmth import warmth

    found = basis(nursery.knowledge, species, "larva") if species else None
    if found is None:
        reason = "how fast these larvae grow is not known"
        return [f"It will not last; when it runs out I cannot say: {reason}."], {"runs_out": Value(None, reason=reason)}, []
    place = next((key.enclosure for label in request.cohorts for key, _ in nursery.heads(cohort=label)), "")
    warm = warmth(nursery, place, nursery.now)
    when = warm.timeline.when(found.stage.curve, nursery.now, gone)
    days = (when - nursery.now) / timedelta(days=1)
    early, late = nursery.now + timedelta(days=days / SPREAD), nursery.now + timedelta(days=days * SPREAD)
    value = Value(when.date().isoformat(), low=early.date().isoformat(), high=late.date().isoformat())
    line = f"The {number(stock)} {what} on hand will not last: gone about {day_words(when, nursery.now)}, perhaps as early as {day_words(early, nursery.now)}."
    return (
        [line],
        {"runs_out": value},
        [f"{number(stock)} {what} are eaten after {percent(gone)} more of larval time; {warm.words}."],
    )


def on_hand(request, nursery) -> tuple[float | None, str]:
    """(amount, unit word) of the plant on hand: the last `stocked` event of the cohort's host or of the host named."""
    hosts = {name for host in request.hosts for name in naming.plants_among(host, nursery.knowledge)}
    hosts |= {nursery.ledger.cohorts[label].host for label in request.cohorts if label in nursery.ledger.cohorts}
    for event in reversed(nursery.events):
        if (
            event.what == "stocked"
            and event.count is not None
            and any(naming.same_plant(event.host, host) for host in hosts if host)
        ):
            return float(event.count), event.detail or "plants"
    return None, ""


def without_ration(species: str, eaters: Eaters, request, nursery) -> Answer:
    """No measured amount is on record: say so, and what can be said all the same."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    known = knowledge.species(species) if species else None
    more = tuple(known.common) if known else ()
    rules = pick(knowledge, ("food",), text, more) or [
        rule for rule in knowledge.rules("food") if rule.id in ("last-instar-share", "monarch-plant")
    ]
    own_rules = [rule for rule in rules if set(more) & set(rule.about)]
    instars = known.instars if known else 5
    times, shares = feeding.time_shares(instars), feeding.food_shares(instars)
    whole = feeding.food_left(eaters.feeders, 1.0, times, shares)
    who = species_label(species, knowledge) if species else "this"
    reason = f"no measured amount of plant is on record for {who}"
    lines = []
    if eaters.own and eaters.count:
        lines.append(
            f"The {eaters.count} animals meant still have as much to eat as {number(whole)} larvae eat in their whole lives ({eaters.words}); {reason}."
        )
    elif species or request.hosts:
        lines.append(f"I do not know: {reason}. Watch what one larva eats in a day and scale it by the shares below.")
    else:
        lines.append(
            "That depends on the species and the plant; for the monarch it is about one mature milkweed plant for each larva."
        )
    if own_rules:
        lines = [*lines_of(own_rules), f"For the whole larval life {reason}."]
    lines += lines_of(rules, 4)
    general = not (species or request.hosts or eaters.own)
    return Answer(
        "answered" if (eaters.own and eaters.count) or own_rules or general else "unknown",
        TOPIC,
        "\n".join(dict.fromkeys(lines)),
        about=about_of(species, request),
        values={"needed": Value(None, "plants", reason=reason)},
        working=tuple(
            f"{one.count} × {percent(1 - feeding.eaten(one.progress, times, shares))} of a larva's food."
            for one in eaters.feeders
        ),
        sources=(*cite(knowledge, sources_of(rules[:4])), *((OWN_RECORDS,) if eaters.own else ())),
        cautions=("Never take in more eggs than there is plant for.",),
        next=("In which instar do they eat the most?", "How much milkweed does one monarch caterpillar need?"),
    )
