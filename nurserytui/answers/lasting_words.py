"""Who eats a plant and until when it lasts them, in a sentence."""

from __future__ import annotations

from nurserytui.answers import eaten_plants, naming, shortage
from nurserytui.answers.wording import day_words, listed


def in_a_sentence(host: str, nursery) -> str:
    """Who eats a plant and until when it lasts: for the read-back of a stock; "" where nobody eats it or nothing can be said."""
    supply = next((one for one in shortage.supplies(nursery) if any(naming.same_plant(host, other) for other in one.hosts)), None)
    if supply is None:
        if not eaten_plants.feeding_cohorts(nursery):
            return ""
        nobody = f"Nobody here feeds on {naming.plant_word(host, nursery.knowledge)} by the records"
        possible = shortage.could_eat(host, nursery)
        return f"{nobody}, but {could_words(possible, nursery)}" if possible is not None and possible.cohorts else f"{nobody}."
    eat = f"{listed(supply.cohorts)} {'eats' if len(supply.cohorts) == 1 else 'eat'} it"
    if supply.lacking or not supply.cohorts:
        return ""
    return f"{eat}{lasts_words(supply, nursery)}."


def could_words(supply: shortage.Supply, nursery) -> str:
    """`dill-26 could eat it: it lasts to about …. Once it is given it, send “fed dill-26 fennel”.`"""
    lasts = lasts_words(supply, nursery) if supply.told and not supply.lacking else ""
    fed = f"fed {supply.cohorts[0]} {supply.word}"
    return f"{listed(supply.cohorts)} could eat it{lasts}. When they are given it, send “{fed}”; some take a new plant badly, so see that they eat."


def lasts_words(supply: shortage.Supply, nursery) -> str:
    """What is said of how long it lasts those who eat it, after their names."""
    short = supply.middle.short
    if short is None:
        risk = f", perhaps only to {day_words(supply.early.gone, nursery.now)}" if supply.early.gone else ""
        return f": it should last until they pupate{risk}"
    if short <= nursery.now:
        return f" and {'has' if len(supply.cohorts) == 1 else 'have'} none now"
    early = min(one.gone for one in (supply.early, supply.middle) if one.gone)
    risk = f", perhaps only to {day_words(early, nursery.now)}" if early.date() < short.date() else ""
    return f": it lasts to about {day_words(short, nursery.now)}{risk}"
