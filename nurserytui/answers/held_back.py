"""Why no animals are put into an enclosure now, however much room there is: what may still be about in it, and who stands in it."""

from __future__ import annotations

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.cases import outbreaks
from nurserytui.answers.loose import PLAIN, flight, loose
from nurserytui.answers.selection import span_of
from nurserytui.answers.sharing import name_of, trouble_words
from nurserytui.answers.stays import cleared
from nurserytui.answers.watches import RECENT, open_watches
from nurserytui.answers.wording import day_words, listed


def held_back(place: str, nursery) -> list[str]:
    """Every reason, the gravest first; [] where the records know of none."""
    return [*_flying(place, nursery), *_watched(place, nursery), *_unclean(place, nursery)]


def held_places(nursery) -> dict[str, list[str]]:
    """Enclosure -> reasons, of all that hold animals, have a volume or were used; kept until the records or the moment change."""

    def found() -> dict[str, list[str]]:
        places = {row.contact.group.enclosure for row in open_watches(nursery)}
        places |= {place for one in outbreaks(nursery) if one.last >= nursery.now - RECENT for place in _reach(one, nursery)}
        return {place: reasons for place in sorted(places) if place and (reasons := held_back(place, nursery))}

    return nursery.until_moved("held back", found)


def _reach(outbreak, nursery) -> tuple[str, ...]:
    about = loose(nursery, outbreak)
    return about.air if about is not None else (outbreak.place,)


def in_it(place: str, nursery) -> list[str]:
    """What may be about in an enclosure, whoever stands in it."""
    return [*_flying(place, nursery), *_unclean(place, nursery)]


def _flying(place: str, nursery) -> list[str]:
    """Parasitoids that may be about in it or in its air."""
    found, now = [], nursery.now
    for one in outbreaks(nursery):
        if one.kind not in PARASITOIDS or flight(nursery.knowledge, one)[1] < now:
            continue
        about = loose(nursery, one)
        if about is not None and about.about and place in about.air:
            where = "in it" if one.place == place else f"in its air, out of {one.place}"
            found.append(f"{PLAIN[one.kind]} may be loose {where} until {day_words(about.until, now)}")
    return list(dict.fromkeys(found))


def _unclean(place: str, nursery) -> list[str]:
    """Disease that was not washed off since."""
    last = {
        one.kind: one.last
        for one in outbreaks(nursery)
        if one.place == place and one.kind not in PARASITOIDS and not _clean_since(place, one.last, nursery)
    }
    return [
        f"it was not cleaned and disinfected while empty since {trouble_words(kind)} on {day_words(day, nursery.now)}"
        for kind, day in last.items()
    ]


def _clean_since(place: str, last, nursery) -> bool:
    if cleared(nursery, place, last) is not None:
        return True
    # Of one day without clock times, what was cleaned last was cleaned after the case.
    cleaned = [event for event in nursery.ledger.chronicle.at(place) if event.what == "cleaned" and event.enclosure == place]
    empty = not nursery.heads(enclosure=place)
    return empty and bool(cleaned) and span_of(cleaned[-1])[1] >= last


def _watched(place: str, nursery) -> list[str]:
    by_kind: dict[str, list] = {}
    for row in open_watches(nursery):
        until = row.contact.watch_until
        if row.contact.group.enclosure == place and (until is None or until.date() >= nursery.now.date()):
            by_kind.setdefault(row.outbreak.kind, []).append(row)
    found = []
    for kind, rows in by_kind.items():
        who = list(dict.fromkeys(name_of((row.contact.group.cohort, row.contact.group.mark)) for row in rows))
        ends = [row.contact.watch_until for row in rows if row.contact.watch_until]
        until = f" until {day_words(max(ends), nursery.now)}" if ends else ""
        found.append(f"{listed(who)} in it {'is' if len(who) == 1 else 'are'} watched for {trouble_words(kind)}{until}")
    return found
