"""Changes ahead: hatching, pupation and emergence that are due or late, and moults that must not be disturbed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta

from nurserytui.answers.overdue import expected, overdue
from nurserytui.answers.selection import present_label
from nurserytui.answers.tasks.living import groups, looked_today
from nurserytui.answers.tasks.task import Task, inside
from nurserytui.answers.wording import capital, day_words, listed, stage_count

DONE = {"hatch": "hatched", "prepupate": "prepupated", "pupate": "pupated", "emerge": "emerged"}
VERB = {"hatch": "hatch", "pupate": "pupate", "emerge": "come out"}
READY = {
    "egg": "have tender leaf ready",
    "larva": "give them something to climb and hang from",
    "cocoon": "leave them twigs and leaves to spin in",
    "prepupa": "hanging: do not move or touch them",
    "pupa": "look for wings through the shell; clear space below, and do not move them",
}


def growth(nursery, until: datetime) -> Iterator[Task]:
    for (cohort, place), stages in groups(nursery).items():
        for stage, count in stages.items():
            found = expected(nursery, cohort, place, stage)
            if found is not None and found.overdue:
                continue  # those that rest want a look now and then, the others are told below
            if found is not None:
                yield from _due(nursery, until, cohort, place, stage, count, found)
            elif stage == "prepupa":
                yield Task(
                    "due", cohort, f"Leave {stage_count(count, stage)} of {cohort}{inside(place)} alone", place, nursery.now.date(),
                    "hanging to pupate: do not move or touch them", 2, f"{count} {cohort} pupated{inside(place)}", "pupate",
                    cohorts=(cohort,),
                )  # fmt: skip
    late: dict[tuple[str, str], list] = {}
    for one in overdue(nursery):
        if not looked_today(nursery, one.cohort, one.enclosure):
            late.setdefault((one.enclosure or f"\0{one.cohort}", one.stage), []).append((one.cohort, one.count, one.found))
    for (place, stage), rows in late.items():
        yield _late(nursery, "" if place.startswith("\0") else place, stage, rows)
    yield from moults(nursery, until)


def _due(nursery, until: datetime, cohort: str, place: str, stage: str, count: int, found) -> Iterator[Task]:
    """A change that may begin by then, with the day on which the first is expected, whatever day is asked for; what may begin today but is
    likelier later is not today's work yet."""
    today, now = nursery.now.date(), nursery.now
    earliest = found.first.low or found.first.at
    if earliest > until:
        return
    due = today if stage == "prepupa" else max(found.first.at.date(), today)
    if due <= today and looked_today(nursery, cohort, place):
        return
    last = found.last.at or found.first.at
    begins = f"the first expected {day_words(found.first.at, now)}"
    if earliest.date() < found.first.at.date() and found.first.at.date() > today:
        begins += f", {day_words(earliest, now)} at the earliest"
    if found.spared:
        begins += "; others of the clutch have just hatched: they are not late yet"
    elif found.nearly:
        begins += f"; nearly overdue, {found.overdue_chance:.0%} of healthy ones would be unchanged by now"
    yield Task(
        "due", cohort, capital(f"{stage_count(count, stage)} of {cohort}{inside(place)} may {VERB[found.event]}"), place,
        due, f"{begins}; {ready_for(nursery, cohort, stage)}", 2 if due <= today or stage == "pupa" else 3,
        f"{count} {cohort} {DONE[found.event]}{inside(place)}", found.event,
        f"{day_words(earliest, now)} to {day_words(last, now)}", brief=f"{stage_count(count, stage)} of {cohort}{inside(place)}",
        cohorts=(cohort,), last=last.date(), begins=max(min(earliest.date(), due), today), stage=stage,
    )  # fmt: skip


def ready_for(nursery, cohort: str, stage: str) -> str:
    """What to have ready for a change: larvae that spin do not hang."""
    species = nursery.knowledge.species(nursery.ledger.cohorts[cohort].species)
    spins = stage == "larva" and species is not None and species.pupa_form == "cocoon"
    return READY["cocoon" if spins else stage]


def _late(nursery, place: str, stage: str, rows: list) -> Task:
    """Animals of one stage in one enclosure that should have changed: one look is one task."""
    from nurserytui.answers.lateness import LOOK_FOR

    event = rows[0][2].event
    whose = listed(f"{stage_count(count, stage)} of {cohort}" for cohort, count, _ in rows)
    chance = max(found.overdue_chance for _, _, found in rows)
    left = f"{chance:.0%} of healthy ones" if chance >= 0.01 else "hardly any healthy one"
    ends = [words for cohort, _, found in rows if (words := _how_long(nursery, cohort, stage, found))]
    reason = "; ".join((f"{left} would be unchanged by now", *ends, f"look for {LOOK_FOR[stage]}"))
    one = len(rows) == 1
    where = inside(place) if one else ""
    return Task(
        "late", rows[0][0] if one else place or rows[0][0], f"Check {whose}{inside(place)}: overdue to {VERB[event]}", place,
        nursery.now.date(), reason, 2, f"checked {rows[0][0] if one or not place else place}{where}", event, every=1,
        brief=f"{whose}{inside(place)}{f' ({listed(ends)})' if ends else ''}", cohorts=tuple(cohort for cohort, _, _ in rows), stage=stage,
    )  # fmt: skip


def _judged(nursery, found):
    """The judgement on a forecast of overdue animals, kept for as long as the records stand."""
    from nurserytui.answers.lateness import lateness

    kept = nursery.memo.setdefault("judged", {})
    before = kept.get(found.which)
    if before is None or before[0] is not found or before[1] != nursery.version:
        before = kept[found.which] = (found, nursery.version, lateness(nursery, found))
    return before[2]


def _how_long(nursery, cohort: str, stage: str, found) -> str:
    """Until when overdue animals are kept: eggs until their day to give up, what may rest until spring."""
    from nurserytui.answers.lateness import RESTS_AS, spring

    if stage != "egg":
        species = nursery.knowledge.species(nursery.ledger.cohorts[cohort].species)
        if species is None or species.winters_as not in RESTS_AS[stage]:
            return ""
        return f"{cohort} may rest: do not throw it out, look again in {spring(nursery):%B %Y}"
    judged = _judged(nursery, found)
    if judged.give_up is None or judged.give_up.at is None:
        return ""
    day = day_words(judged.give_up.at, nursery.now)
    past = judged.give_up.at < nursery.now
    return f"{cohort}: its day to give up was {day}, set them apart" if past else f"{cohort}: not given up before {day}"


def moults(nursery, until: datetime) -> Iterator[Task]:
    """Larvae that sit still for a moult by then: what not to disturb. It goes when the moult is recorded."""
    from nurserytui.answers.moults import may_moult, next_moult

    still = nursery.knowledge.rule("moult-still")
    today = nursery.now.date()
    end = max(until, datetime.combine(today, time(23, 59, 59)))
    larvae: dict[tuple[str, int], list] = {}
    for key, count in nursery.heads(stage="larva"):
        if key.instar is not None:
            larvae.setdefault((key.cohort, key.instar), []).append((key, count))
    told = nursery.ledger.chronicle.on(today.isoformat())
    moulted = {present_label(nursery.ledger, event.cohort) for event in told if event.what == "moulted"}
    for (cohort, instar), heads in sorted(larvae.items(), key=lambda pair: pair[0]):
        if not may_moult(nursery, cohort, instar, heads, end + timedelta(days=still.value) - nursery.now):
            continue
        found = next_moult(nursery, cohort, instar, heads)
        if found is None or found.first.at - timedelta(days=still.value) > end or (cohort in moulted and until.date() == today):
            continue
        for place in sorted({key.enclosure for key, _ in heads}):
            count = sum(number for key, number in heads if key.enclosure == place)
            due = max((found.first.at - timedelta(days=still.value)).date(), today)
            yield Task(
                "moult", cohort, f"Do not disturb {stage_count(count, 'larva')} of {cohort}{inside(place)} where they sit still", place,
                due, f"the moult to instar {found.instar + 1} is expected from {day_words(found.first.at, nursery.now)}; before it they sit "
                "still for a day or two: put fresh leaf beside them, move none", 3, f"{count} {cohort} moulted to instar {found.instar + 1}{inside(place)}",
                "moult", brief=f"{stage_count(count, 'larva')} of {cohort}{inside(place)}", cohorts=(cohort,), rule="moult-still", last=(found.last.at or found.first.at).date(),
            )  # fmt: skip
