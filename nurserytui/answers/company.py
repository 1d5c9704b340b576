"""Who stood in the same enclosure as some animals at a time that is over."""

from __future__ import annotations

from datetime import datetime, time

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.selection import Wanted, about_words, join, last_day, period_words, whose_words
from nurserytui.answers.stays import Stay, of_cohort
from nurserytui.answers.wording import OWN_RECORDS, animals_name, counted, day_words, listed, species_label, stage_count

TOPIC = "headcount"


def company_then(request, nursery, want: Wanted) -> Answer:
    """The groups that shared an enclosure with those meant in the period of the request; without animals named, all that stood there.
    `count` is in animals, of each group as many as were together at most."""
    first = datetime.combine(request.period.start.date(), time())
    last = datetime.combine(last_day(request.period), time(23, 59, 59))
    whose = want._replace(stages=(), instar=None, enclosures=())
    stays = [stay for label in nursery.ledger.cohorts for stay in of_cohort(nursery.ledger, label) if stay.overlaps(first, last)]
    own = [stay for stay in stays if whose.animals and _is_of(stay, whose, nursery) and _in(stay, want.enclosures)]
    places = want.enclosures or tuple(dict.fromkeys(stay.group.enclosure for stay in own if stay.group.enclosure))
    others = [stay for stay in stays if _in(stay, places) and not (whose.animals and _is_of(stay, whose, nursery))]
    if whose.animals:
        others = [stay for stay in others if any(_together(stay, mine) for mine in own)]
    groups: dict = {}
    for stay in others:
        groups.setdefault(stay.group, []).append(stay)
    total = sum(max(stay.peak for stay in held) for held in groups.values())
    when, where = period_words(request, nursery.now), f" in {listed(places)}" if places else ""
    shared = f" with {whose_words(nursery, whose)}" if whose.animals else ""
    said = (
        f"{counted(len(groups), 'other group' if shared else 'group')}{where}{shared}{when}:"
        if groups
        else f"Nobody else stood{where}{shared}{when} by the records."
    )
    lines = [f"- {_words(nursery, group, held)}" for group, held in groups.items()]
    return Answer(
        "answered",
        TOPIC,
        join(said, *lines),
        about=about_words(nursery, want, ""),
        values={"count": Value(total, "animals")},
        items=tuple(
            {"name": group.cohort, "label": _words(nursery, group, held), "cohort": group.cohort}
            for group, held in groups.items()
        ),
        working=(f"{counted(len(groups), 'group')} stood there at the same time, {counted(total, 'animal')} together.",),
        sources=(OWN_RECORDS,),
        next=("headcount",),
    )


def _is_of(stay: Stay, whose: Wanted, nursery) -> bool:
    return whose.cohort_fits(stay.group.cohort, nursery.ledger) and whose.mark_fits(stay.group)


def _in(stay: Stay, places: tuple[str, ...]) -> bool:
    return not places or stay.group.enclosure in places


def _together(one: Stay, other: Stay) -> bool:
    """Whether two stays in the same enclosure were at the same time."""
    return one.group.enclosure == other.group.enclosure and one.overlaps(other.start, other.end or datetime.max)


def _words(nursery, group, held: list[Stay]) -> str:
    """`dock-1, painted lady: 9 larvae from … to …`"""
    name = animals_name(group.cohort, group.mark)
    species = species_label(nursery.ledger.cohorts[group.cohort].species, nursery.knowledge)
    animals = listed(stage_count(stay.peak, stay.stage) for stay in held)
    ends = None if any(stay.end is None for stay in held) else max(stay.end for stay in held)
    until = f" to {day_words(ends, nursery.now)}" if ends else ", still there"
    return f"{name}, {species}: {animals} from {day_words(min(stay.start for stay in held), nursery.now)}{until}"
