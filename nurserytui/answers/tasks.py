"""What there is to do in the nursery: each task with its reason, its day and the sentence that records it as done."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.selection import STAGE_ORDER, present_label, span_of
from nurserytui.answers.wording import capital, counted, day_words, listed, species_label, stage_count
from nurserytui.records.events import LOOKS

FEED_EVERY = 1
"""Days between fresh leaf for larvae (common practice: daily)."""
CLEAN_EVERY = 7
"""Days between cleanings of an enclosure with larvae in it, and after which an occupied one is past cleaning (common practice)."""
LOOK_EVERY = {"egg": 1, "larva": 1, "prepupa": 1, "pupa": 3}
"""Days after which animals of a stage want a look (common practice)."""
RESTING_LOOK = 30
"""Days between looks at pupae that rest over the winter (common practice)."""
SIGN_OPEN = 7
"""Days for which a sign is looked at again until something later is recorded of those animals."""
OVERDUE_WORDS = {
    "egg": "keep them until their give-up day",
    "larva": "look whether some have hung up already",
    "prepupa": "look whether they have turned, without touching them",
    "pupa": "pupae can rest for long: do not throw them out",
}
DONE = {"hatch": "hatched", "prepupate": "prepupated", "pupate": "pupated", "emerge": "emerged"}


class Task(NamedTuple):
    """Priority 1 is for what may cost animals today, 2 for today's work, 3 for what can wait a day."""

    kind: str
    """`watch`, `apart`, `sign`, `disinfect`, `release`, `due`, `feed`, `clean`, `check`."""
    name: str
    """Cohort or enclosure."""
    label: str
    enclosure: str
    due: date
    reason: str
    priority: int
    record: str
    event: str = ""
    """For `due`: hatch, prepupate, pupate or emerge."""
    span: str = ""
    """For `due`: the dates between which the first is expected, in words."""


def tasks(nursery, until: datetime) -> list[Task]:
    """All tasks due up to `until`, most pressing first; what was recorded today is not among them."""
    found = [
        *_watched(nursery),
        *_unclean(nursery),
        *_mixed(nursery),
        *_signs(nursery),
        *_adults(nursery),
        *_due(nursery, until),
        *_food(nursery),
        *_cleaning(nursery),
        *_looks(nursery),
    ]
    found = [task for task in _once(found) if task.due <= until.date()]
    return sorted(found, key=lambda task: (task.priority, task.due, task.kind, task.name, task.enclosure))


def _once(found: list[Task]) -> Iterator[Task]:
    """One look at the same animals is one task: the gravest reason stands, plain checks of animals already named are left out."""
    seen = {(task.name, task.enclosure) for task in found if task.kind in ("watch", "sign", "due")}
    places = {task.enclosure for task in found if task.kind == "watch"}
    for task in found:
        if task.kind != "check" or ((task.name, task.enclosure) not in seen and task.enclosure not in places):
            yield task


def groups(nursery) -> dict[tuple[str, str], dict[str, int]]:
    """(cohort, enclosure) -> stage -> living animals."""
    found: dict[tuple[str, str], dict[str, int]] = {}
    for key, count in nursery.ledger.heads.items():
        stages = found.setdefault((key.cohort, key.enclosure), {})
        stages[key.stage] = stages.get(key.stage, 0) + count
    return found


def looked_today(nursery, cohort: str, place: str) -> bool:
    """Whether a look at those animals is recorded for today."""
    today = nursery.now.date().isoformat()
    return any(
        event.day == today
        and event.what in LOOKS
        and (present_label(nursery.ledger, event.cohort) == cohort if event.cohort else True)
        and (event.enclosure in ("", place) if event.cohort else event.enclosure == place)
        for event in nursery.events
    )


def _in(place: str) -> str:
    return f" in {place}" if place else ""


def _animals(stages: dict[str, int]) -> str:
    return listed(stage_count(stages[stage], stage) for stage in sorted(stages, key=STAGE_ORDER.get))


# Health -------------------------------------------------------------------------------------------------------------------


def _watched(nursery) -> Iterator[Task]:
    """Animals exposed to something, while their watch is open; and exposed ones that share an enclosure with others."""
    from nurserytui.answers.cases import outbreaks
    from nurserytui.answers.exposure import RECENT, rows_of

    today = nursery.now.date()
    recent = [one for one in outbreaks(nursery) if one.last >= nursery.now - RECENT]
    together: dict[tuple[str, str], list] = {}
    for row in rows_of(nursery, recent):
        contact = row.contact
        open_ended = contact.watch_until is None or contact.watch_until.date() >= today
        if row.over or contact.grade == "unlikely" or not open_ended:
            continue
        if not looked_today(nursery, contact.group.cohort, contact.group.enclosure):
            together.setdefault((contact.group.enclosure, row.outbreak.kind), []).append(row)
    for (place, kind), rows in together.items():
        whose = [f"{row.contact.group.cohort}{' ' + row.contact.group.mark if row.contact.group.mark else ''}" for row in rows]
        ends = [row.contact.watch_until for row in rows if row.contact.watch_until]
        until = f"until {day_words(max(ends), nursery.now)}; " if ends else ""
        grades = listed(f"{name} {row.contact.grade}" for name, row in zip(whose, rows, strict=True))
        label = f"Watch {listed(whose)}{_in(place)} for {_trouble(kind)} and keep them apart"
        priority = 1 if any(row.contact.grade == "likely" for row in rows) else 2
        name = place if place and len(rows) > 1 else rows[0].contact.group.cohort
        record = f"checked {place}" if place else f"checked {rows[0].contact.group.cohort}"
        yield Task("watch", name, label, place, today, f"{until}exposed: {grades}; {rows[0].contact.reason}", priority, record)


def _trouble(kind: str) -> str:
    return {"wasp": "parasitoid wasps", "fly": "parasitoid flies"}.get(kind, kind)


def _unclean(nursery) -> Iterator[Task]:
    """Empty enclosures in which a disease or parasitoid was, not cleaned since."""
    from nurserytui.answers.cases import outbreaks
    from nurserytui.answers.stays import cleared

    used = {place for _, place in groups(nursery)}
    for place in sorted({one.place for one in outbreaks(nursery) if one.place} - used):
        last = [one for one in outbreaks(nursery) if one.place == place][-1]
        later = any(
            event.what == "cleaned" and event.enclosure == place and span_of(event)[1] >= last.last for event in nursery.events
        )
        if not later and cleared(nursery, place, last.last) is None:
            reason = f"empty, and not cleaned since {_trouble(last.kind)} on {day_words(last.last, nursery.now)}"
            yield Task(
                "disinfect",
                place,
                f"Clean and disinfect {place} before it is used again",
                place,
                nursery.now.date(),
                reason,
                2,
                f"cleaned {place}",
            )


def _mixed(nursery) -> Iterator[Task]:
    """Adults in one enclosure with younger animals."""
    inside: dict[str, dict[str, dict[str, int]]] = {}
    for (cohort, place), stages in groups(nursery).items():
        if place:
            inside.setdefault(place, {})[cohort] = stages
    for place, cohorts in inside.items():
        adults = [cohort for cohort, stages in cohorts.items() if stages.get("adult")]
        young = [cohort for cohort, stages in cohorts.items() if stages.get("larva") or stages.get("egg")]
        if adults and young:
            reason = f"adults of {listed(adults)} stand with eggs or larvae of {listed(young)}: adults carry spores onto leaf"
            count = sum(cohorts[cohort]["adult"] for cohort in adults)
            label = f"Take {stage_count(count, 'adult')} out of {place}"
            yield Task(
                "apart", place, label, place, nursery.now.date(), reason, 1, f"released {cohorts[adults[0]]['adult']} {adults[0]}"
            )


def _signs(nursery) -> Iterator[Task]:
    """Signs seen lately on animals still here, with nothing recorded of them since."""
    today = nursery.now.date()
    living = groups(nursery)
    events = list(nursery.events)
    for at, event in enumerate(events):
        if event.what != "sign" or (today - date.fromisoformat(event.day)).days > SIGN_OPEN:
            continue
        cohort = present_label(nursery.ledger, event.cohort) if event.cohort else ""
        here = [(c, place) for c, place in living if (not cohort or c == cohort) and event.enclosure in ("", place)]
        settled = any(
            later.what in LOOKS + ("died", "released", "given")
            and later.what != "sign"
            and (present_label(nursery.ledger, later.cohort) == cohort if cohort else later.enclosure == event.enclosure)
            for later in events[at + 1 :]
        )
        for c, place in [] if settled else here[:1]:
            label = f"Look again at {c}{_in(place)}"
            reason = f"sign seen {day_words(event.day, nursery.now)}: {event.detail}"
            yield Task("sign", c, label, place, today, reason, 1, f"checked {c}{_in(place)}")


# Growth -------------------------------------------------------------------------------------------------------------------


def _adults(nursery) -> Iterator[Task]:
    today = nursery.now.date()
    for (cohort, place), stages in groups(nursery).items():
        count = stages.get("adult")
        if not count:
            continue
        out = [
            p.event.day
            for p in nursery.ledger.postings
            if p.target is not None and p.target.stage == "adult" and p.target.cohort == cohort
        ]
        since = date.fromisoformat(out[-1]) if out else today
        days = (today - since).days
        reason = f"out since {day_words(since.isoformat(), nursery.now)}" + (
            ": held more than two days they wear out" if days > 2 else "; let the wings set for some hours first"
        )
        label = f"Release or feed {stage_count(count, 'adult')} of {cohort}{_in(place)}"
        yield Task("release", cohort, label, place, today, reason, 1 if days > 2 else 2, f"released {count} {cohort}")


def _due(nursery, until: datetime) -> Iterator[Task]:
    """Changes that may begin by then, or that should have: what to look for, and what not to disturb."""
    from nurserytui.answers.outlook import EVENT_AFTER, outlook

    today = nursery.now.date()
    for (cohort, place), stages in groups(nursery).items():
        for stage, count in stages.items():
            event = EVENT_AFTER.get(stage)
            found = outlook(nursery, cohort, event, place, stages=(stage,)) if event else None
            if stage == "prepupa" and found is None:
                yield Task(
                    "due", cohort, f"Leave {stage_count(count, stage)} of {cohort}{_in(place)} alone", place, today,
                    "hanging to pupate: do not move or touch them", 2, f"{count} {cohort} pupated{_in(place)}", "pupate",
                )  # fmt: skip
            if found is None or found.first.at is None:
                continue
            overdue = found.overdue
            earliest = found.first.low or found.first.at
            if not overdue and earliest > until:
                continue
            due = today if overdue or stage == "prepupa" else max(found.first.at.date(), today)
            verb = {"hatch": "hatch", "pupate": "pupate", "emerge": "come out"}.get(event, event)
            expected = f"the first expected {day_words(found.first.at, nursery.now)}"
            span = f"{day_words(earliest, nursery.now)} to {day_words(found.last.at or found.first.at, nursery.now)}"
            if overdue:
                label = f"Check {stage_count(count, stage)} of {cohort}{_in(place)}: overdue to {verb}"
                left = f"{found.overdue_chance:.0%} of healthy ones" if found.overdue_chance >= 0.01 else "hardly any healthy one"
                reason = f"{left} would be unchanged by now; {OVERDUE_WORDS[stage]}"
            else:
                label = f"{stage_count(count, stage)} of {cohort}{_in(place)} may {verb}"
                reason = expected + {"prepupa": "; hanging: do not move or touch them", "egg": "; have tender leaf ready"}.get(
                    stage, ""
                )
                reason += "; clear space below, and do not move them" if stage == "pupa" else ""
            if looked_today(nursery, cohort, place) and due <= today and not overdue:
                continue
            # What may begin today but is likelier later is not today's work yet.
            priority = 2 if due <= today else 3
            label = capital(label)
            yield Task(
                "due",
                cohort,
                label,
                place,
                min(due, until.date()),
                reason,
                priority,
                f"{count} {cohort} {DONE[event]}{_in(place)}",
                event,
                span,
            )


def _food(nursery) -> Iterator[Task]:
    """Enclosures with larvae whose leaf was not renewed since yesterday."""
    today = nursery.now.date()
    larvae: dict[str, dict[str, int]] = {}
    for (cohort, place), stages in groups(nursery).items():
        if stages.get("larva") and place:
            larvae.setdefault(place, {})[cohort] = stages["larva"]
    for place, cohorts in larvae.items():
        last = _last_fed(nursery, place, cohorts)
        if last is not None and (today - last).days < FEED_EVERY:
            continue
        hosts = list(dict.fromkeys(c.host for label in cohorts if (c := nursery.ledger.cohorts[label]).host))
        leaf = f" ({listed(nursery.knowledge.common(host) or host for host in hosts)})" if hosts else ""
        since = f"last fresh leaf {day_words(last.isoformat(), nursery.now)}" if last else "no fresh leaf is recorded"
        reason = f"{stage_count(sum(cohorts.values()), 'larva')} of {listed(cohorts)}; {since}, leaf is renewed daily"
        yield Task("feed", place, f"Fresh leaf{leaf} in {place}", place, today, reason, 2, f"fed {place}")


def _last_fed(nursery, place: str, cohorts) -> date | None:
    days = [
        event.day
        for event in nursery.events
        if event.what == "fed"
        and (event.enclosure == place or (not event.enclosure and present_label(nursery.ledger, event.cohort) in cohorts))
    ]
    return date.fromisoformat(max(days)) if days else None


def _cleaning(nursery) -> Iterator[Task]:
    """Occupied enclosures with larvae that were last cleaned, or first occupied, longer ago than the rule."""
    from nurserytui.answers.stays import trace

    today = nursery.now.date()
    stays = [stay for stay in trace(nursery.ledger)[0] if stay.end is None]
    by_place: dict[str, dict[str, int]] = {}
    for (_, place), stages in groups(nursery).items():
        for stage, count in stages.items():
            if place:
                by_place.setdefault(place, {}).setdefault(stage, 0)
                by_place[place][stage] += count
    for place, stages in by_place.items():
        if not stages.get("larva"):
            continue
        cleaned = [
            date.fromisoformat(event.day) for event in nursery.events if event.what == "cleaned" and event.enclosure == place
        ]
        occupied = min(stay.start.date() for stay in stays if stay.group.enclosure == place)
        since = max([day for day in cleaned if day >= occupied], default=occupied)
        days = (today - since).days
        if days < CLEAN_EVERY:
            continue
        last = f"last cleaned {day_words(max(cleaned).isoformat(), nursery.now)}" if cleaned else "no cleaning is recorded"
        reason = f"{_animals(stages)} in it; {last}, occupied since {day_words(occupied.isoformat(), nursery.now)}; the rule is every {CLEAN_EVERY} days"
        hanging = stages.get("prepupa", 0) + stages.get("pupa", 0)
        if hanging:
            reason += f"; mind the {counted(hanging, 'animal')} hanging in it"
        yield Task(
            "clean", place, f"Clean {place}", place, today, reason, 2 if days >= 2 * CLEAN_EVERY else 3, f"cleaned {place}"
        )


def _looks(nursery) -> Iterator[Task]:
    """Animals not looked at for longer than their stage bears."""
    today = nursery.now.date()
    for (cohort, place), stages in groups(nursery).items():
        for stage, count in stages.items():
            every = LOOK_EVERY.get(stage)
            if every is None:
                continue
            seen = [look.date() for look in nursery.ledger.looks(cohort, place) if look <= nursery.now]
            days = (today - max(seen)).days if seen else None
            if stage == "pupa" and _resting(nursery, cohort, place):
                every = RESTING_LOOK
            if days is not None and days < every:
                continue
            last = f"last look {day_words(max(seen).isoformat(), nursery.now)}" if seen else "no look is recorded"
            name = species_label(nursery.ledger.cohorts[cohort].species, nursery.knowledge)
            label = f"Look at {stage_count(count, stage)} of {cohort}{_in(place)}"
            yield Task("check", cohort, label, place, today, f"{name}; {last}", 3, f"checked {cohort}{_in(place)}")
            break


def _resting(nursery, cohort: str, place: str) -> bool:
    """Pupae that have been pupae for two months and more are resting: a look a month will do."""
    entries = [entry for entry in nursery.ledger.entries(cohort, "pupa") if entry.left]
    return bool(entries) and min(entry.latest for entry in entries) < nursery.now - timedelta(days=60)
