"""The sections of a cohort's page, each from the answers that compute it: what stands in the margin and what beside it."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from nurserytui.answers.exposure_words import kind_words, look_for, watch_words
from nurserytui.answers.fates import became
from nurserytui.answers.looked_up import rows_of
from nurserytui.answers.outlook import EVENT_AFTER, LAST_STAGE, LINE_OF_LIFE, Forecast, outlook
from nurserytui.answers.selection import STAGE_ORDER, Wanted, standing, standing_words
from nurserytui.answers.told import words_of
from nurserytui.answers.watches import recent
from nurserytui.answers.wording import capital, counted, listed, number, species_label, stage_count
from nurserytui.language.request import Request
from nurserytui.pages.cohort_kin import kin
from nurserytui.pages.cohort_words import Entry, day

FOOD_LINES = 3
"""Lines of the answer about food that the page shows: whether it lasts, when it is short, what is eaten."""
FOLLOWED = ("hatch", "pupate", "emerge")
"""Changes that a group is followed through after its next one."""
VERBS = {"hatch": "hatches", "pupate": "pupates", "emerge": "emerges"}


class Section(NamedTuple):
    name: str
    gist: str
    """What it comes to in one line, for when it is folded."""
    entries: tuple[Entry, ...]


def spoken(species: str, nursery) -> str:
    """`monarch (Danaus plexippus)`; that it is not known, where it is not."""
    return "species unknown" if species in ("", "unknown") else species_label(species, nursery.knowledge)


def sections(nursery, label: str) -> tuple[Section, ...]:
    """Every section, in the order in which a keeper asks."""
    return (
        _here(nursery, label),
        _next(nursery, label),
        _food(nursery, label),
        _watch(nursery, label),
        kin_section(nursery, label),
        _survival(nursery, label),
        _history(nursery, label),
    )


def _here(nursery, label: str) -> Section:
    """The animals by stage, instar and enclosure; those with a mark one by one."""
    heads = nursery.heads(cohort=label)
    want = Wanted(cohorts=(label,))
    if not heads:
        fate = became(nursery, want)
        gone = f"none left{f': {fate}' if fate else ''}"
        return Section("Now", gone, (Entry("", capital(gone)),))
    about = "~" if nursery.ledger.cohorts[label].estimate else ""
    groups: dict[tuple, int] = {}
    for key, count in heads:
        group = (bool(key.mark), STAGE_ORDER[key.stage], key.stage, key.instar or 0, key.enclosure, key.mark)
        groups[group] = groups.get(group, 0) + count
    entries = []
    for (_, _, stage, instar, place, mark), count in sorted(groups.items()):
        at = (f", noted as instar {instar}" if instar else "") + (f", in {place}" if place else ", in no enclosure noted")
        entries.append(
            Entry(f"{about}{count}", f"{stage_count(count, stage).partition(' ')[2]}{at}{f', marked {mark}' if mark else ''}")
        )
    return Section("Now", about + standing_words(standing(nursery, want)), tuple(entries))


def _next(nursery, label: str) -> Section:
    """The next change of every group, then those after it, each with first, middle and last."""
    species = nursery.ledger.cohorts[label].species
    groups: dict[tuple[str, str], int] = {}
    for key, count in nursery.heads(cohort=label):
        if key.stage in EVENT_AFTER:
            groups[key.stage, key.enclosure] = groups.get((key.stage, key.enclosure), 0) + count
    if not groups:
        adults = bool(nursery.heads(cohort=label))
        words = "adults, to be released when fit" if adults else "nothing to expect"
        return Section("Next", words, (Entry("", capital(words)),))
    if species in ("", "unknown"):
        words = "cannot say: the species is not known yet"
        return Section("Next", words, (Entry("", capital(words)),))
    found, lacking = [], []
    for (stage, place), count in groups.items():
        one = outlook(nursery, label, EVENT_AFTER[stage], place, stages=(stage,))
        if one is None:
            where = f" in {place}" if place else ""
            lacking.append(
                Entry("", f"{capital(stage_count(count, stage))}{where}: when they {EVENT_AFTER[stage]} cannot be said")
            )
        else:
            found.append(one)
    found.sort(key=lambda one: (not one.overdue, one.median.at))
    entries = [_change(one, nursery.now) for one in found]
    gist = entries[0].margin + " " + entries[0].text if entries else "cannot say yet"
    entries += _moults(nursery, label) + _later(nursery, label, [stage for stage, _ in groups])
    return Section("Next", gist, (*entries, *lacking))


def _moults(nursery, label: str) -> list[Entry]:
    """The next moult of larvae whose instar is recorded."""
    if not any(key.instar for key, _ in nursery.heads(cohort=label, stage="larva")):
        return []
    from nurserytui.answers.moults import moults

    told = moults(Request("", topic="stage-forecast", cohorts=(label,), event="moult"), nursery)
    if told.status != "answered":
        return []
    return [
        Entry(
            day(item["due"], nursery.now),
            f"{stage_count(item['count'], 'larva')} moult{'s' if item['count'] == 1 else ''}: first {day(item['first'], nursery.now)}, "
            f"middle {day(item['due'], nursery.now)}, last {day(item['last'], nursery.now) if item['last'] else 'not foreseen'}",
        )
        for item in told.items
    ]


def _later(nursery, label: str, stages: list[str]) -> list[Entry]:
    """The changes after the next one, by the stage in which the animals are now."""
    found = []
    for stage in sorted(set(stages), key=STAGE_ORDER.get):
        after = LINE_OF_LIFE.index(LAST_STAGE[EVENT_AFTER[stage]])
        for event in FOLLOWED:
            if LINE_OF_LIFE.index(LAST_STAGE[event]) > after:
                one = outlook(nursery, label, event, stages=(stage,))
                if one is not None:
                    found.append(one)
    return [_change(one, nursery.now, then=True) for one in sorted(found, key=lambda one: one.median.at)]


def _change(one: Forecast, now: datetime, then: bool = False) -> Entry:
    """One forecast as a sentence, the middle in the margin as well."""
    who, verb = stage_count(one.count, one.stage), VERBS[one.event] if one.count == 1 else one.event
    where = f" in {one.enclosure}" if one.enclosure and not then else ""
    if one.overdue and not then:
        chance = f"{one.overdue_chance * 100:.0f}" if one.overdue_chance >= 0.01 else "fewer than 1"
        text = f"{who}{where} to {one.event}: of living ones {chance} in 100 would still be unchanged by now; look at them"
        return Entry("overdue", text, "late")
    middle = day(one.median.at, now)
    if one.count > 1:
        last = day(one.last.at, now) if one.last.at else "not foreseen"
        dates = f"first {day(one.first.at, now)}, middle {middle}, last {last}"
        before = f"the last before {day(one.last.high, now)}" if one.last.high else "the last cannot be foreseen"
        spread = f"nine times in ten the first comes after {day(one.first.low, now)} and {before}"
        dates += f"; {spread}" if one.first.low else ""
    else:
        early, late = (day(at, now) if at else "" for at in (one.median.low, one.median.high))
        dates = f"{middle}, nine times in ten from {early} to {late}" if early and late and early != late else middle
    near = "; close to overdue, look at them" if one.nearly and not then else ""
    return Entry(day(one.median.at, now), f"{who}{where} {'then ' if then else ''}{verb}: {dates}{near}")


def _food(nursery, label: str) -> Section:
    """What it eats and how long that lasts, as the answer to that question says it."""
    host = nursery.ledger.cohorts[label].host
    eats = Entry("eats", f"{species_label(host, nursery.knowledge)}, by the records") if host else None
    if not any(key.stage in ("egg", "larva") for key, _ in nursery.heads(cohort=label)):
        words = "nobody of it eats leaves now"
        return Section("Food", words, (*([eats] if eats else []), Entry("", capital(words))))
    from nurserytui.answers.food import food_supply

    asked = "will the food last"
    told = food_supply(Request(asked, topic="food-supply", cohorts=(label,), plain=asked), nursery)
    lines = told.text.split("\n")[:FOOD_LINES]
    return Section("Food", lines[0], (*([eats] if eats else []), *(Entry("", line) for line in lines)))


def _watch(nursery, label: str) -> Section:
    """Until when it is watched and why; watches that are over, and meetings that need none, after those that are open."""
    rows = [row for row in recent(nursery) if row.contact.group.cohort == label]
    if not rows:
        words = "not on watch: it met no sickness or parasitoid of late, by the records"
        return Section("Watch", words, (Entry("", capital(words)),))
    entries = [_watched(row, nursery) for row in sorted(rows, key=lambda row: not row.open)]
    lead = next((row for row in rows if row.open or row.unseen), None)
    gist = f"{watch_words(lead, nursery)} ({kind_words(lead.outbreak.kind)})" if lead else "no watch is open"
    return Section("Watch", gist, tuple(entries))


def _watched(row, nursery) -> Entry:
    contact, until = row.contact, row.contact.watch_until
    group = contact.group
    animals = listed(stage_count(count, stage) for stage, count in row.living)
    whose = " ".join(
        word
        for word in (f"marked {group.mark}" if group.mark else "", f"in {group.enclosure}" if group.enclosure else "")
        if word
    )
    who = " ".join(word for word in (animals, whose) if word) or "they"
    text = f"{who}: {contact.grade} ({kind_words(row.outbreak.kind)}), {contact.reason}"
    if row.open:
        margin, watch = (day(until, nursery.now), "watch until then") if until else ("watch", watch_words(row, nursery))
        return Entry(margin, f"{watch}: {text}. Look for: {look_for(row.outbreak)}", "care")
    if row.unseen:
        return Entry("look", f"{text}; {watch_words(row, nursery)}", "care")
    if row.closed:
        return Entry("over", f"{text}; {row.closed}")
    return Entry("gone" if not row.living else "no watch", text)


def kin_section(nursery, label: str) -> Section:
    """How it came in, and which cohorts it has to do with."""
    entries = kin(nursery, label)
    others = list(dict.fromkeys(entry.leads for entry in entries if entry.leads))
    came = entries[0].text if entries else ""
    return Section("Origin and kin", came + (f"; kin: {listed(others)}" if others else ""), entries)


def _survival(nursery, label: str) -> Section:
    from nurserytui.answers.survival import survival

    told = survival(Request("survival", topic="survival", cohorts=(label,), plain="survival"), nursery)
    lines = told.text.split("\n")
    rate = told.values.get("rate")
    margin = f"{number(rate.value * 100, 0)} %" if rate is not None and rate.value is not None else ""
    return Section(
        "Survival so far", lines[0], (Entry(margin, lines[0]), *(Entry("", line.removeprefix("- ")) for line in lines[1:]))
    )


def _history(nursery, label: str) -> Section:
    """Every standing event of it, the newest first: what was withdrawn is not among them."""
    rows = rows_of(nursery, Wanted(cohorts=(label,)), (), Request("", topic="history", cohorts=(label,)))
    entries = []
    for row in reversed(rows):
        hour = f"{row.event.when[11:16]} " if row.event.timed else ""
        entries.append(Entry(day(row.event.day, nursery.now), f"{hour}{words_of(row)}"))
    gist = f"{counted(len(rows), 'event')}, the last {entries[0].margin}" if entries else "no events"
    return Section("History", gist, tuple(entries))
