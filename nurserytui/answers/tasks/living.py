"""What stands where now, and when it was last seen to: asked of the living groups and of the newest records, never of all of them."""

from __future__ import annotations

from datetime import date, datetime

from nurserytui.answers.selection import STAGE_ORDER, present_label
from nurserytui.answers.wording import listed, stage_count
from nurserytui.records.events import LOOKS

Groups = dict[tuple[str, str], dict[str, int]]


def groups(nursery) -> Groups:
    """(cohort, enclosure) -> stage -> living animals, in the order of their labels; kept for as long as the records stand."""
    return nursery.until_written("living groups", lambda: _groups(nursery))


def _groups(nursery) -> Groups:
    found: Groups = {}
    for key, count in nursery.ledger.heads.items():
        stages = found.setdefault((key.cohort, key.enclosure), {})
        stages[key.stage] = stages.get(key.stage, 0) + count
    return {group: dict(sorted(stages.items(), key=lambda pair: STAGE_ORDER[pair[0]])) for group, stages in sorted(found.items())}


def by_place(nursery) -> dict[str, dict[str, dict[str, int]]]:
    """Enclosure -> cohort -> stage -> living animals."""
    found: dict[str, dict[str, dict[str, int]]] = {}
    for (cohort, place), stages in groups(nursery).items():
        found.setdefault(place, {})[cohort] = stages
    return found


def animals(stages: dict[str, int]) -> str:
    """`7 larvae and 2 prepupae`."""
    return listed(stage_count(stages[stage], stage) for stage in sorted(stages, key=STAGE_ORDER.get))


def together(cohorts: dict[str, dict[str, int]]) -> dict[str, int]:
    """Stage -> animals over several cohorts."""
    found: dict[str, int] = {}
    for stages in cohorts.values():
        for stage, count in stages.items():
            found[stage] = found.get(stage, 0) + count
    return found


def looked_today(nursery, cohort: str, place: str) -> bool:
    """Whether a look at those animals is recorded for today."""
    return any(is_look_at(event, nursery, cohort, place) for event in nursery.ledger.chronicle.on(nursery.now.date().isoformat()))


def is_look_at(event, nursery, cohort: str, place: str) -> bool:
    """Whether an event is a look at the animals of that cohort in that enclosure."""
    if event.what not in LOOKS:
        return False
    if event.cohort:
        return event.enclosure in ("", place) and present_label(nursery.ledger, event.cohort) == cohort
    return event.enclosure == place


def named(nursery, cohort: str) -> list:
    """The events that name a cohort, by its label of today or an earlier one."""
    known = nursery.ledger.cohorts.get(cohort)
    return nursery.ledger.chronicle.about(cohort, known.former_labels if known else ())


def newest_named(nursery, cohort: str):
    """The same, one by one, the newest first."""
    known = nursery.ledger.cohorts.get(cohort)
    return nursery.ledger.chronicle.newest(names=(cohort, *(known.former_labels if known else ())))


def last_care(nursery, place: str, whats: tuple[str, ...], fits=None) -> object | None:
    """The newest event of those kinds in an enclosure (that `fits`), None where there is none."""
    for event in nursery.ledger.chronicle.newest(enclosure=place) if place else ():
        if event.what in whats and event.enclosure == place and (fits is None or fits(event)):
            return event
    return None


def last_fed(nursery, place: str, cohorts) -> date | None:
    """The day of the last fresh food in an enclosure, or for one of its cohorts by name."""
    days = [event.day for event in (place and last_care(nursery, place, ("fed",)),) if event]
    for cohort in cohorts:
        for event in newest_named(nursery, cohort):
            if event.what == "fed" and event.enclosure in ("", place):
                days.append(event.day)
                break
    return date.fromisoformat(max(days)) if days else None


def looked_last(nursery, cohort: str, place: str) -> date | None:
    """The day of the last look at animals of a cohort that stand in an enclosure, where they stood then; coming in counts."""
    seen = [look for look in nursery.ledger.looks(cohort, place) if look <= nursery.now]
    for stay in _standing(nursery, cohort, place):
        for came in stay.arrivals:
            if came.source is not None and (came.source.cohort, came.source.enclosure) != (cohort, place):
                before = nursery.ledger.looks(came.source.cohort, came.source.enclosure)
                seen += [look for look in before if look <= came.latest]
    return max(seen).date() if seen else None


def occupied_since(nursery, place: str) -> date:
    """Since when somebody who is still there has stood in the enclosure, in whatever stage and under whatever label."""
    stays = [stay for cohort in by_place(nursery).get(place, {}) for stay in _standing(nursery, cohort, place)]
    return min((_begun(nursery, stay, frozenset()) for stay in stays), default=nursery.now).date()


def _standing(nursery, cohort: str, place: str) -> list:
    """The stays of a cohort in an enclosure that go on."""
    from nurserytui.answers.stays import of_cohort

    return [stay for stay in of_cohort(nursery.ledger, cohort) if stay.end is None and stay.group.enclosure == place]


def _begun(nursery, stay, passed: frozenset) -> datetime:
    """When the first of those of a stay came into the enclosure: those that were there in another stage or cohort before came then."""
    from nurserytui.answers.stays import group_of, of_cohort

    passed |= {stay}
    found = stay.start
    for came in stay.arrivals:
        if came.source is not None and came.source.enclosure == stay.group.enclosure:
            for other in of_cohort(nursery.ledger, came.source.cohort):
                same = (other.group, other.stage) == (group_of(came.source), came.source.stage)
                if same and other not in passed and other.overlaps(came.earliest, came.latest):
                    found = min(found, _begun(nursery, other, passed))
    return found
