"""What an egg is that has not changed: not due yet, slow, resting or dead, by how long eggs of its species take."""

from __future__ import annotations

from math import erfc, exp, log, sqrt
from typing import NamedTuple

from nurserytui.answers import lateness
from nurserytui.answers.egg_states import Told
from nurserytui.answers.outlook import outlook
from nurserytui.answers.wording import counted, number, percent, species_label

UNCHANGED = "egg-still-pale"
"""The sign whose causes divide the share of the dead."""
ANY_DAYS, ANY_SPREAD, ANY_LOSS = 6.5, 0.45, 0.13
"""Days to hatching in a warm room over all species (most take 3 to 14), their spread as a logarithm, and the share that never hatches."""
NOT_DUE, SLOW, RESTS = "alive, not due yet", "alive and slow", "egg that rests over winter"
DEAD = ("infertile egg", "Trichogramma", "dried out (desiccated)", "cooked or sprayed")


class Waiting(NamedTuple):
    """Conditions with their probabilities, likeliest first, and how they were reached."""

    items: tuple[tuple[str, float], ...]
    line: str
    """How the age stands to the usual time, in words."""
    working: tuple[str, ...]
    sources: tuple[str, ...]


def waiting(told: Told, species, label: str, request, nursery) -> Waiting | None:
    """None where neither the age nor a cohort's record says how long it has waited."""
    found = (_of_cohort(told, label, request, nursery) if label else None) or _by_age(told, species, nursery)
    if found is None:
        return None
    dead, rests, slow, line, steps, sources = found
    sign = next((one for one in nursery.knowledge.signs("egg") if one.id == UNCHANGED), None)
    weights = {cause.name: cause.weight for cause in sign.causes if cause.name in DEAD} if sign else {DEAD[0]: 1.0}
    total = sum(weights.values())
    late = told.due is not None and told.age is not None and told.age > 1.1 * told.due
    shares = {name: dead * weight / total for name, weight in weights.items()}
    shares[SLOW if late else NOT_DUE] = slow
    if rests:
        shares[RESTS] = rests
    ranked = sorted(shares.items(), key=lambda pair: (-pair[1], pair[0]))
    kept = tuple((name, int(share * 1000) / 1000) for name, share in ranked if share >= 0.005)
    return Waiting(kept, line, tuple(steps), (*sources, *(sign.sources if sign else ())))


def _of_cohort(told: Told, label: str, request, nursery):
    expected = outlook(nursery, label, "hatch", celsius=request.celsius, stages=("egg",))
    if expected is None:
        return None
    late = lateness.lateness(nursery, expected)
    due = f" Eggs take about {number(told.due)} days at {number(told.celsius)} °C." if told.due else ""
    line = f"Cohort {label} was {told.since or 'found'} {counted(round(told.age or 0), 'day')} ago.{due}"
    return late.fates.dead, late.fates.waiting, late.fates.slow, line, (*late.working, late.sum), late.sources


def _by_age(told: Told, species, nursery):
    if told.age is None:
        return None
    if species:
        known = lateness.fates_after(nursery, species.scientific, told.celsius, told.age, not told.measured)
        if known:
            fates, prior = known
            name = species_label(species.scientific, nursery.knowledge)
            room = "" if told.measured else ", an ordinary room taken,"
            takes = f"eggs of {name} take about {number(told.due)} days" if told.due else f"eggs of {name} hardly develop"
            line = f"At {number(told.celsius)} °C{room} {takes}; {number(told.age)} have passed{_at_least(told)}."
            step = (
                f"Of eggs unchanged after {number(told.age)} days there: dead {percent(fates.dead)}, resting {percent(fates.waiting)}, "
                f"alive {percent(fates.slow)}."
            )
            return fates.dead, fates.waiting, fates.slow, line, (*prior.working, step), prior.sources
    still = 0.5 * erfc(log(max(told.age, 0.1) / ANY_DAYS) / ANY_SPREAD / sqrt(2))
    rests = 0.04 * (1 - exp(-told.age / 10))
    alive = (1 - ANY_LOSS) * still
    total = ANY_LOSS + rests + alive
    line = (
        f"Eggs of most species hatch in 3 to 14 days in a warm room; {number(told.age)} have passed{_at_least(told)}. "
        "Tell me the species for a closer answer."
    )
    step = (
        f"Without a species: {number(ANY_DAYS)} days in the middle, {percent(still)} of living eggs would still be unhatched, {percent(ANY_LOSS)} never hatch; "
        f"dead {percent(ANY_LOSS / total)}, alive {percent(alive / total)}, resting {percent(rests / total)}."
    )
    return ANY_LOSS / total, rests / total, alive / total, line, (step,), ("conservation-eggs", "practice")


def _at_least(told: Told) -> str:
    return (
        "" if told.since == "laid" else ", more if it was not fresh then" if told.since == "found" else ", if it was fresh then"
    )
