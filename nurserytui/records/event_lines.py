"""Everything of a nursery as JSON Lines, read back: a line that says what this is, then an event or a reading a line."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from datetime import datetime
from math import isfinite
from typing import Any, TextIO

from nurserytui.biology.sensors import impossible
from nurserytui.records.event_rows import COLUMNS, Row
from nurserytui.records.events import Event
from nurserytui.records.file_text import RowFault
from nurserytui.records.identity import group_of
from nurserytui.records.readings import Reading
from nurserytui.records.whole_events import wrong_with
from nurserytui.records.written_numbers import count

VERSION = 1
"""The newest form of the file that is understood."""
LONGEST = 1_000_000
_WHOLE = ("instar", "count")
_DECIMAL = ("latitude", "longitude")


class EventLines:
    """Reads a file of JSON Lines. `opened` opens it; it is read once for the events and the faults, once more for the readings."""

    def __init__(self, opened: Callable[[], AbstractContextManager[TextIO]]) -> None:
        self._opened = opened
        self.faults: list[RowFault] = []
        self.notes: list[str] = []
        self.ids: set[str] = set()
        self.readings_count = 0
        self._said = False

    def read(self, lines: Callable[[Iterator[str]], Iterator[str]] = iter) -> list[Row]:
        """The events; `lines` is given the lines and passes them on, to count them."""
        rows: list[Row] = []
        with self._opened() as file:
            for line, found in self._objects(lines(file)):
                if isinstance(found, str):
                    self.faults.append(RowFault(line, "", found))
                elif "event" in found:
                    event, wrong = event_of(found["event"])
                    self.faults += [RowFault(line, column, reason) for column, reason in wrong]
                    self.ids.add(event.id)
                    rows.append(Row(line, event))
                elif "reading" in found:
                    try:
                        reading_of(found["reading"])
                        self.readings_count += 1
                    except ValueError as error:
                        self.faults.append(RowFault(line, "reading", str(error)))
                elif "nursery" in found:
                    self._about(line, found["nursery"])
                else:
                    self.faults.append(RowFault(line, "", "this is neither an event nor a reading"))
        if not self._said:
            self.faults.insert(
                0, RowFault(1, "nursery", "the file does not say that it is a nursery's: its first line is missing")
            )
        return rows

    def readings(self) -> Iterator[tuple[int, Reading]]:
        """(line, reading) of every reading, of a file in which `read` found no fault."""
        with self._opened() as file:
            for line, found in self._objects(file):
                if isinstance(found, dict) and "reading" in found:
                    try:
                        yield line, reading_of(found["reading"])
                    except ValueError:
                        pass  # the file has changed since it was read

    def _objects(self, file: Iterator[str]) -> Iterator[tuple[int, dict | str]]:
        """(line, the object, or why it is none)"""
        for line, text in enumerate(file, 1):
            if not text.strip("\ufeff \t\r\n"):
                continue
            if len(text) > LONGEST:
                yield line, f"the line is longer than {LONGEST:,} characters"
                continue
            try:
                found = json.loads(text.removeprefix("\ufeff"))
            except (ValueError, RecursionError):
                yield line, "the line is no JSON object, or was cut off"
                continue
            yield line, found if isinstance(found, dict) else "the line is no JSON object"

    def _about(self, line: int, about: Any) -> None:
        self._said = True
        version = about.get("version") if isinstance(about, dict) else None
        if not isinstance(version, int) or version < 1:
            self.faults.append(RowFault(line, "nursery", "the version of the file is not said"))
        elif version > VERSION:
            self.faults.append(
                RowFault(line, "nursery", "the file was written by a newer version of nurserytui; update the program")
            )
        elif isinstance(about.get("withheld"), str):
            self.notes.append(f"of this file something was kept back: {about['withheld']}")


def event_of(fields: Any) -> tuple[Event, list[tuple[str, str]]]:
    """The event of an object with our columns, and what is wrong with it."""
    if not isinstance(fields, dict):
        return Event("", ""), [("event", "the event is no JSON object")]
    wrong = [(str(name)[:40], "this is none of our columns") for name in fields if name not in COLUMNS]
    found: dict[str, Any] = {"when": "", "what": ""}
    for name in COLUMNS:
        value = fields.get(name)
        if value is None:
            continue
        if name in _WHOLE:
            try:
                if not isinstance(value, str) and (isinstance(value, bool) or not isinstance(value, int)):
                    raise ValueError(f"{value!r} is no {name}"[:80])
                found[name], rough = count(name, str(value))
                found["estimate"] = found.get("estimate", False) or rough
            except ValueError as error:
                wrong.append((name, str(error)))
        elif name in _DECIMAL:
            if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
                wrong.append((name, f"{value!r} is no {name}"[:80]))
            else:
                found[name] = float(value)
        elif isinstance(value, str):
            found[name] = value
        else:
            wrong.append((name, "this is no text"))
    event = Event(**found)
    event = event._replace(group=group_of(event.id))
    told = {column for column, _ in wrong}
    return event, wrong + [one for one in wrong_with(event) if one[0] not in told]


def reading_of(fields: Any) -> Reading:
    """The reading of an object; ValueError with the reason."""
    if not isinstance(fields, dict):
        raise ValueError("the reading is no JSON object")
    time, place, low, high, fold = (fields.get(name) for name in ("time", "place", "low", "high", "fold"))
    try:
        when = datetime.fromisoformat(time)
    except (TypeError, ValueError):
        raise ValueError(f"{time!r} is no time: write 2026-07-12T08:00"[:80]) from None
    if when.tzinfo is not None:
        raise ValueError("the time has an offset, where the nursery's own time is wanted")
    if not isinstance(place, str) or not place.strip():
        raise ValueError("the place is not said")
    for value in (low, high):
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValueError(f"{value!r} is no temperature"[:80])
        if reason := impossible(value):
            raise ValueError(reason)
    if low > high:
        raise ValueError(f"the low {low:g} lies above the high {high:g}")
    if fold not in (None, 0, 1):
        raise ValueError("fold is 0 or 1")
    return Reading(when.replace(fold=1) if fold else when, place, float(low), float(high))
