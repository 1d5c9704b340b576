"""Who a parasitoid may have struck: with the first hosts, and since it came out until its air was clear; who is still to be at risk."""

from __future__ import annotations

from datetime import datetime, timedelta

from nurserytui.answers.cases import Outbreak
from nurserytui.answers.contacts import Contact, Found, carried
from nurserytui.answers.lineage import lineage
from nurserytui.answers.loose import DIED_OUT, Loose, loose, same_air, seen_out
from nurserytui.answers.selection import present_label
from nurserytui.answers.stays import Group, group_of, of_cohort, trace
from nurserytui.answers.stings import Origin, Strike, exits, origins
from nurserytui.answers.vulnerable import Open, attacked, days_of, onset, open_times, past, seen_last
from nurserytui.answers.wording import EVENT_WORDS, day_words

LIKELY, WORTH = 0.5, 0.05
"""Part of the chance from which a place is likely the one where the host was struck, and from which it is worth a word."""


def stung(nursery, outbreak: Outbreak) -> Found:
    """Contacts of a parasitoid: who could be struck when the first hosts were, and who since it came out."""
    found = Found()
    stages = attacked(outbreak)
    opens: dict[Group, list[Open]] = {}
    for origin in origins(nursery, outbreak):
        for strike in origin.strikes:
            if strike.share < WORTH:
                continue
            if strike.outdoors:
                _found_together(nursery, outbreak, origin, strike, found)
            else:
                _meet(nursery, outbreak, strike.place, strike, opens, found)
    about = loose(nursery, outbreak)
    if about is not None:
        _meet_loose(nursery, outbreak, about, opens, found)
        _not_yet(nursery, outbreak, about, found)
    carried(nursery, found, outbreak, lambda move: past(move.stage, stages))
    _along_their_way(nursery, outbreak, found)
    return found


def _along_their_way(nursery, outbreak: Outbreak, found: Found) -> None:
    """When it would show in those that are there still, at the warmth of all the places they stood in; later where it rested in the first
    hosts, for it may rest in these as well."""
    living = {group_of(key) for key in nursery.ledger.heads}
    rested = any(origin.late for origin in origins(nursery, outbreak))
    for group in living & found.keys():
        contact = found[group]
        if contact.grade == "unlikely":
            continue
        path = lineage(nursery.ledger, group.cohort, group.mark, group.enclosure, nursery.now).path()
        if len(path) > 1:
            earliest, latest = exits(nursery, outbreak, group.enclosure, contact.since, contact.last, path)
            contact = contact._replace(show_from=earliest, watch_until=latest or contact.watch_until)
        if rested and contact.together:
            _, latest = exits(nursery, outbreak, group.enclosure, outbreak.first, outbreak.last)
            until = max((when for when in (latest, contact.watch_until) if when is not None), default=None)
            why = f"{contact.reason}; it may rest in them as it did in the first hosts"
            contact = contact._replace(show_from=outbreak.first, watch_until=until, reason=why)
        found[group] = contact


def _opens(nursery, outbreak: Outbreak, group: Group, known: dict[Group, list[Open]]) -> list[Open]:
    if group not in known:
        line = lineage(nursery.ledger, group.cohort, group.mark, group.enclosure, nursery.now)
        every = open_times(nursery, attacked(outbreak), line, group.cohort, group.mark)
        known[group] = [one for one in every if one.place == group.enclosure]
    return known[group]


def _present(nursery, air: tuple[str, ...], first: datetime, last: datetime) -> dict[Group, list]:
    """The groups that stood in that air, with their stays."""
    groups: dict[Group, list] = {}
    for stay in trace(nursery.ledger, first)[0]:
        if stay.group.enclosure in air and stay.overlaps(first, last):
            groups.setdefault(stay.group, []).append(stay)
    return groups


def _meet(nursery, outbreak: Outbreak, place: str, strike: Strike, opens, found: Found) -> None:
    """Those who were vulnerable where and when the host was struck."""
    sure = strike.share >= LIKELY and strike.grade == "likely" and seen_out(outbreak)
    words = "when the first hosts were stung"
    air = same_air(nursery.settings, place)
    _note(nursery, outbreak, air, place, strike.first, strike.last, sure, words, opens, found, together=True)


def _meet_loose(nursery, outbreak: Outbreak, about: Loose, opens, found: Found) -> None:
    words = "since they came out" if outbreak.kind == "wasp" else "while flies may be about"
    sure = seen_out(outbreak)
    if not sure:
        words = "where a wasp was noted as a death, if any came out"
    _note(nursery, outbreak, about.air, outbreak.place, about.first, about.last, sure, words, opens, found)


def _note(
    nursery,
    outbreak,
    air,
    place: str,
    first: datetime,
    last: datetime,
    sure: bool,
    words: str,
    opens,
    found: Found,
    together=False,
) -> None:
    """Note every group that stood in that air, by whether it was in a stage that is attacked at some time of the span."""
    for group, stays in _present(nursery, air, first, last).items():
        where = group.enclosure if group.enclosure == place else f"{group.enclosure} (same air as {place})"
        hit = False
        for span in _opens(nursery, outbreak, group, opens):
            begin, end = max(first, span.first), min(last, span.last)
            if begin <= end:
                hit = True
                grade = span.grade if sure else "possible"
                contact = _contact(nursery, outbreak, group, grade, begin, end, f"{span.words}, in {where} {words}")
                found.note(contact._replace(together=together))
        if not hit:
            stages = ", ".join(dict.fromkeys(stay.stage for stay in stays))
            why = f"{stages}, not a stage that is stung, or too hard by then, in {where} {words}"
            begin, end = max(first, stays[0].start), min(last, stays[-1].end or nursery.now)
            found.note(Contact(group, "unlikely", begin, max(begin, end), None, why))


def _contact(nursery, outbreak: Outbreak, group: Group, grade: str, begin: datetime, end: datetime, reason: str) -> Contact:
    earliest, latest = exits(nursery, outbreak, group.enclosure, begin, end)
    return Contact(group, grade, begin, end, latest, reason, show_from=earliest)


def _not_yet(nursery, outbreak: Outbreak, about: Loose, found: Found) -> None:
    """Younger animals still in that air: safe so far, at risk from when they come to the stage that is attacked. Where they may have come
    to it since the last look, it may have happened unseen while any were about."""
    now, stages = nursery.now, attacked(outbreak)
    soft = timedelta(hours=nursery.knowledge.rule("trace-fresh-pupa").high) + days_of(nursery.knowledge, "trace-hanging")
    if about.ended not in ("", DIED_OUT):
        return  # whoever caught the last one, or cleaned there, has looked
    end = about.until if about.about else about.last
    for group, stays in _present(nursery, about.air, now, now).items():
        held = found.get(group)
        apart = held is not None and held.grade != "unlikely"
        where = group.enclosure if group.enclosure == outbreak.place else f"{group.enclosure} (same air as {outbreak.place})"
        seen = seen_last(nursery, group)
        for stay in stays:
            if stay.end is not None or past(stay.stage, stages) or stay.stage == "adult" or stay.start > end:
                continue
            if not about.about and seen >= end:
                continue  # seen to be too young still when none was about any more
            ahead = onset(nursery, stages, group, stay.stage)
            lead = f"{stay.stage} in {where}"
            if ahead is not None and ahead.first > end:
                why = f"{lead}, not stung yet: it will {EVENT_WORDS[ahead.event]} after {end:%Y-%m-%d}, when those about now are dead"
                if not about.about:
                    why = f"{lead}: too young to be stung until {end:%Y-%m-%d}, when none was about any more"
                if not apart:
                    found.note(Contact(group, "unlikely", ahead.first, ahead.first, None, why, vulnerable_from=ahead.first))
                continue
            if ahead is None:
                why = f"{lead}, not stung yet; at risk on reaching {stages[0]} while any may be about"
                since = now if about.about else max(seen, about.first)
                if not about.about:
                    why = f"{lead}, not seen since {seen:%Y-%m-%d}; it may have come to {stages[0]} unseen while any were about"
                _note_young(found, apart, _contact(nursery, outbreak, group, "possible", since, max(since, end), why))
                continue
            first = max(ahead.first, about.first)
            last = max(first, min(ahead.last + soft, end))
            change = EVENT_WORDS[ahead.event]
            if first > now:
                why = (
                    f"{lead}, not stung yet; at risk from about {day_words(first, now)}, when the first may {change}, "
                    f"while any may be about (until {end:%Y-%m-%d} unless caught)"
                )
            else:
                why = (
                    f"{lead} when last seen ({seen:%Y-%m-%d}); the first may {change} from about {day_words(first, now)}, perhaps unseen "
                    f"by now, while any may be about (until {end:%Y-%m-%d})"
                )
            contact = _contact(nursery, outbreak, group, "possible", first, last, why)
            _note_young(found, apart, contact._replace(vulnerable_from=first))


def _note_young(found: Found, apart: bool, contact: Contact) -> None:
    """Keep what younger animals of a group will meet beside what the older ones of it met."""
    contact = contact._replace(young=True)
    if not apart:
        found.note(contact)
    elif contact.group not in found.young:
        found.young[contact.group] = contact


def _found_together(nursery, outbreak: Outbreak, origin: Origin, strike: Strike, found: Found) -> None:
    """Where a host was struck before it was found, the others of that find were there too, and nobody else."""
    stages = attacked(outbreak)
    for came in origin.line.came:
        day = came.first.date()
        when = f"on {day:%Y-%m-%d}"
        kin = {
            came.cohort: (
                "likely" if strike.share >= LIKELY and seen_out(outbreak) else "possible",
                f"found together with those that had it, {when}",
            )
        }
        for label in _same_find(nursery, came):
            kin.setdefault(label, ("possible", f"found {when}, on the day and in the way that those which had it were"))
        for label, (grade, reason) in kin.items():
            for stay in of_cohort(nursery.ledger, label):
                entered = any(
                    one.source is None and one.what == "found" and one.earliest.date() == day and past(stay.stage, stages)
                    for one in stay.arrivals
                )
                if entered:
                    end = max(came.first, min(strike.last, outbreak.last))
                    contact = _contact(nursery, outbreak, stay.group, grade, came.first, end, reason)
                    found.note(contact._replace(together=True))


def _same_find(nursery, came) -> list[str]:
    """Cohorts of the same species found on the same day, on the same host and at the same place as far as those were written down."""
    events = [one for one in nursery.ledger.chronicle.on(f"{came.first:%Y-%m-%d}") if one.what == "found"]
    own = [one for one in events if present_label(nursery.ledger, one.cohort) == came.cohort]
    found = []
    for one in events:
        if any((one.species, one.host, one.place) == (mine.species, mine.host, mine.place) for mine in own):
            found.append(present_label(nursery.ledger, one.cohort))
    return [label for label in dict.fromkeys(found) if label and label != came.cohort]
