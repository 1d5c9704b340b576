"""The card of any entry of the knowledge base: cautions first, every fact with its sources, conflicts as conflicts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from nurserytui.answers.wording import capital, listed, lower, number, percent, sentence, species_label
from nurserytui.pages import facts_animals
from nurserytui.pages.facts_words import KINDS_OF_SOURCE, Card, Fact, Which, card_of, either, said_of, span

CITED = 100
"""Entries that a source's card names of those that cite it."""


def card(which: Which, knowledge, citing: Iterable[Which] = ()) -> Card:
    """The card of an entry; of a source with the entries that are known to cite it."""
    found = [*BUILT[which.kind](which.name, knowledge)]
    if which.kind == "source":
        citing = list(citing)
        found += [Fact("used in", title(one, knowledge), (which.name,), one) for one in citing[:CITED]]
        if len(citing) > CITED:
            found.append(Fact("used in", f"and {len(citing) - CITED} more entries", (which.name,)))
    return card_of(which, title(which, knowledge), found, knowledge)


def title(which: Which, knowledge) -> str:
    """What an entry is called."""
    kind, name = which
    if kind in ("species", "plant", "agent"):
        return capital(species_label(name, knowledge))
    if kind == "pairing":
        animal, _, plant = name.partition(" + ")
        return f"{capital(knowledge.common(animal))} on {knowledge.common(plant)}"
    if kind == "growth":
        return f"Growth of {species_label(name, knowledge)}"
    if kind == "cutting":
        return f"Cut {knowledge.common(name)}"
    if kind == "hazard":
        return f"Hazards of {species_label(name, knowledge)}"
    if kind == "sign":
        sign = _sign(name, knowledge)
        return f"{capital(sign.stage)}: {lower(sign.sign.rstrip('.'))}"
    if kind == "relatives":
        return f"Growth of relatives: {name}"
    if kind == "rates":
        return f"How rates bend with temperature: {name}"
    if kind == "source":
        return knowledge.source(name).citation
    if kind == "rule":
        rule = knowledge.rule(name)
        spelt = {word.casefold(): word for word in rule.about}
        return f"{capital(rule.topic.replace('-', ' '))}: {' '.join(spelt.get(word, word) for word in name.split('-'))}"
    return capital(name.replace("-", " "))


def _sign(name: str, knowledge):
    return next(sign for sign in knowledge.signs() if sign.id == name)


def _agent(name: str, knowledge) -> Iterator[Fact]:
    one = next(agent for agent in knowledge.all_agents() if agent.name == name)
    ids = one.sources
    yield Fact("people", sentence(one.people), ids, tone="care" if one.people else "")
    yield Fact("names", listed(one.common), ids)
    yield Fact("is a", one.type, ids)
    yield Fact("attacks", listed(one.attacks), ids)
    yield Fact("when", sentence(one.window), ids)
    yield Fact("hosts", listed(one.hosts), ids)
    yield Fact("shows", sentence(one.exit_sign), ids)
    yield Fact("comes out", sentence(one.emergence), ids)
    if one.base is not None and one.degree_days is not None:
        spread = f", give or take {percent(one.spread)}" if one.spread else ""
        yield Fact("growth", f"{number(one.degree_days)} degree-days above {number(one.base)} °C{spread}", ids)
    if one.days_low is not None or one.days_high is not None:
        yield Fact("days", span(one.days_low, one.days_high, unit="days from sting or catching to showing"), ids)
    yield Fact("per host", sentence(one.per_host), ids)
    yield Fact("contagious", "yes" if one.contagious else "no", ids)
    yield Fact("spreads", sentence(one.how_it_spreads), ids)
    if one.watch_days:
        yield Fact("watch", f"{number(one.watch_days)} days from the last contact", ids)
    yield Fact("stays", sentence(one.stays), ids)
    yield Fact("control", sentence(one.controls), ids)
    if one.mesh_mm:
        yield Fact("mesh", f"{number(one.mesh_mm, 2)} mm or finer keeps it out", ids)
    for grade in one.grades:
        count = f"{span(grade.low, grade.high)}{' or more' if grade.high is None else ''}: " if grade.low is not None else ""
        yield Fact(grade.name, f"{count}{sentence(grade.means)}", ids)
    yield Fact("evidence", sentence(one.evidence), ids)
    for sign in knowledge.signs():
        if any(cause.name == name for cause in sign.causes):
            yield Fact("sign", f"{sign.stage}: {sentence(sign.sign)}", sign.sources, Which("sign", sign.id))


def _of_sign(name: str, knowledge) -> Iterator[Fact]:
    one = _sign(name, knowledge)
    ids = one.sources
    yield Fact("do", sentence(one.action), ids, tone="care" if one.isolate else "")
    yield Fact("stage", one.stage + (", healthy growth" if one.normal else ""), ids)
    yield Fact("isolate", "yes" if one.isolate else "no", ids)
    whole = sum(cause.weight for cause in one.causes)
    agents = {agent.name for agent in knowledge.all_agents()}
    for cause in sorted(one.causes, key=lambda cause: -cause.weight):
        leads = Which("agent", cause.name) if cause.name in agents else None
        yield Fact("may be", f"{cause.name}: weight {number(cause.weight)} of {number(whole)}", ids, leads)
    yield Fact("how sure", one.how_sure, ids)
    yield Fact("healthy", sentence(one.healthy), ids)
    yield Fact("check", sentence(one.check), ids)
    yield Fact("spreads", sentence(one.spreads), ids)


def _rule(name: str, knowledge) -> Iterator[Fact]:
    one = knowledge.rule(name)
    care = one.topic in ("safety", "first-aid", "law")
    yield Fact("take care" if care else "rule", sentence(one.text), one.sources, tone="care" if care else "")
    yield Fact("number", span(one.low, one.high, one.value, one.unit), one.sources)
    yield Fact("topic", one.topic, one.sources)
    yield Fact("about", listed(one.about), one.sources)


def _look_alike(name: str, knowledge) -> Iterator[Fact]:
    one = next(alike for alike in knowledge.look_alikes() if alike.name == name)
    yield Fact("tell", sentence(one.tell), one.sources)
    yield Fact("do", sentence(one.action), one.sources)
    yield from facts_animals.egg(one.egg)
    if "any" in one.found_on:
        yield Fact("found on", "any plant", one.sources)
    for plant in one.found_on:
        if plant != "any":
            leads = Which("plant", plant) if knowledge.plant(plant) else None
            yield Fact("found on", species_label(plant, knowledge), one.sources, leads)
    for animal in one.species:
        leads = Which("species", animal) if knowledge.species(animal) else None
        yield Fact("eggs of", species_label(animal, knowledge), one.sources, leads)


def _disinfectant(name: str, knowledge) -> Iterator[Fact]:
    one = next(each for each in knowledge.disinfectants() if each.name == name)
    if one.never_with:
        yield Fact("NEVER with", f"{either(one.never_with)}.", one.sources, tone="care")
    yield Fact("danger", sentence(one.danger), one.sources, tone="care")
    yield Fact("label", "Follow the label and local rules before anything here.", ("practice",), tone="care")
    yield Fact("verdict", sentence(one.verdict), one.sources)
    for effect in one.effects:
        yield Fact(effect.target, f"{effect.works}: {sentence(effect.text)}", effect.sources)
    for use in one.uses:
        minutes = span(use.minutes_low, use.minutes_high, unit="minutes")
        ppm = span(use.ppm_low, use.ppm_high, unit="ppm")
        told = said_of(minutes, ppm)
        yield Fact(use.purpose, sentence(use.text) + (f" ({told})" if told else ""), use.sources)
    yield Fact("keeps", sentence(one.keeps), one.sources)


def _relatives(name: str, knowledge) -> Iterator[Fact]:
    one = knowledge.prior(name)
    yield Fact("threshold", f"{number(one.base)} °C, up to {number(one.ceiling)} °C", one.sources)
    needs = ", ".join(f"{stage} {number(getattr(one, stage))}" for stage in ("egg", "larva", "pupa"))
    yield Fact("degree-days", f"{needs}; species of it differ by about {percent(one.spread)}", one.sources)
    yield Fact("note", sentence(one.note), one.sources)
    for animal in knowledge.all_species():
        if animal.group == name:
            yield Fact(
                "species", species_label(animal.scientific, knowledge), animal.sources, Which("species", animal.scientific)
            )


def _rates(name: str, knowledge) -> Iterator[Fact]:
    one = knowledge.rate_shape
    for field in one._fields:
        value = getattr(one, field)
        if isinstance(value, float):
            yield Fact(field.replace("_", " "), number(value, 2), one.sources)
    yield Fact("note", sentence(one.note), one.sources)


def _source(name: str, knowledge) -> Iterator[Fact]:
    """A source stands for itself."""
    one = knowledge.source(name)
    yield Fact("source", sentence(one.citation), (name,))
    yield Fact("kind", KINDS_OF_SOURCE[one.kind], (name,))


BUILT = {
    "species": facts_animals.species,
    "plant": facts_animals.plant,
    "pairing": facts_animals.pairing,
    "growth": facts_animals.growth,
    "cutting": facts_animals.cutting,
    "hazard": facts_animals.hazards,
    "agent": _agent,
    "sign": _of_sign,
    "rule": _rule,
    "look-alike": _look_alike,
    "disinfectant": _disinfectant,
    "relatives": _relatives,
    "rates": _rates,
    "source": _source,
}
"""Kind of entry -> its facts, cautions first."""
