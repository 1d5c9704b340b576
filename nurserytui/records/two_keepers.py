"""Where two keepers who began from the same records went apart: their settings, their corrections, and what both may have told."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from nurserytui.records.event_rows import Row
from nurserytui.records.event_words import written
from nurserytui.records.events import Event
from nurserytui.records.file_text import RowFault
from nurserytui.records.order import in_order, standing, withdrawn_ids
from nurserytui.records.settings import read

NOTED = 5
"""So many events that both may have told are named."""


def left_out(
    rows: Sequence[Row], new: Sequence[Row], recorded: Mapping[str, Event], wanted: str
) -> tuple[Sequence[Row], list[str]]:
    """(the new rows without settings that disagree with ours, what to say of them). `wanted` is `ours` or `theirs`.

    They disagree where neither keeper knew of the setting that the other has now: whoever knew it changed it.
    """
    if not any(row.event.what == "setting" for row in new):
        return new, []
    theirs = _settings(row.event for row in rows)
    ours = _settings(recorded.values())
    known = {row.event.id for row in rows}
    out: set[tuple[str, str]] = set()
    notes = []
    for spot, (event, value) in theirs.items():
        if spot not in ours or ours[spot][1] == value or event.id in recorded or ours[spot][0].id in known:
            continue
        said = f"setting {event.detail}{f' of {event.enclosure}' if event.enclosure else ''}"
        here = ours[spot][0]
        if wanted == "theirs":
            later = " but counts only from its own day, and the one here is later" if here.when > event.when else ""
            notes.append(f"{said} of the file was taken, where {here.detail} is set here{later}")
        else:
            out.add(spot)
            notes.append(f"{said} of the file was left out: here it is {here.detail}; --settings theirs takes it")
    if not out:
        return new, notes
    gone: set[str] = set()
    for row in new:
        event = row.event
        if event.withdraws in gone or (event.what == "setting" and _spot(event) in out):
            gone.add(event.id)
    return [row for row in new if row.event.id not in gone], notes


def _settings(events: Iterable[Event]) -> dict[tuple[str, str], tuple[Event, object]]:
    """(name, enclosure) -> (the event that set it last, its value)"""
    found = {}
    telling = [event for event in events if event.what in ("setting", "withdrawn")]
    for event in in_order(standing(telling)):
        spot = _spot(event)
        if spot[0]:
            found[spot] = event, read(event)[1]
    return found


def _spot(event: Event) -> tuple[str, str]:
    try:
        name, _ = read(event)
    except ValueError:
        return "", ""
    return name, event.enclosure.casefold() if name in ("volume", "air") else ""


def zones_apart(rows: Sequence[Row], new: Sequence[Row], recorded: Mapping[str, Event]) -> list[str]:
    """That the other nursery lies in another time zone, and of how many new events the time stays as it was told there."""
    theirs, ours = _settings(row.event for row in rows), _settings(recorded.values())
    spot = ("timezone", "")
    if spot not in theirs or spot not in ours or theirs[spot][1] == ours[spot][1]:
        return []
    timed = sum(row.event.timed for row in new)
    if not timed:
        return []
    there, here = theirs[spot][1], ours[spot][1]
    times = "1 new event has a time, which is" if timed == 1 else f"{timed:,} new events have a time, which is"
    return [f"their nursery lies in {there}, yours in {here}: {times} kept as the clock there showed it (09:00 stays 09:00)"]


def both_corrected(rows: Sequence[Row], new: Sequence[Row], recorded: Mapping[str, Event]) -> list[RowFault]:
    """Events in the place of which both keepers put something else: both corrections would stand."""
    fresh = [row for row in new if row.event.what == "withdrawn"]
    if not fresh:
        return []
    gone_here, gone_there = withdrawn_ids([*recorded.values()]), withdrawn_ids([row.event for row in rows])
    instead_here, instead_there = _instead(recorded.values(), gone_here), _instead((row.event for row in rows), gone_there)
    ours: dict[str, Event] = {}
    for event in recorded.values():
        if event.what == "withdrawn" and event.id not in gone_here and event.group in instead_here:
            ours[event.withdraws] = event
    faults = []
    for row in fresh:
        event, other = row.event, ours.get(row.event.withdraws)
        if other is None or event.id in gone_there or event.group not in instead_there or other.group == event.group:
            continue
        here, there = instead_here[other.group], instead_there[event.group]
        reason = (
            f"event {event.withdraws} was corrected by both of you (here: {written(here)} | in the file: {written(there)}): "
            "take back your own correction, or have the other keeper take back theirs, and import again"
        )
        faults.append(RowFault(row.line, "withdraws", reason))
    return faults


def _instead(events: Iterable[Event], gone: set[str]) -> dict[str, Event]:
    """Group -> the first event that stands in the place of what the group withdraws."""
    found: dict[str, Event] = {}
    for event in events:
        if event.group and event.what != "withdrawn" and event.id not in gone:
            found.setdefault(event.group, event)
    return found


def told_by_both(rows: Sequence[Row], new: Sequence[Row], recorded: Mapping[str, Event], unit: str) -> list[str]:
    """Events that both keepers may have written down, each for itself: alike in day, kind and animals. Both count until one is taken back."""
    known = {row.event.id for row in rows}
    gone = withdrawn_ids([*recorded.values()])
    ours = {_what(event): event for event in recorded.values() if event.id not in known and event.id not in gone and event.cohort}
    gone_there = withdrawn_ids([row.event for row in rows])
    likely = [row for row in new if row.event.cohort and row.event.id not in gone_there and _what(row.event) in ours]
    notes = [
        f"{unit} {row.line}: {written(row.event)} is told here too; if it is one event, take one back" for row in likely[:NOTED]
    ]
    return notes + ([f"{len(likely) - NOTED} more such {unit}s"] if len(likely) > NOTED else [])


def _what(event: Event) -> tuple:
    return event.day, event.what, event.cohort.casefold(), event.mark, event.count, event.stage
