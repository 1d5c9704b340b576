"""What may spread: exposed animals on watch, signs to look at again, parasitoids that fly loose, enclosures that wait for disinfection."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.selection import present_label, span_of
from nurserytui.answers.tasks.living import groups, is_look_at, last_care, looked_today, named, newest_named
from nurserytui.answers.tasks.task import Task, days_of, inside
from nurserytui.answers.wording import animals_name, day_words, listed
from nurserytui.records.events import LOOKS

TROUBLE = {"wasp": "parasitoid wasps", "fly": "parasitoid flies"}
ENDS = ("died", "released", "given", "escaped", "missing")


def health(nursery, until) -> Iterator[Task]:
    from nurserytui.answers.cases import outbreaks

    known = outbreaks(nursery)
    yield from watched(nursery)
    yield from flying(nursery, known)
    yield from unclean(nursery)
    yield from signs(nursery)


def watched(nursery) -> Iterator[Task]:
    """Animals exposed to something, while their watch is open."""
    from nurserytui.answers.watches import open_watches

    today = nursery.now.date()
    together: dict[tuple[str, str], list] = {}
    for row in open_watches(nursery):
        if not looked_today(nursery, row.contact.group.cohort, row.contact.group.enclosure):
            together.setdefault((row.contact.group.enclosure, row.outbreak.kind), []).append(row)
    for (place, kind), rows in together.items():
        whose = [animals_name(row.contact.group.cohort, row.contact.group.mark) for row in rows]
        ends = [row.contact.watch_until for row in rows if row.contact.watch_until]
        until = f"until {day_words(max(ends), nursery.now)}; " if ends else ""
        grades = listed(f"{name} {row.contact.grade}" for name, row in zip(whose, rows, strict=True))
        label = f"Watch {listed(dict.fromkeys(whose))}{inside(place)} for {TROUBLE.get(kind, kind)} and keep them apart"
        priority = 1 if any(row.contact.grade == "likely" for row in rows) else 2
        name = place if place and len(rows) > 1 else rows[0].contact.group.cohort
        yield Task(
            "watch", name, label, place, today, f"{until}exposed: {grades}; {rows[0].contact.reason}", priority,
            f"checked {place}" if place else f"checked {rows[0].contact.group.cohort}", every=1,
            cohorts=tuple(dict.fromkeys(row.contact.group.cohort for row in rows)), last=max(ends).date() if ends else None,
        )  # fmt: skip


def flying(nursery, known) -> Iterator[Task]:
    """Parasitoids that came out in an enclosure and are not recorded as caught, for as long as such ones live."""
    from nurserytui.answers.loose import PLAIN, flight, loose, seen_out

    newest = {(one.place, one.kind): one for one in known if one.kind in PARASITOIDS and one.place}
    for (place, kind), one in newest.items():
        if flight(nursery.knowledge, one)[1] < nursery.now:
            continue
        about = loose(nursery, one)
        if about is None or not about.about:
            continue
        air = f"; the same air reaches {listed(about.air[1:])}" if about.air[1:] else ""
        reason = f"they came out on {day_words(one.last, nursery.now)} and nothing says that the last one is caught{air}"
        label = f"Catch the {PLAIN[kind]} loose in {place}: look at the netting, the lid and the window"
        if kind == "wasp" and not seen_out(one):
            # A death by a wasp may as well be a hunter's: that any came out is for the keeper to say.
            label = f"Look in {place} whether small wasps came out of the dead: catch those that fly, and look at the netting and the lid"
            reason = (
                f"wasp noted as the cause of death on {day_words(one.last, nursery.now)}, not whether any came out: one that hunts leaves "
                f"none behind, one that grew inside comes out, and may be loose{air}"
            )
        if kind == "fly":
            label = f"Look in {place} for maggots, brown puparia and flies, and take them out"
            reason = f"maggots came out by {day_words(one.last, nursery.now)}, flies follow from {day_words(about.first, nursery.now)}{air}"
        yield Task("wasps", place, label, place, nursery.now.date(), reason, 1, about.record(), every=1)


def unclean(nursery) -> Iterator[Task]:
    """Empty enclosures in which a disease or parasitoid was, not cleaned since."""
    for place, one in waiting_for_a_clean(nursery).items():
        reason = f"empty, and not cleaned since {TROUBLE.get(one.kind, one.kind)} on {day_words(one.last, nursery.now)}"
        label = f"Clean and disinfect {place} before it is used again"
        yield Task("disinfect", place, label, place, nursery.now.date(), reason, 2, f"cleaned {place}")


def waiting_for_a_clean(nursery) -> dict:
    """Empty enclosure -> the last outbreak in it, where it was not cleaned since."""
    from nurserytui.answers.cases import outbreaks
    from nurserytui.answers.stays import cleared

    used = {place for _, place in groups(nursery)}
    found = {}
    for place, one in sorted({one.place: one for one in outbreaks(nursery) if one.place and one.place not in used}.items()):
        later = last_care(nursery, place, ("cleaned",), lambda event, since=one.last: span_of(event)[1] >= since)
        if not later and cleared(nursery, place, one.last) is None:
            found[place] = one
    return found


def kept_back(nursery) -> dict[str, str]:
    """Cohort -> why its adults are not to be released: tested heavy, or on watch for a disease."""
    from nurserytui.answers.watches import open_watches

    found = {}
    for row in open_watches(nursery):
        if row.outbreak.kind not in PARASITOIDS:
            end = row.contact.watch_until
            until = f" until {day_words(end, nursery.now)}" if end else ""
            found[row.contact.group.cohort] = f"on watch for {row.outbreak.kind}{until}"
    for cohort in dict.fromkeys(cohort for (cohort, _), stages in groups(nursery).items() if stages.get("adult")):
        last = next((event for event in newest_named(nursery, cohort) if event.what == "tested"), None)
        if last is not None and last.detail.strip().casefold().startswith("heavy"):
            found[cohort] = "tested heavy"
    return found


def signs(nursery) -> Iterator[Task]:
    """Signs seen lately on animals still here, one task for the same animals; gone once they were looked at today."""
    today, week = nursery.now.date(), days_of(nursery, "sign-open")
    here = groups(nursery)
    seen: dict[tuple[str, str], list] = {}
    for event in nursery.ledger.chronicle.newest(what="sign"):
        if (today - date.fromisoformat(event.day)).days > week:
            break
        cohort = present_label(nursery.ledger, event.cohort) if event.cohort else ""
        those = [(one, place) for one, place in here if (not cohort or one == cohort) and event.enclosure in ("", place)]
        if those and not _normal(nursery, event) and not _settled(nursery, event, cohort):
            whose = cohort or event.enclosure
            seen.setdefault((whose, those[0][1] if len(those) == 1 else event.enclosure), []).append(event)
    for (whose, place), events in seen.items():
        where = inside(place) if place != whose else ""
        words = "; ".join(dict.fromkeys(event.detail for event in events if event.detail)) or "not described"
        reason = f"sign seen {day_words(events[0].day, nursery.now)}: {words}"
        cohorts = tuple(cohort for cohort, at in here if whose in (cohort, at))
        yield Task(
            "sign", whose, f"Look again at {whose}{where}", place, today, reason, 1, f"checked {whose}{where}",
            every=1, rule="sign-open", cohorts=cohorts, last=today,
        )  # fmt: skip


def _normal(nursery, event) -> bool:
    """Whether the sign is one of healthy animals only (a moult, a pupa that darkens with its wings)."""
    from nurserytui.answers.sign_match import enough, shown

    kept = nursery.memo.setdefault("normal signs", {})
    asked = (event.detail, event.stage)
    if asked not in kept:
        found = enough(shown(event.detail, nursery.knowledge.signs(), (event.stage,) if event.stage else ()))
        kept[asked] = bool(found) and all(one.sign.normal for one in found)
    return kept[asked]


def _settled(nursery, event, cohort: str) -> bool:
    """Whether those animals were looked at today since, or as many as it was seen on have left."""
    if event.mark and not any(key.cohort == cohort and key.mark == event.mark for key, _ in nursery.heads(cohort=cohort)):
        return True
    for other in _after(nursery.ledger.chronicle.on(nursery.now.date().isoformat()), event):
        looked = is_look_at(other, nursery, cohort, event.enclosure) if cohort else other.enclosure == event.enclosure
        if looked and other.what in LOOKS and other.what != "sign":
            return True
    if not cohort:
        return False
    left = sum(
        other.count or 1
        for other in _after(named(nursery, cohort), event)
        if other.what in ENDS and (not event.stage or other.stage in ("", event.stage))
    )
    return left >= (event.count or 1)


def _after(events, event) -> list:
    """The events that stand after one in the ledger's order; all of a later day."""
    found = []
    for other in reversed(events):
        if other.id == event.id or other.day < event.day:
            break
        found.append(other)
    return found
