"""What each kind of event does to the headcount. Every rule turns an event into postings, or raises Refused."""

from __future__ import annotations

from nurserytui.records import reasons
from nurserytui.records.events import STAGES, Event
from nurserytui.records.picking import Groups, choose, fitting, subject
from nurserytui.records.postings import Key, Refused

STEPS = {
    "hatched": (("egg",), "larva"),
    "prepupated": (("larva",), "prepupa"),
    "pupated": (("prepupa", "larva"), "pupa"),
    "emerged": (("pupa",), "adult"),
}


def _stages(event: Event) -> tuple[str, ...]:
    """The stages that a row means: the one it says, larvae if it says an instar, else any."""
    return (event.stage,) if event.stage else ("larva",) if event.instar else ()


def _still_open(ledger, cohort: str) -> None:
    joined = ledger.info(cohort).merged
    if joined:
        raise Refused(f"cohort {ledger.shown(cohort)} was merged into {ledger.shown(joined)}")


def entered(ledger, event: Event) -> None:
    """`laid` and `found`: animals come in, as a new cohort or into one that is there."""
    stage = event.stage or ("egg" if event.what == "laid" else "larva" if event.instar else "")
    if not stage:
        raise Refused("the stage of the animals found is not said")
    count = 1 if event.mark and event.count is None else event.count
    if not count:
        raise Refused("how many is not said")
    if event.mark and count != 1:
        raise Refused(f"a mark names one animal, not {count}")
    enclosure = ledger.place(event.enclosure)
    cohort = ledger.known(event.cohort) if event.cohort else ""
    if cohort:
        _still_open(ledger, cohort)
        ledger.check_species(cohort, event.species, exact=True)
        if event.mark and ledger.last_of_mark(cohort, event.mark):
            raise Refused(f"cohort {ledger.shown(cohort)} has had an animal {event.mark} already")
        places = {key.enclosure for key in ledger.of_cohort(cohort)}
        if not enclosure and len(places) == 1:
            enclosure = places.pop()
    else:
        if not event.species:
            raise Refused("the species of a new cohort is not said (write unknown if it is not known)")
        cohort = ledger.found_cohort(event, stage)
    ledger.post(event, None, Key(cohort, event.mark, stage, event.instar if stage == "larva" else None, enclosure), count)
    ledger.look(event, cohort, enclosure, event.mark)


def returned(ledger, event: Event) -> None:
    """Some of the missing are back: where they were, or in the stage and enclosure that the row says."""
    cohort = ledger.resolve(event.cohort) if event.cohort else ""
    lost = [group for group in ledger.lost.items() if not cohort or group[0].cohort == cohort]
    if event.mark:
        lost = [group for group in lost if group[0].mark == event.mark]
    count = 1 if event.mark and event.count is None else event.count
    total = sum(held for _, held in lost)
    if not lost or (count or 0) > total:
        who = f"cohort {ledger.shown(cohort)}" if cohort else "the nursery"
        raise Refused(f"{who} has {total} missing" + (f", not {count}" if count else ""), lost, (cohort, (), ""))
    enclosure = ledger.place(event.enclosure)
    stage, instar = _stages(event), event.instar

    def back(key: Key) -> Key:
        grown = stage[0] if stage else key.stage
        return Key(key.cohort, key.mark, grown, (instar or (key.instar if grown == key.stage else None)), enclosure or key.enclosure)  # fmt: skip

    # An animal may have grown while it was missing, but not back.
    able = [group for group in lost if not stage or STAGES.index(group[0].stage) <= STAGES.index(stage[0])]
    if sum(held for _, held in able) < (count or 1):
        raise Refused(
            f"cohort {ledger.shown(cohort)} is missing {reasons.groups_in_words(lost)}, not {reasons.animals(count or 1, event.stage)}",
            lost,
        )
    if count is None:
        count = sum(held for _, held in able)
    able.sort(key=lambda group: back(group[0]) != group[0])
    same = [group for group in able if back(group[0]) == group[0]]
    if sum(held for _, held in same) >= count:
        able = same
    targets = {back(key) for key, _ in able}
    if len(targets) > 1 and count < sum(held for _, held in able):
        able = [group for group in able if group[1] >= count]
        if len(able) != 1:
            raise Refused(f"the missing are {reasons.groups_in_words(lost, instars=True)}: which came back is not said", lost)
    for key, held in able:
        number = min(held, count)
        if number:
            ledger.give_back(event, key, back(key), number)
            ledger.look(event, key.cohort, back(key).enclosure, key.mark)
            count -= number


def changed(ledger, event: Event) -> None:
    """`hatched`, `prepupated`, `pupated`, `emerged`: animals reach the next stage."""
    stages, reached = STEPS[event.what]
    if event.stage and event.stage != reached:
        if event.stage not in stages:
            raise Refused(f"{event.what} is about {reasons.PLURAL[stages[0]]}, not {reasons.PLURAL[event.stage]}")
        stages = (event.stage,)
    told = event if event.stage != reached else event._replace(stage="")
    cohort = ledger.resolve(event.cohort) if event.cohort else ""
    if cohort:
        ledger.check_species(cohort, event.species)
    instar = 1 if event.what == "hatched" else None
    looked = set()
    for key, count in choose(ledger, told, cohort, stages, ranked=True):
        ledger.post(event, key, Key(key.cohort, key.mark, reached, instar, key.enclosure), count)
        looked.add((key.cohort, key.enclosure))
    for spot in looked:
        ledger.look(event, *spot, event.mark)


def moulted(ledger, event: Event) -> None:
    """Larvae reach instar `instar`, the highest lower instar first; not said, the next one if all are of one instar."""
    if event.stage not in ("", "larva"):
        raise Refused(f"only larvae moult, not {reasons.PLURAL[event.stage]}")
    cohort = ledger.resolve(event.cohort) if event.cohort else ""
    if cohort:
        ledger.check_species(cohort, event.species)
    instar = event.instar
    if instar is None:
        groups = fitting(ledger, event, cohort, ("larva",))
        if event.mark:
            groups = [group for group in groups if group[0].mark == event.mark] or groups
        instars = {key.instar for key, _ in groups}
        if len(instars) > 1:
            there = reasons.groups_in_words(groups, instars=True)
            raise Refused(f"{subject(ledger, event, cohort)} has {there}: the instar that they reached is not said", groups)
        now = instars.pop() if instars else None
        instar = now + 1 if now else None
    looked = set()
    for key, count in choose(ledger, event, cohort, ("larva",), ranked=True, below=instar):
        if instar is not None:
            ledger.post(event, key, key._replace(instar=instar), count)
        looked.add((key.cohort, key.enclosure))
    for spot in looked:
        ledger.look(event, *spot, event.mark)


def left(ledger, event: Event) -> None:
    """`died`, `released`, `escaped`, `given`, `missing`: animals leave the headcount."""
    cohort = ledger.resolve(event.cohort) if event.cohort else ""
    if cohort:
        ledger.check_species(cohort, event.species)
    stages = _stages(event)
    if event.what == "released" and not stages:
        # What is released is butterflies, unless there are not that many.
        adults = sum(held for _, held in fitting(ledger, event, cohort, ("adult",)))
        stages = ("adult",) if adults and adults >= (event.count or 1) else ()
    for key, count in choose(ledger, event, cohort, stages, needs_count=True):
        ledger.post(event, key, None, count)
        if event.what == "missing":
            ledger.lose(key, count)


def moved(ledger, event: Event) -> None:
    """Animals of a cohort, or all that an enclosure holds, go to `to`."""
    if not event.to:
        raise Refused("where they were moved to is not said")
    cohort = ledger.resolve(event.cohort) if event.cohort else ""
    if cohort:
        ledger.check_species(cohort, event.species)
    elif not event.enclosure:
        raise Refused("neither the cohort nor the enclosure that was moved is said")
    to = ledger.place(event.to)
    if to == ledger.place(event.enclosure):
        raise Refused(f"{to} is where they were")
    groups = fitting(ledger, event, cohort, _stages(event))
    if groups and all(key.enclosure == to for key, _ in groups):
        raise Refused(f"{subject(ledger, event, cohort)} is in {to} already", groups)
    for key, count in choose(ledger, event, cohort, _stages(event), keep=lambda key: key.enclosure != to):
        ledger.post(event, key, key._replace(enclosure=to), count)


def split(ledger, event: Event) -> None:
    """`count` animals of the cohort become cohort `to`, where they are."""
    if not event.to:
        raise Refused("the label of the new cohort is not said")
    cohort = ledger.resolve(event.cohort)
    ledger.check_species(cohort, event.species)
    if event.count is None and not (event.mark or event.enclosure or event.stage or event.instar):
        raise Refused("how many are split off is not said")
    to = ledger.known(event.to)
    if to == cohort:
        raise Refused(f"cohort {event.to} cannot be split off itself")
    if to:
        _still_open(ledger, to)
    taken = choose(ledger, event, cohort, _stages(event))
    if to:
        ledger.check_species(to, ledger.info(cohort).species, exact=True)
        for key, _ in taken:
            if key.mark and ledger.last_of_mark(to, key.mark):
                raise Refused(f"cohort {ledger.shown(to)} has had an animal {key.mark} already")
    else:
        to = ledger.split_cohort(event, cohort, taken[0][0].stage)
    for key, count in taken:
        ledger.post(event, key, key._replace(cohort=to), count)


def merged(ledger, event: Event) -> None:
    """All animals of the cohort join cohort `to`."""
    cohort = ledger.resolve(event.cohort)
    to = ledger.resolve(event.to, "the cohort to join is not said")
    if to == cohort:
        raise Refused(f"cohort {event.to} cannot join itself")
    _still_open(ledger, to)
    ledger.check_species(to, ledger.info(cohort).species, exact=True)
    groups = list(ledger.of_cohort(cohort).items())
    if not groups:
        raise Refused(f"cohort {ledger.shown(cohort)} has no animals left", (), (cohort, (), ""))
    for key, _ in groups:
        if key.mark and ledger.last_of_mark(to, key.mark):
            raise Refused(f"cohort {ledger.shown(to)} has had an animal {key.mark} already", groups)
    for key, count in groups:
        ledger.post(event, key, key._replace(cohort=to), count)
    ledger.merge_cohort(cohort, to)


def renamed(ledger, event: Event) -> None:
    """The label becomes `to`; the former one is remembered."""
    if not event.to:
        raise Refused("the new label is not said")
    cohort = ledger.resolve(event.cohort)
    there = ledger.known(event.to)
    if there and there != cohort:
        raise Refused(f"there is a cohort {event.to} already")
    ledger.rename_cohort(cohort, event.to)


def identified(ledger, event: Event) -> None:
    """The cohort's species, or its correction."""
    if not event.species:
        raise Refused("the species is not said")
    ledger.info(ledger.resolve(event.cohort)).species = event.species


def looked(ledger, event: Event) -> None:
    """`checked` and `sign`: nothing changes, but a mark or a later instar may be met for the first time."""
    cohort = ledger.resolve(event.cohort) if event.cohort else ""
    enclosure = ledger.place(event.enclosure)
    if cohort:
        ledger.check_species(cohort, event.species)
    if not cohort and not event.mark:
        for one in {key.cohort for key in ledger.inside(enclosure)} if enclosure else ():
            ledger.look(event, one, enclosure, "")
        return
    if event.count is not None or event.mark:
        taken: Groups = _most(ledger, event, cohort)
    else:
        taken = fitting(ledger, event, cohort, _stages(event))
        if not taken:
            choose(ledger, event, cohort, _stages(event))
        if event.instar is not None and (event.what == "checked" or len(taken) == 1):
            choose(ledger, event, cohort, _stages(event))
    for spot in {(key.cohort, enclosure or ("" if cohort and not event.mark else key.enclosure)) for key, _ in taken}:
        ledger.look(event, *spot, event.mark)


def _most(ledger, event: Event, cohort: str) -> Groups:
    """The animals that a look was about. Which of several like groups they were does not matter, unless one is marked by it."""
    if event.mark or event.instar is not None:
        return choose(ledger, event, cohort, _stages(event))
    groups = fitting(ledger, event, cohort, _stages(event))
    if sum(held for _, held in groups) < event.count:
        choose(ledger, event, cohort, _stages(event))
    return groups


def cared(ledger, event: Event) -> None:
    """Care, tests and notes move no animals; a cohort they name must have been there."""
    if event.cohort:
        ledger.resolve(event.cohort)
    if event.enclosure:
        ledger.place(event.enclosure)


def nothing(ledger, event: Event) -> None:
    """Settings and withdrawals (those are worked off before the replay)."""
