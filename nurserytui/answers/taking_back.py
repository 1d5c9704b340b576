"""Taking back what was written: by withdrawals, whole groups at a time, and only where nothing recorded later rests on it."""

from __future__ import annotations

from datetime import datetime
from itertools import islice
from typing import Any

from nurserytui.answers.answer import Answer
from nurserytui.answers.record import item, new_group
from nurserytui.answers.record_wording import moment_words, told
from nurserytui.answers.wording import ask, listed
from nurserytui.records.events import Event

TOPIC = "undo"


def to_take_back(request, nursery) -> list[Event]:
    """The events that an undo would withdraw now; [] where there is nothing to take back."""
    store = nursery.store
    gone = store.withdrawn()

    def standing(group: str) -> list[Event]:
        return [event for event in store.told_as(group) if event.id not in gone]

    group = standing(request.group) if request.group else []
    if any(event.what != "withdrawn" for event in group):
        return group
    newest = next(
        (
            event
            for event in reversed(store.events())
            if event.what != "withdrawn" and event.id not in gone and (event.group or not request.group)
        ),
        None,
    )
    if newest is None:
        return []
    return standing(newest.group) if newest.group else [newest]


def undo(request, nursery) -> Answer:
    """Take back the last group of this conversation, else the newest; what a correction had replaced comes back."""
    if "older" in request.cues:
        from nurserytui.answers.older_records import older

        return older(request, nursery)
    if "exactly" in request.cues:
        return take_back(nursery, request.group)
    if "several" in request.cues:
        newest = _newest(nursery, request.count) or _of_one_line(nursery, request.count)
        fewer = f"Not {request.count} records were typed that still stand. Nothing was changed."
        return _withdraw(newest, nursery) if newest else ask(TOPIC, fewer, ("undo",))
    group = to_take_back(request, nursery)
    if "only" in request.cues:
        return _withdraw([event for event in group if event.what != "withdrawn" and not _is(event, request)], nursery)
    if "described" in request.cues:
        meant = [event for event in group if _is(event, request)]
        return _withdraw(meant, nursery) if meant else _another(request, group, nursery)
    if not group:
        more = "nothing more that was typed" if request.group else "nothing"
        return Answer("answered", TOPIC, f"There is {more} to take back.")
    return _withdraw(group, nursery)


def _newest(nursery, number: int) -> list[Event]:
    """The events of so many records that were typed last and stand, in the order of the records; [] where there are not so many."""
    gone, everything = nursery.store.withdrawn(), nursery.store.events()
    standing = (event for event in reversed(everything) if event.what != "withdrawn" and event.id not in gone and event.group)
    groups = set(islice(dict.fromkeys(event.group for event in standing), number))
    return [event for event in everything if event.group in groups and event.id not in gone] if len(groups) == number else []


def _of_one_line(nursery, number: int) -> list[Event]:
    """The events of the record that was typed last, where it is of so many; else []."""
    last = _newest(nursery, 1)
    return last if len(last) == number else []


OFFERED = 4
"""How many records are offered at most that a wish may mean."""


def _is(event: Event, request) -> bool:
    """Whether an event can be the one that a wish to take it back describes."""
    day = request.period
    return (
        event.what != "withdrawn"
        and request.event in ("", event.what)
        and (not request.cohorts or not {event.cohort, event.to}.isdisjoint(request.cohorts))
        and request.mark in ("", event.mark)
        and (not request.enclosures or not {event.enclosure, event.to}.isdisjoint(request.enclosures))
        and (request.count is None or request.count == event.count)
        and (day is None or day.start <= datetime.fromisoformat(event.when) <= day.end)
    )


def _another(request, last: list[Event], nursery) -> Answer:
    """What was written last is not what the wish describes: which of the records that fit it is meant, the newest first."""
    gone = nursery.store.withdrawn()
    fits = (event for event in reversed(nursery.store.events()) if event.id not in gone and _is(event, request))
    found = {event.group or event.id: event for event in islice(fits, OFFERED)}
    today = {key: event for key, event in found.items() if event.when[:10] == nursery.now.isoformat()[:10]}
    found = today or found
    written = "; ".join(told(event, nursery.knowledge) for event in last if event.what != "withdrawn")
    lead = f"Written down last: {written}. " if written else ""
    if not found:
        return ask(TOPIC, f"{lead}Nothing on record is like what you say. Nothing was changed.", ("undo",) if written else ())
    names = {key: f"{told(event, nursery.knowledge)} ({moment_words(event.when)})" for key, event in found.items()}
    which = "Which of these is to be taken back" if len(found) > 1 else "Is this to be taken back"
    options = tuple(f"take back: {name}" for name in names.values())
    items = tuple(item(event, nursery.knowledge) for event in found.values())
    return ask(TOPIC, f"{lead}{which}: {'; '.join(names.values())}? Nothing was changed.", options, items=items)


def take_back(nursery, which: str) -> Answer:
    """Take back exactly one record, whatever was written since: `which` is the group of the events that were written together, or the id
    of an event that was written alone.

    The records without it are replayed first: where something later rests on it, nothing is changed, and the answer (`clarify`) names it.
    """
    gone = nursery.store.withdrawn()
    meant = nursery.store.told_as(which)
    group = [event for event in meant if event.id not in gone]
    if any(event.what != "withdrawn" for event in group):
        return _withdraw(group, nursery)
    was = [event for event in meant if event.what != "withdrawn"]
    if not was:
        return Answer("answered", TOPIC, "There is no such record: nothing was changed.")
    instead = _in_its_place(was, nursery.store.events(), gone)
    words = "; ".join(told(event, nursery.knowledge) for event in was)
    more = f" In its place stands: {'; '.join(told(event, nursery.knowledge) for event in instead)}." if instead else ""
    return Answer("answered", TOPIC, f"Already taken back: {words}.{more} Nothing was changed.")


def _in_its_place(was: list[Event], everything: list[Event], gone: set[str]) -> list[Event]:
    """What a correction put in the place of those events, and stands."""
    ids = {event.id for event in was}
    groups = {
        event.group for event in everything if event.what == "withdrawn" and event.withdraws in ids and event.id not in gone
    } - {""}
    return [event for event in everything if event.group in groups and event.what != "withdrawn" and event.id not in gone]


def _withdraw(group: list[Event], nursery) -> Answer:
    """Withdraw those events, a correction's withdrawals too, and read back what is gone and what stands again."""
    now = nursery.now.isoformat(timespec="minutes")
    restored = {event.withdraws for event in group if event.what == "withdrawn"}
    written = nursery.write(
        [Event(now, "withdrawn", withdraws=event.id, group=new) for new in [new_group()] for event in reversed(group)]
    )
    taken = [event for event in group if event.what != "withdrawn"]
    if written.faults:
        return _in_the_way(written.faults, taken, nursery)
    knowledge = nursery.knowledge
    lines = [f"Taken back: {'; '.join(told(event, knowledge) for event in taken)} ({moment_words(taken[0].when)})."]
    back = _standing_again(nursery, restored)
    if back:
        lines.append(
            f"In its place stands again: {'; '.join(told(event, knowledge) for event in back)} ({moment_words(back[0].when)})."
        )
    about: dict[str, Any] = {"event": taken[0].what}
    for part in ("cohort", "mark", "enclosure"):
        if getattr(taken[0], part):
            about[part] = getattr(taken[0], part)
    return Answer("recorded", TOPIC, "\n".join(lines), about=about, items=tuple(item(event, knowledge) for event in taken))


def _standing_again(nursery, ids: set[str]) -> list[Event]:
    """The standing events of those ids, in ledger order; they are mostly among the newest."""
    found: list[Event] = []
    for event in reversed(nursery.events) if ids else ():
        if event.id in ids:
            found.append(event)
            if len(found) == len(ids):
                break
    return found[::-1]


def _in_the_way(faults, taken: list[Event], nursery) -> Answer:
    """What was recorded later and could not have happened without these."""
    knowledge = nursery.knowledge
    later = list(
        dict.fromkeys(
            fault.standing_in_the_way if fault.event.what == "withdrawn" and fault.standing_in_the_way else fault.event
            for fault in faults
        )
    )
    names = listed([f"{told(event, knowledge)} ({moment_words(event.when)})" for event in later[:4]])
    text = f"{'; '.join(told(event, knowledge) for event in taken)} cannot be taken back: {names} was recorded later and rests on it. Take that back first. Nothing was changed."
    return ask(TOPIC, text, (), about={"event": taken[0].what}, items=tuple(item(event, knowledge) for event in later))
