"""Which animals an event is about: what the row says, and what is filled in where only one group fits."""

from __future__ import annotations

from collections.abc import Callable

from nurserytui.records import reasons
from nurserytui.records.events import Event
from nurserytui.records.postings import Key, Refused

Groups = list[tuple[Key, int]]


def subject(ledger, event: Event, cohort: str) -> str:
    if event.mark and cohort:
        return f"animal {event.mark} of cohort {ledger.shown(cohort)}"
    return f"cohort {ledger.shown(cohort)}" if cohort else event.enclosure or "the nursery"


def fitting(ledger, event: Event, cohort: str, stages: tuple[str, ...], *, enclosure: str | None = None) -> Groups:
    """The live groups that match everything the event says, except its mark and instar."""
    enclosure = ledger.place(event.enclosure) if enclosure is None else enclosure
    if cohort:
        held = ledger.of_cohort(cohort)
    elif enclosure:
        held = ledger.inside(enclosure)
    else:
        held = ledger.heads
    found = [
        group
        for group in held.items()
        if (not stages or group[0].stage in stages) and (not enclosure or group[0].enclosure == enclosure)
    ]
    if event.species and not cohort:
        found = [group for group in found if ledger.same_species(group[0].cohort, event.species)]
    return found


def choose(ledger, event: Event, cohort: str, stages: tuple[str, ...] = (), *, ranked: bool = False, below: int | None = None,
           keep: Callable[[Key], bool] | None = None, needs_count: bool = False) -> Groups:  # fmt: skip
    """The groups, with how many of each, that the event takes animals from.

    `stages` are the stages it can take, the one to take first in front; `ranked` lets it take several of them in that order
    and, within one enclosure, the most advanced instar first. `below` keeps larvae under that instar only.
    A mark that was never seen is given to an animal on the way, and a later instar than recorded is entered as a moult.
    """
    groups = fitting(ledger, event, cohort, stages)
    if keep is not None:
        groups = [group for group in groups if keep(group[0])]
    if below is not None:
        groups = [group for group in groups if (group[0].instar or 0) < below]
    count = event.count
    if event.mark:
        if count not in (None, 1):
            raise Refused(f"a mark names one animal, not {count}")
        groups, count = _marked(ledger, event, cohort, groups), 1
    stage = stages[0] if len(stages) == 1 else ""
    if not groups or (count is not None and count > sum(held for _, held in groups)):
        raise _short(ledger, event, cohort, groups, count, stages, stage)
    if needs_count and count is None:
        if sum(held for _, held in groups) > 1:
            raise Refused(f"{subject(ledger, event, cohort)} has {reasons.groups_in_words(groups)}: how many is not said", groups)
        count = 1
    ranks: list[Groups]
    if event.instar is not None and below is None and event.what != "hatched":
        groups, ranks = _by_stated_instar(ledger, event, cohort, groups, count, stages, stage)
        ranked = True
    elif ranked and len(stages) > 1:
        ranks = [ranks_ for ranks_ in ([g for g in groups if g[0].stage == one] for one in stages) if ranks_]
    else:
        ranks = [groups]
    taken = _pick(ledger, event, cohort, groups, ranks, count, ranked)
    if not cohort and event.what != "moved" and len({key.cohort for key, _ in taken}) > 1:
        raise Refused(reasons.which(subject(ledger, event, cohort), groups, count or sum(held for _, held in taken)), groups)
    return [_as_stated(ledger, event, key, number, below) for key, number in taken]


def _pick(ledger, event: Event, cohort: str, groups: Groups, ranks: list[Groups], count: int | None, ranked: bool) -> Groups:
    """`count` of the groups (all if None), rank by rank; Refused when more than one choice is left."""
    if len(groups) == 1:
        return [(groups[0][0], groups[0][1] if count is None else count)]
    total = sum(held for _, held in groups)
    if count is None or count == total:
        return groups
    plain = [group for group in groups if not group[0].mark]
    if len(plain) < len(groups) and sum(held for _, held in plain) >= count:
        # A row without a mark is about the animals that have none, as long as there are enough of them.
        ranks = [rank for rank in ([g for g in rank if not g[0].mark] for rank in ranks) if rank]
    taken: Groups = []
    left = count
    for rank in ranks:
        held = sum(number for _, number in rank)
        if held <= left:
            taken += rank
            left -= held
        else:
            taken += _one_place(ledger, event, cohort, rank, left, ranked)
            left = 0
        if not left:
            break
    return taken


def _one_place(ledger, event: Event, cohort: str, groups: Groups, count: int, ranked: bool) -> Groups:
    if len(groups) == 1:
        return [(groups[0][0], count)]
    places: dict[tuple, Groups] = {}
    for group in groups:
        key = group[0]
        spot = (key.cohort, key.mark, key.stage, key.enclosure) if ranked else tuple(key)
        places.setdefault(spot, []).append(group)
    fits = [found for found in places.values() if sum(held for _, held in found) >= count]
    if len(fits) != 1:
        raise Refused(reasons.which(subject(ledger, event, cohort), groups, count), groups)
    taken: Groups = []
    for key, held in sorted(fits[0], key=lambda group: -(group[0].instar or 0)):
        number = min(held, count)
        if number:
            taken.append((key, number))
            count -= number
    return taken


def _short(ledger, event: Event, cohort: str, groups: Groups, count: int | None, stages: tuple[str, ...], stage: str) -> Refused:
    enclosure = ledger.place(event.enclosure)
    elsewhere = list(ledger.of_cohort(cohort).items()) if cohort else []
    told = stage or (stages[0] if stages and not groups else "")
    who = subject(ledger, event, cohort)
    text = reasons.too_few(who, groups, count, told, enclosure if cohort else "", elsewhere)
    return Refused(text, groups or elsewhere, (cohort, stages, enclosure))


def _marked(ledger, event: Event, cohort: str, groups: Groups) -> Groups:
    """The one animal of that mark; on the first mention of the mark, an animal that has none."""
    mine = [group for group in groups if group[0].mark == event.mark]
    if mine:
        return mine
    owner = cohort or next(iter({key.cohort for key, _ in groups}), "")
    last = ledger.last_of_mark(owner, event.mark)
    if last is None:
        return [group for group in groups if not group[0].mark]
    held = [group for group in ledger.of_cohort(owner).items() if group[0].mark == event.mark]
    if held:
        key = held[0][0]
        raise Refused(f"animal {event.mark} of cohort {owner} is {_a(key.stage)}{reasons.where(key.enclosure)}", held)
    raise Refused(f"animal {event.mark} of cohort {owner} is not there any more ({last[0]} on {last[1]})", (), (owner, (), ""))


def _a(stage: str) -> str:
    return f"an {stage}" if stage[:1] in "aeiou" else f"a {stage}"


def _by_stated_instar(ledger, event: Event, cohort: str, groups: Groups, count: int | None, stages: tuple[str, ...], stage: str):
    """Larvae of the stated instar first; else earlier ones, whose moult was not recorded. Other stages are left as they are."""
    stated = event.instar
    others = [group for group in groups if group[0].stage != "larva"]
    exact = [group for group in groups if group[0].stage == "larva" and group[0].instar == stated]
    lower = [group for group in groups if group[0].stage == "larva" and (group[0].instar or 0) < stated]
    if not event.stage:
        others = [group for group in others if len(stages) > 1 and group[0].stage in stages]
    if exact and (count is None or sum(held for _, held in others + exact) >= count):
        lower = []
    fits = others + exact + lower
    total = sum(held for _, held in fits)
    if not total or (count is not None and count > total):
        later = [group for group in groups if group not in fits]
        there = reasons.groups_in_words(later or groups, instars=True)
        raise Refused(
            f"{subject(ledger, event, cohort)} has {there}, not {count or 'any'} of instar {stated}", groups, (cohort, stages, "")
        )
    return fits, [rank for rank in (others, exact, lower) if rank]


def _as_stated(ledger, event: Event, key: Key, count: int, below: int | None) -> tuple[Key, int]:
    """The group as the event says it was: marked, or of a later instar than the records knew."""
    told = key
    if event.mark and not key.mark:
        told = told._replace(mark=event.mark)
    if (
        event.instar is not None
        and below is None
        and key.stage == "larva"
        and (key.instar or 0) < event.instar
        and event.what != "hatched"
    ):
        told = told._replace(instar=event.instar)
    if told is not key:
        ledger.post(event, key, told, count)
    return told, count
