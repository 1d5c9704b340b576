"""Every row of a file that cannot have happened, in one pass: one wrong row must not make all that follow it look wrong.

After a fault the replay goes on as if the row's own words were true, and of a cohort with a row that could not be read at
all only those faults are told that do not hang on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from nurserytui.records.events import CHANGING, WHATS, Event
from nurserytui.records.file_text import RowFault
from nurserytui.records.ledger import Fault, Ledger, replay
from nurserytui.records.picking import fitting
from nurserytui.records.postings import Key, Refused
from nurserytui.records.progress import Progress
from nurserytui.records.rules import STEPS

SUPPLYING = ("laid", "found", "returned", "identified", "moved", "split", "merged", "renamed", "counted", *CHANGING)
"""Events without which later ones may lack animals or a cohort."""


def ledger_faults(
    known: Sequence[Event],
    rows: Sequence,
    told: Sequence[RowFault],
    progress: Progress | None = None,
    *,
    merged: bool = False,
    unit: str = "line",
) -> tuple[list[RowFault], list[str]]:
    """(the faults of the rows that only show against the records and each other, what could not be checked).

    Rows have `.line` and `.event`; `told` are the faults found in them already; `merged` rows are another keeper's, who may have withdrawn
    what is withdrawn here; `unit` is what lines count.
    """
    lines = {row.event.id: row.line for row in rows}
    broken = {fault.line for fault in told}
    readable = [row.event for row in rows if row.line not in broken]
    doubtful = _doubtful(row for row in rows if row.line in broken)
    found, unchecked = list(_withdrawals(known, readable, lines, merged)), set()
    ledger = replay([*known, *readable], assume=assume, progress=progress)
    before = {fault.event.id for fault in replay(known, progress=progress).faults}
    of_cohort: dict[str, Event] = {}
    for event in readable:
        of_cohort.setdefault(event.cohort, event)
    for fault in ledger.faults:
        event, line = fault.event, lines.get(fault.event.id)
        if line is None:
            if event.id not in before and readable:
                cause = of_cohort.get(event.cohort) if event.cohort else None
                cause = cause or readable[0]
                text = f"{fault.reason}: {event.what} on {event.day}, which is on record, could not have happened"
                found.append(RowFault(lines[cause.id], "", text))
        elif line > doubtful.get(event.cohort.casefold(), line):
            unchecked.add(event.cohort)
        else:
            found.append(RowFault(line, "", _in_words(fault, lines, unit)))
    words = [
        f"the rows of cohort {cohort} after {unit} {doubtful[cohort.casefold()]} could not be checked, because that {unit} cannot be read"
        for cohort in sorted(unchecked)
    ]
    return found, words


def _doubtful(rows: Iterable) -> dict[str, int]:
    """Cohort -> the first line that could not be read and may have given it animals."""
    first: dict[str, int] = {}
    for row in rows:
        event = row.event
        if event.what in SUPPLYING or event.what not in WHATS:
            for name in (event.cohort, event.to if event.what in ("split", "renamed") else ""):
                if name:
                    first.setdefault(name.casefold(), row.line)
    return first


def _in_words(fault: Fault, lines: dict[str, int], unit: str) -> str:
    blocker = fault.standing_in_the_way
    if blocker is None or blocker is fault.event:
        return fault.reason
    where = f"{unit} {lines[blocker.id]}" if blocker.id in lines else "on record"
    return f"{fault.reason} ({blocker.what} on {blocker.day}, {where}, stands in the way)"


def _withdrawals(known: Sequence[Event], events: Sequence[Event], lines: dict[str, int], merged: bool):
    there = {event.id for event in known}
    gone = {event.withdraws for event in known if event.what == "withdrawn"}
    for event in events:
        if event.what == "withdrawn":
            if event.withdraws not in there:
                yield RowFault(lines[event.id], "withdraws", f"there is no event {event.withdraws} before this row")
            elif event.withdraws in gone and not merged:
                yield RowFault(lines[event.id], "withdraws", f"event {event.withdraws} is withdrawn already")
            gone.add(event.withdraws)
        there.add(event.id)


def assume(ledger: Ledger, event: Event) -> None:
    """Make the refused event's result true as far as it says one, whether or not the animals were there."""
    count = event.count or 0
    try:
        cohort = ledger.resolve(event.cohort)
    except Refused:
        return
    stages, reached = STEPS.get(event.what, ((event.stage,) if event.stage else (), event.stage))
    groups = fitting(ledger, event._replace(stage=""), cohort, stages)
    place = ledger.place(event.enclosure) or next((key.enclosure for key, _ in groups), "")
    left = count
    for key, held in list(groups):
        number = min(held, left)
        if number and (event.what in CHANGING or event.what in ("died", "released", "escaped", "given", "missing", "moved")):
            ledger.post(event, key, None, number)
            left -= number
    if event.what in STEPS and count:
        ledger.post(event, None, Key(cohort, event.mark, reached, 1 if reached == "larva" else None, place), count)
    elif event.what == "moulted" and count:
        ledger.post(event, None, Key(cohort, event.mark, "larva", event.instar, place), count)
    elif event.what == "moved" and count and event.to and event.stage:
        ledger.post(event, None, Key(cohort, event.mark, event.stage, event.instar, ledger.place(event.to)), count)
