"""Drafts of what was done for enclosures and plants: cleaned, fed, watered, cut."""

from __future__ import annotations

import re

from nurserytui.language import record_days, record_exclusions, record_stock
from nurserytui.language.clause import Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_causes import tail
from nurserytui.language.record_new_places import container


def cared(line: Line, items, verb: Verb, now, everything: bool) -> list[Draft]:
    """One draft for each enclosure or cohort that was cleaned, fed or watered, or for the plant that was cut."""
    plants = list({item.span.value.names: item.span.value for item in items if item.word == "PLANT"}.values())
    places = list(dict.fromkeys(item.span.value for item in items if item.word == "ENCLOSURE"))
    cohorts = list(dict.fromkeys(item.span.value for item in items if item.kind == "cohort"))
    host = plants[0] if plants else None
    when = record_days.when_of(items, now)
    base = Draft(verb.what, host=host, when=when, lead=items[verb.first].raw)
    if verb.what == "cut":
        return _cut(items, base._replace(enclosure=places[0] if places else ""), plants, everything)
    detail = tail(line, items, verb)
    with_what = re.search(r"\b(?:with|using)\s+(.+)$", detail) if verb.what == "cleaned" else None
    base = base._replace(detail=with_what[1] if with_what else "")
    if verb.what == "watered" and items[verb.first].word in ("misted", "sprayed"):
        base = base._replace(detail=items[verb.first].word)
    count, unit, _ = record_stock.amount_of_plant(items)
    if verb.what == "fed" and count is not None:
        base = base._replace(detail=f"{count} {unit}")
    whole = (
        not places
        and not cohorts
        and bool({item.word for item in items} & {"all", "everything", "everyone", "every", "everybody"})
    )
    if whole:
        nouns = [item.word for item in items if not item.span and container(item.word)]
        left = record_exclusions.of(items)
        base = base._replace(
            count="all", kind=container(nouns[0]) if nouns else "", left=left, detail="" if left else base.detail
        )
    if verb.what != "cleaned" and len(plants) > 1:
        if cohorts or places:
            return _each_with_its_plants(items, base, "cohort" if cohorts else "enclosure", places if cohorts else [])
        return [base._replace(host=plant) for plant in plants]
    if cohorts and verb.what != "cleaned":
        kinds = [item.span.value for item in items if item.word == "SPECIES"]
        others = [base._replace(species=kind) for kind in kinds]
        return [base._replace(cohort=cohort, enclosure=places[0] if places else "") for cohort in cohorts] + others
    if places:
        return [base._replace(enclosure=place) for place in places]
    back = bool({item.word for item in items} & {"it", "them", "there"})
    return [
        base._replace(
            refers=back,
            cohort=cohorts[0] if cohorts else "",
            species=next((i.span.value for i in items if i.word == "SPECIES"), None),
        )
    ]


def _cut(items, base: Draft, plants: list, everything: bool) -> list[Draft]:
    """A draft for each plant that was cut, with its own amount where several are told; on hand since where that is all there is."""
    if len(plants) > 1:
        amounts = {host.names: (count, unit) for count, unit, host in record_stock.amounts(items)}
        each = [(plant, *amounts.get(plant.names, (None, ""))) for plant in plants]
        return [base._replace(host=plant, count=count, detail=unit) for plant, count, unit in each]
    count, unit, _ = record_stock.amount_of_plant(items)
    cut = base._replace(count=count, detail=unit)
    return [cut, cut._replace(what="stocked")] if everything and count is not None and base.host else [cut]


def _each_with_its_plants(items, base: Draft, kind: str, places: list[str]) -> list[Draft]:
    """A draft for each cohort or enclosure and each plant that it got: those told behind it up to the next one (`A with milkweed and B
    with fennel`), or in front of it where the plants come first (`milkweed to A, fennel to B`)."""
    order = [item for item in items if item.kind == kind or item.word == "PLANT"]
    if order[0].word == "PLANT":
        targets, plants = _in_turn(order, kind)
    else:
        targets, plants = _in_turn(order[::-1], kind)
        targets, plants = targets[::-1], [each[::-1] for each in plants[::-1]]
    where = {"enclosure": places[0]} if places else {}
    return [
        base._replace(**{kind: target}, host=plant, **where)
        for target, each in zip(targets, plants)
        for plant in {plant and plant.names: plant for plant in each}.values()
    ]


def _in_turn(order: list, kind: str) -> tuple[list[str], list[list]]:
    """The targets, and the plants that stand in front of each; where none does, those of the target before it, and [None] of the first."""
    targets: list[str] = []
    plants: list[list] = []
    waiting: list = []
    for item in order:
        if item.kind == kind:
            targets.append(item.span.value)
            plants.append(waiting or (plants[-1] if plants else [None]))
            waiting = []
        else:
            waiting.append(item.span.value)
    return targets, plants
