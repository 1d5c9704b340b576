"""May these events join those on record? Checked by replay, with the event that stands in the way if not."""

from collections.abc import Sequence
from typing import NamedTuple

from nurserytui.records.events import LEAVING, Event
from nurserytui.records.growth import Known, after_all
from nurserytui.records.lazily import Lazily
from nurserytui.records.ledger import Fault, Ledger, Posting
from nurserytui.records.progress import Progress
from nurserytui.records.validating import findings

_FILLED = ("laid", "found", "returned", "moved", "split", *LEAVING)
"""Events of which a stage that was left out is filled in. (A change names its stages itself.)"""


class Admission(NamedTuple):
    events: tuple[Event, ...]
    """The new events, with what was left out filled in."""
    faults: tuple[Fault, ...]
    ledger: Ledger
    """The ledger with the new events in it."""
    postings: tuple[Posting, ...]
    """Those of the new events."""


def admit(known: Known, new: Sequence[Event], progress: Progress | None = None, *, merged: bool = False) -> Admission:
    """The new events as they can be written, or every fault that keeps them out. All have ids. `merged`: they are another keeper's, who may
    have withdrawn what is withdrawn here.

    The ledger of what is known goes on to hold them if they come after all the rest, and is then the one returned; if they cannot have
    happened it is spoiled.
    """
    faults = list(_by_themselves(known, new, merged))
    if not faults and not known.ledger.faults and (ordered := after_all(known.ledger, (), new, None)) is not None:
        before = len(known.ledger.postings)
        known.ledger.go_on(ordered, None, progress)
        if not known.ledger.faults:
            postings = tuple(known.ledger.postings[before:])
            return Admission(tuple(_filled(new, postings)), (), known.ledger, postings)
    return _replayed(known, new, faults, progress)


def _replayed(known: Known, new: Sequence[Event], faults: list[Fault], progress: Progress | None) -> Admission:
    """The same, by building the ledger anew, which also tells what stands in the way of what."""
    wrong = {fault.event.id for fault in faults}
    ledger = known.anew(known.events + [event for event in new if event.id not in wrong], progress)
    if ledger.faults:
        ids = {event.id for event in new}
        before = (
            {fault.event.id for fault in known.anew(known.events, progress).faults}
            if any(fault.event.id not in ids for fault in ledger.faults)
            else ()
        )
        for fault in ledger.faults:
            if fault.event.id in ids:
                faults.append(fault)
            elif fault.event.id not in before:
                faults.append(_in_the_way(fault, new))
    ids = {event.id for event in new}
    # What a ledger goes on from is older than what is new.
    added = ledger.postings.added() if isinstance(ledger.postings, Lazily) else ledger.postings
    postings = tuple(posting for posting in added if posting.event.id in ids)
    return Admission(tuple(_filled(new, postings)), tuple(faults), ledger, postings)


def _by_themselves(known: Known, new: Sequence[Event], merged: bool):
    fresh: set[str] = set()
    gone = known.gone() if any(event.what == "withdrawn" for event in new) else set()
    for event in new:
        for column, reason in findings(event):
            yield Fault(event, event.id, f"{column}: {reason}" if column != "detail" else reason)
        if event.id in fresh or event.id in known.ids:
            yield Fault(event, event.id, f"there is an event {event.id} already")
        if event.what == "withdrawn" and event.withdraws:
            if event.withdraws not in fresh and event.withdraws not in known.ids:
                yield Fault(event, event.id, f"there is no event {event.withdraws} to withdraw")
            elif event.withdraws in gone and not merged:
                yield Fault(event, event.id, f"event {event.withdraws} is withdrawn already")
            gone.add(event.withdraws)
        elif event.what == "withdrawn":
            yield Fault(event, event.id, "the event to withdraw is not said")
        fresh.add(event.id)


def _in_the_way(fault: Fault, new: Sequence[Event]) -> Fault:
    """A later event could not have happened any more: the new event is the one refused."""
    later = fault.event
    names = {name.casefold() for name in (later.cohort, later.enclosure) if name}
    cause = next(
        (event for event in new if {event.cohort.casefold(), event.enclosure.casefold(), event.to.casefold()} & names), new[0]
    )
    return Fault(cause, cause.id, fault.reason, fault.available, later)


def _filled(new: Sequence[Event], postings: Sequence[Posting]) -> list[Event]:
    moved: dict[str, list[Posting]] = {}
    for posting in postings:
        moved.setdefault(posting.event.id, []).append(posting)
    return [filled(event, moved.get(event.id, ())) for event in new]


def filled(event: Event, postings: Sequence[Posting]) -> Event:
    """The event with its cohort, stage and enclosure written out where all its animals agree in them.

    The instar and the number are left as they are: a backdated moult or death must not make the event impossible.
    """
    if not postings or event.what in ("counted", "merged", "checked", "sign"):
        return event
    keys = [posting.source or posting.target for posting in postings]
    whole = event.what == "moved" and not event.cohort and event.count is None and not event.mark
    found = {}
    if not event.cohort and not whole and len({key.cohort for key in keys}) == 1:
        found["cohort"] = keys[0].cohort
    if not event.enclosure and len({key.enclosure for key in keys}) == 1:
        found["enclosure"] = keys[0].enclosure
    if not event.stage and not whole and event.what in _FILLED and len({key.stage for key in keys}) == 1:
        found["stage"] = keys[0].stage
    return event._replace(**found) if found else event
