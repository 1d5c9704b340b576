"""What larvae eat: fresh leaf, the water that cuttings stand in, and stems that have kept as long as they do."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from nurserytui.answers.selection import host_fits
from nurserytui.answers.tasks.living import groups, last_fed
from nurserytui.answers.tasks.task import Task, days_of, inside
from nurserytui.answers.wording import counted, day_words, listed, number, stage_count

STEMS = ("stem", "stems", "branch", "branches", "cutting", "cuttings", "sprig", "sprigs", "bunch", "bunches")


def feeding(nursery, until) -> Iterator[Task]:
    yield from leaf(nursery, until)
    scarce = list(short(nursery, until))
    yield from scarce
    yield from cuttings(nursery, until, {task.host for task in scarce})


def short(nursery, until) -> Iterator[Task]:
    """Plants on hand that run out before those who feed on them have pupated: what to cut, and by when."""
    if not any(next(nursery.ledger.chronicle.newest(what=what), None) for what in ("stocked", "cut")):
        return  # nothing is told of any plant, so nothing of its end
    from nurserytui.answers.shortage import shortages

    for one in shortages(nursery, until):
        yield Task(
            "short", one.host, one.label, one.enclosure, one.due, one.reason, one.priority, one.record, cohorts=one.cohorts,
            host=one.host,
        )  # fmt: skip


def leaf(nursery, until) -> Iterator[Task]:
    """Larvae whose leaf was not renewed within the rhythm: one task an enclosure, or a cohort that stands in none."""
    today, every = nursery.now.date(), days_of(nursery, "leaf-every")
    larvae: dict[str, dict[str, int]] = {}
    for (cohort, place), stages in groups(nursery).items():
        if stages.get("larva"):
            larvae.setdefault(place or f"\0{cohort}", {})[cohort] = stages["larva"]
    for key, cohorts in larvae.items():
        place = "" if key.startswith("\0") else key
        last = last_fed(nursery, place, cohorts)
        due = max(today, last + timedelta(days=every)) if last else today
        if due > until.date():
            continue
        hosts = hosts_of(nursery, cohorts)
        of = f" ({listed(nursery.knowledge.common(host) or host for host in hosts)})" if hosts else ""
        since = f"last fresh leaf {day_words(last.isoformat(), nursery.now)}" if last else "no fresh leaf is recorded"
        reason = f"{stage_count(sum(cohorts.values()), 'larva')} of {listed(cohorts)}; {since}, leaf is renewed daily"
        name = place or next(iter(cohorts))
        label = f"Fresh leaf{of} {'in' if place else 'for'} {name}"
        yield Task(
            "feed", name, label, place, due, reason, 2, f"fed {name}", every=every, rule="leaf-every", brief=f"{name}{of}",
            cohorts=tuple(cohorts),
        )  # fmt: skip


def hosts_of(nursery, cohorts) -> list[str]:
    """The host plants of those cohorts, each once."""
    return list(dict.fromkeys(known.host for label in cohorts if (known := nursery.ledger.cohorts[label]).host))


class Standing(NamedTuple):
    """Stems of a host that stand in water, in an enclosure or on the shelf."""

    host: str
    place: str
    cut: date
    water: date
    """When their water was last changed; at the latest when they were cut."""


def card_of(nursery, host: str):
    """The cutting card of a host: its own, else a relative's, else the one for any plant."""
    found = nursery.knowledge.cutting(host)
    return found[1] if found else nursery.knowledge.general_cutting()


def standing_stems(nursery) -> list[Standing]:
    """The cut stems on record that a larva here eats, and that are not long past the days they keep."""
    eaten = hosts_of(nursery, dict.fromkeys(cohort for (cohort, _), stages in groups(nursery).items() if stages.get("larva")))
    newest: dict[tuple[str, str], Standing] = {}
    chronicle, today = nursery.ledger.chronicle, nursery.now.date()
    longest = today - timedelta(days=60)
    for what in ("cut", "stocked"):
        for event in chronicle.newest(what=what):
            day = date.fromisoformat(event.day)
            if day < longest:
                break
            if event.host and (what == "cut" or (event.count and event.detail.casefold().strip() in STEMS)):
                key = (event.host, event.enclosure)
                if key not in newest or newest[key].cut < day:
                    newest[key] = Standing(event.host, event.enclosure, day, day)
    for event in chronicle.newest(what="watered"):
        day = date.fromisoformat(event.day)
        if day < longest:
            break
        for key, one in newest.items():
            named = host_fits(event.host, (one.host,)) if event.host else bool(event.enclosure) and event.enclosure == one.place
            if named and event.enclosure in ("", one.place) and day > one.water:
                newest[key] = one._replace(water=day)
    found = []
    for one in newest.values():
        card, gone = card_of(nursery, one.host), days_of(nursery, "cuttings-gone")
        if card and any(host_fits(host, (one.host,)) for host in eaten):
            if (today - one.cut).days <= card.days_high + gone:
                found.append(one)
    return found


def cuttings(nursery, until, scarce: set[str]) -> Iterator[Task]:
    """Water to change and stems to renew, by each plant's cutting card; what is to be cut of a `scarce` plant is said already."""
    today, now = nursery.now.date(), nursery.now
    for one in standing_stems(nursery):
        card = card_of(nursery, one.host)
        name = nursery.knowledge.common(one.host) or one.host
        wilts = one.cut + timedelta(days=round(card.days_low))
        cut = f"cut {day_words(one.cut.isoformat(), now)}"
        if wilts <= until.date() and one.host not in scarce:
            over = today >= one.cut + timedelta(days=round(card.days_high))
            keeps = f"cut stems of it keep about {_span(card.days_low, card.days_high)}"
            yield Task(
                "cuttings", one.host, f"Cut fresh {name}{inside(one.place)}", one.place, max(wilts, today), f"{cut}; {keeps}",
                2 if over else 3, f"cut {name}{inside(one.place)}", every=max(round(card.days_low), 1), rule="", host=one.host,
            )  # fmt: skip
        if not card.water_change_high:
            continue
        every = max(round(card.water_change_low), 1)
        due = max(one.water + timedelta(days=every), today)
        if due <= until.date() and due < wilts:
            since = f"water changed {day_words(one.water.isoformat(), now)}" if one.water > one.cut else cut
            reason = f"{since}; its water is changed every {_span(card.water_change_low, card.water_change_high)}"
            yield Task(
                "water", one.host, f"Change the water of the {name} stems{inside(one.place)}", one.place, due, reason, 2,
                f"watered the {name}{inside(one.place)}", every=every, host=one.host,
            )  # fmt: skip


def _span(low: float, high: float) -> str:
    return counted(round(low), "day") if low == high else f"{number(low)}-{number(high)} days"
