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
    plants = [item.span.value for item in items if item.word == "PLANT"]
    places = list(dict.fromkeys(item.span.value for item in items if item.word == "ENCLOSURE"))
    cohorts = list(dict.fromkeys(item.span.value for item in items if item.kind == "cohort"))
    host = plants[0] if plants else None
    when = record_days.when_of(items, now)
    base = Draft(verb.what, host=host, when=when, lead=items[verb.first].raw)
    if verb.what == "cut":
        count, unit, _ = record_stock.amount_of_plant(items)
        cut = base._replace(count=count, detail=unit, enclosure=places[0] if places else "")
        return [cut, cut._replace(what="stocked")] if everything and count is not None and host else [cut]
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
