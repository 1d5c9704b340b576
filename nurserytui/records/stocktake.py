"""`counted`: so many are there. A difference is missing, returned, or a corrected estimate.

By the keeper's word in `detail` (`missing`, `returned`, `estimate`) where there is one. Without a word, a cohort whose
headcount is an estimate gets it corrected; else fewer than recorded are missing, and more are returned as far as animals
were missing. More than that stays a fault: animals do not come from nothing, so the keeper has to say `estimate`.
"""

from __future__ import annotations

from nurserytui.records import reasons
from nurserytui.records.events import STAGES, Event
from nurserytui.records.picking import Groups, fitting, subject
from nurserytui.records.postings import Key, Refused

WORDS = {"missing": "missing", "returned": "returned", "back": "returned", "estimate": "estimate", "estimated": "estimate", "corrected": "estimate"}  # fmt: skip


def keepers_word(detail: str) -> str:
    """`missing`, `returned` or `estimate` as the detail says, or ""."""
    return next((WORDS[word] for word in detail.lower().replace(",", " ").split() if word in WORDS), "")


def counted(ledger, event: Event) -> None:
    if event.count is None:
        raise Refused("how many were counted is not said")
    cohort = ledger.resolve(event.cohort) if event.cohort else ""
    enclosure = ledger.place(event.enclosure)
    if cohort:
        ledger.check_species(cohort, event.species)
    elif not enclosure:
        raise Refused("neither the cohort nor the enclosure that was counted is said")
    stages = (event.stage,) if event.stage else ("larva",) if event.instar else ()
    groups = fitting(ledger, event, cohort, stages)
    if event.mark:
        groups = [group for group in groups if group[0].mark == event.mark]
    if event.instar is not None:
        groups = [group for group in groups if group[0].instar == event.instar]
    present = sum(held for _, held in groups)
    if event.count < present:
        _fewer(ledger, event, cohort, groups, present - event.count)
    elif event.count > present:
        _more(ledger, event, cohort, groups, event.count - present, stages)
    for one in {key.cohort for key, _ in groups} | ({cohort} if cohort else set()):
        ledger.look(event, one, enclosure, event.mark)
        covered = sum(held for key, held in ledger.of_cohort(one).items() if not enclosure or key.enclosure == enclosure)
        if not event.estimate and not stages and not event.mark and covered == sum(ledger.of_cohort(one).values()):
            ledger.info(one).estimate = False


def _estimated(ledger, event: Event, cohort: str, groups: Groups) -> bool:
    cohorts = {key.cohort for key, _ in groups} or {cohort}
    return all(one and ledger.info(one).estimate for one in cohorts)


def _fewer(ledger, event: Event, cohort: str, groups: Groups, short: int) -> None:
    word = keepers_word(event.detail) or ("estimate" if _estimated(ledger, event, cohort, groups) else "missing")
    if word == "returned":
        raise Refused(f"{_there(ledger, event, cohort, groups)}: {event.count} is fewer, so none returned", groups)
    if event.estimate and word != "estimate" and not keepers_word(event.detail):
        return  # a rough count does not overrule an exact one
    if short == sum(held for _, held in groups):
        taken = groups
    elif len(groups) == 1:
        taken = [(groups[0][0], short)]
    else:
        raise Refused(
            f"{_there(ledger, event, cohort, groups, instars=True)}, not {event.count}: count each group by itself", groups
        )
    for key, count in taken:
        ledger.post(event, key, None, count)
        if word == "missing":
            ledger.lose(key, count)


def _more(ledger, event: Event, cohort: str, groups: Groups, extra: int, stages: tuple[str, ...]) -> None:
    said = keepers_word(event.detail)
    if said == "missing":
        raise Refused(f"{_there(ledger, event, cohort, groups)}: {event.count} is more, so none are missing", groups)
    word = said or ("estimate" if _estimated(ledger, event, cohort, groups) else "returned")
    if event.estimate and word != "estimate" and not said:
        return
    if word == "returned":
        lost = _lost(ledger, cohort, groups)
        if sum(held for _, held in lost) < extra:
            missing = sum(held for _, held in lost)
            raise Refused(f"{_there(ledger, event, cohort, groups)}, not {event.count}, and {missing} {'is' if missing == 1 else 'are'} missing", groups)  # fmt: skip
        if len(groups) == 1:
            target = groups[0][0]
        elif len(lost) == 1:
            target = _as_counted(ledger, event, lost[0][0], stages)
        else:
            raise Refused(
                f"{_there(ledger, event, cohort, groups, instars=True)}, not {event.count}: count each group by itself", groups
            )
        able = _able(lost, target)
        if sum(held for _, held in able) < extra:
            there = _there(ledger, event, cohort, groups)
            raise Refused(f"{there}, not {event.count}, and the missing are {reasons.groups_in_words(lost)}: say which are back", groups)  # fmt: skip
        for key, held in able:
            number = min(held, extra)
            if number:
                ledger.give_back(event, key, target._replace(mark=key.mark), number)
                extra -= number
        return
    if len(groups) == 1 and not groups[0][0].mark:
        target = groups[0][0]
    elif not groups and cohort and stages:
        target = Key(cohort, "", stages[0], event.instar, ledger.place(event.enclosure))
    else:
        raise Refused(
            f"{_there(ledger, event, cohort, groups, instars=True)}, not {event.count}: count each group by itself", groups
        )
    ledger.post(event, None, target, extra)


def _lost(ledger, cohort: str, groups: Groups) -> Groups:
    """The missing animals that may be the ones too many."""
    cohorts = {cohort} if cohort else {key.cohort for key, _ in groups}
    return [group for group in ledger.lost.items() if group[0].cohort in cohorts]


def _as_counted(ledger, event: Event, key: Key, stages: tuple[str, ...]) -> Key:
    """The missing as they are back: as they were, but for what the stocktake says of stage, instar and enclosure."""
    stage = stages[0] if stages else key.stage
    instar = event.instar or (key.instar if stage == key.stage else None)
    return key._replace(stage=stage, instar=instar, enclosure=ledger.place(event.enclosure) or key.enclosure)


def _able(lost: Groups, target: Key) -> Groups:
    """Those that may have come back as the target: grown while they were away, but not back. The likeliest first: of that stage, unmarked."""
    able = [group for group in lost if STAGES.index(group[0].stage) <= STAGES.index(target.stage)]
    return sorted(able, key=lambda group: (group[0].stage != target.stage, group[0].mark != ""))


def _there(ledger, event: Event, cohort: str, groups: Groups, *, instars: bool = False) -> str:
    return f"{subject(ledger, event, cohort)} has {reasons.groups_in_words(groups, instars=instars) if groups else 'no such animals'}"
