"""Who met a contagion or a parasitoid: the join of outbreaks with stays and moves."""

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.cases import Outbreak
from nurserytui.answers.stays import Group, cleared, trace

GRADES = ("unlikely", "possible", "likely")
LOOKBACK = timedelta(days=7)
"""How long before its first sign a sick animal may have shed what it carries (working rule, kept wide)."""
WATCH_DAYS = {"virus": 14.0, "bacteria": 7.0, "fungus": 14.0, "microsporidia": 21.0}
"""How long contacts are watched where the knowledge base has no number (common practice; three days often show a virus)."""


class Contact(NamedTuple):
    group: Group
    grade: str
    since: datetime
    """First moment at which the contact may have been made."""
    last: datetime
    """Last moment of it."""
    watch_until: datetime | None
    """None where watching has no end that can be told."""
    reason: str


class Found(dict):
    """Contacts by group; only a graver or later one replaces another."""

    def note(self, contact: Contact) -> None:
        held = self.get(contact.group)
        if held is None or GRADES.index(contact.grade) > GRADES.index(held.grade):
            self[contact.group] = contact
        elif contact.grade == held.grade and _later(contact.watch_until, held.watch_until):
            self[contact.group] = contact


def _until(last: datetime, days: float | None) -> datetime | None:
    return None if days is None else last + timedelta(days=days)


def _latest(one: datetime | None, other: datetime | None) -> datetime | None:
    return max((when for when in (one, other) if when is not None), default=None)


def _later(one: datetime | None, other: datetime | None) -> bool:
    return one is not None and other is not None and one > other


def contacts(nursery, outbreak: Outbreak) -> list[Contact]:
    """Everyone who met the outbreak, gravest first, the sick animals' own cohort among them."""
    if outbreak.kind in PARASITOIDS:
        from nurserytui.answers.stings import stung

        found = stung(nursery, outbreak)
    else:
        found = _infected(nursery, outbreak)
    return sorted(found.values(), key=lambda c: (-GRADES.index(c.grade), c.group.cohort, c.group.mark, c.group.enclosure))


UNTIL_TESTED = ("OE",)
"""What shows only in the adult: watching ends with each adult's own test, not on a date."""


def watch_days(outbreak: Outbreak) -> float | None:
    """Days from the last contact for which animals are watched; None where only a test of the adult tells."""
    if outbreak.kind in UNTIL_TESTED:
        return None
    agent = outbreak.agent
    return agent.watch_days if agent is not None and agent.watch_days else WATCH_DAYS.get(outbreak.kind, 14.0)


def _infected(nursery, outbreak: Outbreak) -> Found:
    """Contacts of a disease: who shared the enclosure from shortly before the first sign until it was emptied and cleaned, whom those
    were moved to, and who shares an enclosure with them since."""
    now = nursery.now
    stays, moves = trace(nursery.ledger)
    place, started, watch = outbreak.place, outbreak.first, watch_days(outbreak)
    ended = cleared(nursery, place, outbreak.last) or now
    sick = [
        stay
        for stay in stays
        if stay.group.enclosure == place and stay.group.cohort in outbreak.cohorts and stay.overlaps(started - LOOKBACK, ended)
    ]
    since = max(started - LOOKBACK, min((stay.start for stay in sick), default=started - LOOKBACK))
    found = Found()
    for stay in stays:
        if stay.group.enclosure != place or not stay.overlaps(since, ended):
            continue
        last = min(stay.end or now, ended)
        together = stay.end is None or stay.end >= started
        grade = "likely" if together and stay.stage in ("larva", "prepupa", "adult") else "possible"
        when = (
            "after the first sign"
            if stay.start > started
            else "when the first sign was seen"
            if together
            else "in the days before the first sign"
        )
        found.note(Contact(stay.group, grade, max(stay.start, since), last, _until(last, watch), f"in {place} {when}"))
    _came_from(stays, moves, outbreak, found, watch)
    for move in sorted(moves, key=lambda move: move.latest):
        source = found.get(move.source)
        if source is None or move.latest < source.since:
            continue
        grade = "possible" if move.source.enclosure == place and move.latest < started else source.grade
        last = min(move.latest, now)
        reason = f"moved from {move.source.enclosure or 'no named place'} on {move.earliest:%Y-%m-%d}, "
        if move.source.enclosure == place:
            reason += (
                "before the first sign there" if move.latest < started else f"after the first sign there ({started:%Y-%m-%d})"
            )
        else:
            reason += source.reason
        found.note(
            Contact(
                move.target,
                grade,
                move.earliest,
                last,
                _latest(_until(last, watch), source.watch_until if move.latest >= started else None),
                reason,
            )
        )
        there = move.target.enclosure
        if not there or there == place:
            continue
        until = cleared(nursery, there, move.latest) or now
        for stay in stays:
            if stay.group.enclosure == there and stay.group != move.target and stay.overlaps(move.earliest, until):
                met = max(last, min(stay.start, now))
                why = f"shares {there} with {move.target.cohort}, which came from {move.source.enclosure}"
                found.note(Contact(stay.group, "possible", met, met, _until(met, watch), why))
    return found


def _came_from(stays, moves, outbreak: Outbreak, found: Found, watch: float | None) -> None:
    """Where the first sick animals had been shortly before their sign: those left behind there may have it too."""
    first = outbreak.cases[0]
    for move in moves:
        if (
            move.target != Group(first.cohort, first.mark, outbreak.place)
            or not outbreak.first - LOOKBACK <= move.latest <= first.last
        ):
            continue
        for stay in stays:
            if stay.group.enclosure == move.source.enclosure and stay.overlaps(outbreak.first - LOOKBACK, move.latest):
                why = f"in {move.source.enclosure} with the sick ones before these were moved on {move.earliest:%Y-%m-%d}"
                found.note(
                    Contact(
                        stay.group,
                        "possible",
                        max(stay.start, outbreak.first - LOOKBACK),
                        move.latest,
                        _until(move.latest, watch),
                        why,
                    )
                )
