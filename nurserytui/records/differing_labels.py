"""Labels of cohorts in a file and here: one label for other animals is a conflict, two labels for the same animals too."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from nurserytui.records.event_rows import Row
from nurserytui.records.event_words import written
from nurserytui.records.events import Event
from nurserytui.records.file_text import RowFault

_NAMING = ("split", "merged", "renamed")
"""Events whose `to` is a cohort."""
_FOUNDING = ("laid", "found")
NOTED = 5


class Labels:
    """The labels of one file, as the keeper says that they are called here (`cohorts`: label there -> label here)."""

    def __init__(self, cohorts: Mapping[str, str]) -> None:
        self._here = {theirs.casefold(): ours for theirs, ours in cohorts.items()}
        self._asked = dict(cohorts)
        self._moved: dict[tuple[str, str], tuple[str, str, int, int]] = {}
        self._unheard: list[str] = []
        self.notes: list[str] = []

    def renamed(self, rows: Sequence[Row]) -> Sequence[Row]:
        """The rows with their cohorts called as here; ids stay."""
        if not self._here:
            return rows
        heard: set[str] = set()
        found = [Row(row.line, self._renamed(row.event, heard)) for row in rows]
        self._unheard = [theirs for theirs in self._asked if theirs.casefold() not in heard]
        return found

    def _renamed(self, event: Event, heard: set[str]) -> Event:
        other = {}
        for name in ("cohort", "parent", "to"):
            label = getattr(event, name).casefold()
            if label in self._here and (name != "to" or event.what in _NAMING):
                heard.add(label)
                other[name] = self._here[label]
        return event._replace(**other) if other else event

    def relabelled(self, row: Row, recorded: Event, apart: Sequence[str]) -> bool:
        """Whether a row and the event on record differ in nothing but how a cohort is called, which `conflicts` tells once for all its
        events."""
        named = ("cohort", "parent", "to") if row.event.what in _NAMING else ("cohort", "parent")
        if not set(apart) <= set(named):
            return False
        for name in apart:
            theirs, ours = getattr(row.event, name), getattr(recorded, name)
            spot = (theirs.casefold(), ours.casefold())
            theirs, ours, line, number = self._moved.get(spot, (theirs, ours, row.line, 0))
            self._moved[spot] = theirs, ours, line, number + 1
        return True

    def conflicts(
        self, rows: Sequence[Row], new: Sequence[Row], recorded: Mapping[str, Event], with_ids: set[str]
    ) -> list[RowFault]:
        """Labels that stand for other animals here. Rows that a keeper wrote by hand may add to a cohort that is there: that is noted."""
        faults = [RowFault(0, "--cohort", f"there is no cohort {label} in the file") for label in self._unheard]
        for theirs, ours, line, number in self._moved.values():
            before = next((label for label, here in self._asked.items() if here.casefold() == theirs.casefold()), theirs)
            events = "one event" if number == 1 else f"{number:,} events"
            ask = f"import with --cohort {quoted(before)}={quoted(ours)}" if before and ours else "it has no label on one side"
            faults.append(RowFault(line, "cohort", f"cohort {theirs} of the file is called {ours} here ({events}): {ask}"))
        theirs = _founding(row.event for row in rows)
        ours = _founding(recorded.values())
        lines = {row.event.id: row for row in new}
        for label, ids in theirs.items():
            fresh = [lines[id] for id in ids if id in lines]
            if label not in ours or not fresh or not ids.keys().isdisjoint(ours[label]):
                continue
            first, here = fresh[0], recorded[next(iter(ours[label]))]
            name = first.event.to if first.event.what in _NAMING else first.event.cohort
            if first.event.id in with_ids:
                free = _free(name, {*ours, *theirs})
                before = next((label for label, to in self._asked.items() if to.casefold() == name.casefold()), name)
                reason = (
                    f"cohort {name} is there already with other animals: import with --cohort {quoted(before)}={quoted(free)}"
                )
                faults.append(
                    RowFault(first.line, "cohort", f"{reason} (here: {written(here)} | in the file: {written(first.event)})")
                )
            elif len(self.notes) < NOTED:
                self.notes.append(
                    f"line {first.line}: cohort {name} was there already ({written(here)}); what the file brings joins it"
                )
        return faults


def _founding(events: Iterable[Event]) -> dict[str, dict[str, None]]:
    """Label, in lower case -> ids of the events that brought animals under it, or gave it; those taken back too, since others may have them."""
    found: dict[str, dict[str, None]] = {}
    for event in events:
        label = event.cohort if event.what in _FOUNDING else event.to if event.what in ("split", "renamed") else ""
        if label:
            found.setdefault(label.casefold(), {})[event.id] = None
    return found


def _free(label: str, taken: set[str]) -> str:
    number = 2
    while f"{label}-{number}".casefold() in taken:
        number += 1
    return f"{label}-{number}"


def quoted(label: str) -> str:
    """A label as it is typed on a command line."""
    return label if label and all(sign.isalnum() or sign in "-_." for sign in label) else f"'{label}'"
