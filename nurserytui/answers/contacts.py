"""Who met a contagion or a parasitoid: the join of outbreaks with stays and moves."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.cases import Outbreak
from nurserytui.answers.stays import Group, Move, Stay, cleared, of_cohort, trace
from nurserytui.answers.vulnerable import days_of

GRADES = ("unlikely", "possible", "likely")
UNTIL_TESTED = ("OE",)
"""What shows only in the adult: watching ends with each adult's own test, not on a date."""
END_OF_DAY = time(23, 59, 59)
LONGEST = timedelta(days=400)
"""Moves later than this after an outbreak carry nothing of it: everything has shown, or left."""


class Contact(NamedTuple):
    group: Group
    grade: str
    since: datetime
    """First moment at which the contact may have been made; later than now for those that are only going to be at risk."""
    last: datetime
    """Last moment of it."""
    watch_until: datetime | None
    """None where watching has no end that can be told."""
    reason: str
    show_from: datetime | None = None
    """When it may show at the earliest, where that can be told."""
    vulnerable_from: datetime | None = None
    """For those that are not at risk yet: from when on they will be."""
    together: bool = False
    """Whether it was made where and when the first hosts were struck, or found: siblings share that, later comers do not."""
    young: bool = False
    """Whether it is of those only that are too young to be struck yet: the others of their group have a contact of their own."""
    left: bool = False
    """Whether all of those that made it have left the enclosure: it was empty and cleaned since, and who is there now came later."""


class Found(dict):
    """Contacts by group: the gravest counts, or the later of two that are as grave; another may only lengthen the watch, or begin it
    sooner: whoever left the group between the two had met it too."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: dict[Group, datetime] = {}
        """When those of a group that had met it were last known to be in its enclosure."""
        self.young: dict[Group, Contact] = {}
        """What is told apart of those that are too young yet, where others of their group have met it."""

    def note(self, contact: Contact, seen: datetime | None = None) -> None:
        if contact.grade != "unlikely":
            at = seen or contact.last
            self.seen[contact.group] = max(at, self.seen.get(contact.group, at))
        held = self.get(contact.group)
        if held is None:
            self[contact.group] = contact
            return
        new, old = GRADES.index(contact.grade), GRADES.index(held.grade)
        if new > old:
            self[contact.group] = contact if old == 0 else _longer(contact, held)
        elif new == old and _later(contact.watch_until, held.watch_until):
            self[contact.group] = contact._replace(since=min(contact.since, held.since))
        elif new == old:
            self[contact.group] = held._replace(since=min(contact.since, held.since))
        elif new > 0:
            self[contact.group] = _longer(held, contact)


def _longer(contact: Contact, other: Contact) -> Contact:
    contact = contact._replace(since=min(contact.since, other.since))
    if not _later(other.watch_until, contact.watch_until):
        return contact
    return contact._replace(watch_until=other.watch_until, last=max(contact.last, other.last))


def _later(one: datetime | None, other: datetime | None) -> bool:
    return one is not None and other is not None and one > other


def _until(last: datetime, days: float | None) -> datetime | None:
    return None if days is None else last + timedelta(days=days)


def _latest(one: datetime | None, other: datetime | None) -> datetime | None:
    return max((when for when in (one, other) if when is not None), default=None)


def contacts(nursery, outbreak: Outbreak) -> list[Contact]:
    """Everyone who met the outbreak, gravest first, the sick animals' own cohort among them; kept until the records or the moment change."""
    which = ("contacts", outbreak.kind, outbreak.place, outbreak.first, len(outbreak.cases))
    return nursery.until_moved(which, lambda: _contacts(nursery, outbreak))


def _contacts(nursery, outbreak: Outbreak) -> list[Contact]:
    if outbreak.kind in PARASITOIDS:
        from nurserytui.answers.sting_contacts import stung

        found = stung(nursery, outbreak)
    else:
        found = _infected(nursery, outbreak)
    for group, contact in found.items():
        if contact.grade != "unlikely" and gone(nursery, found, group, nursery.now):
            found[group] = contact._replace(left=True)
    return sorted(
        [*found.values(), *found.young.values()],
        key=lambda c: (-GRADES.index(c.grade), c.group.cohort, c.group.mark, c.group.enclosure),
    )


def watch_days(outbreak: Outbreak, knowledge) -> float | None:
    """Days from the last contact for which animals are watched; None where only a test of the adult tells."""
    if outbreak.kind in UNTIL_TESTED:
        return None
    agent = outbreak.agent
    if agent is not None and agent.watch_days:
        return agent.watch_days
    return (knowledge.rule(f"watch-{outbreak.kind}") or knowledge.rule("watch-virus")).value


def gone(nursery, found: Found, group: Group, by: datetime) -> bool:
    """Whether by a moment all of a group that had met it had left: the enclosure stood empty and was cleaned after they were last there.

    Where animals came in on the day of the cleaning and the clock does not tell which was first, they count as there.
    """
    seen = found.seen.get(group)
    if seen is None or not group.enclosure:
        return False
    clean = cleared(nursery, group.enclosure, seen)
    if clean is None or clean > by:
        return False
    if clean.date() > seen.date() or clean.time() != END_OF_DAY > seen.time():
        return clean > seen
    stays = [stay for stay in of_cohort(nursery.ledger, group.cohort) if stay.group == group]
    return all(came.latest.date() != clean.date() for stay in stays for came in stay.arrivals)


def carried(nursery, found: Found, outbreak: Outbreak, carries: Callable[[Move], bool]) -> None:
    """Take contacts along with moves, splits and merges, in the order of time; `carries(move)` says which moves bring it."""
    if not found:
        return
    first = min(contact.since for contact in found.values())
    for move in sorted(trace(nursery.ledger, first)[1], key=lambda move: move.latest):
        if move.latest > outbreak.last + LONGEST:
            break
        source = found.get(move.source)
        if source is None or move.latest < source.since or source.grade == "unlikely" or not carries(move):
            continue
        if gone(nursery, found, move.source, move.earliest):
            continue
        met = source._replace(group=move.target, reason=f"{came_words(move)}, {source.reason}")
        found.note(met, max(met.last, min(move.latest, nursery.now)))


def came_words(move: Move) -> str:
    """How animals came to another group: `moved from tub 2 on 2031-08-01`, `split from B on …`."""
    day = f"{move.earliest:%Y-%m-%d}"
    if move.source.cohort != move.target.cohort:
        return f"came out of {move.source.cohort} on {day}"
    if move.source.enclosure == move.target.enclosure:
        return f"given a mark of its own on {day}"
    return f"moved from {move.source.enclosure or 'no named place'} on {day}"


def _infected(nursery, outbreak: Outbreak) -> Found:
    """Contacts of a disease: who shared the enclosure from shortly before the first sign until it was emptied and cleaned, whom those
    were moved to, and who shares an enclosure with them since."""
    now, lookback = nursery.now, days_of(nursery.knowledge, "trace-before-sign")
    place, started, watch = outbreak.place, outbreak.first, watch_days(outbreak, nursery.knowledge)
    stays, moves = trace(nursery.ledger, started - lookback)
    ended = cleared(nursery, place, outbreak.last) or now
    sick = [
        stay
        for stay in stays
        if stay.group.enclosure == place and stay.group.cohort in outbreak.cohorts and stay.overlaps(started - lookback, ended)
    ]
    since = max(started - lookback, min((stay.start for stay in sick), default=started - lookback))
    found = Found()
    there: dict[str, list[Stay]] = {}
    for stay in stays:
        there.setdefault(stay.group.enclosure, []).append(stay)
    for stay in there.get(place, ()):
        if not stay.overlaps(since, ended):
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
    _came_from(there, moves, outbreak, found, watch, lookback)
    for move in sorted(moves, key=lambda move: move.latest):
        if move.latest > outbreak.last + LONGEST:
            break
        source = found.get(move.source)
        if source is None or move.latest < source.since or gone(nursery, found, move.source, move.earliest):
            continue
        grade = "possible" if move.source.enclosure == place and move.latest < started else source.grade
        last = min(move.latest, now)
        reason = f"{came_words(move)}, "
        if move.source.enclosure == place:
            reason += (
                "before the first sign there" if move.latest < started else f"after the first sign there ({started:%Y-%m-%d})"
            )
        else:
            reason += source.reason
        until = _latest(_until(last, watch), source.watch_until if move.latest >= started else None)
        found.note(Contact(move.target, grade, move.earliest, last, until, reason))
        if move.target.enclosure and move.target.enclosure != place:
            _shares(nursery, move, there.get(move.target.enclosure, ()), found, watch, last)
    return found


def _shares(nursery, move: Move, stays, found: Found, watch: float | None, last: datetime) -> None:
    """Those who share an enclosure with animals that came out of the sick one, until it was emptied and cleaned."""
    now = nursery.now
    until = cleared(nursery, move.target.enclosure, move.latest) or now
    for stay in stays:
        if stay.group != move.target and stay.overlaps(move.earliest, until):
            met = max(last, min(stay.start, now))
            why = f"shares {move.target.enclosure} with {move.target.cohort}, which came from {move.source.enclosure}"
            found.note(Contact(stay.group, "possible", met, met, _until(met, watch), why))


def _came_from(
    there: dict[str, list[Stay]], moves, outbreak: Outbreak, found: Found, watch: float | None, lookback: timedelta
) -> None:
    """Where the first sick animals had been shortly before their sign: those left behind there may have it too."""
    first = outbreak.cases[0]
    for move in moves:
        if (
            move.target != Group(first.cohort, first.mark, outbreak.place)
            or not outbreak.first - lookback <= move.latest <= first.last
        ):
            continue
        for stay in there.get(move.source.enclosure, ()):
            if stay.overlaps(outbreak.first - lookback, move.latest):
                why = f"in {move.source.enclosure} with the sick ones before these were moved on {move.earliest:%Y-%m-%d}"
                since = max(stay.start, outbreak.first - lookback)
                found.note(Contact(stay.group, "possible", since, move.latest, _until(move.latest, watch), why))
