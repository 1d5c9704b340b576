"""Programs that write to a nursery until they are killed, and say on standard output what they have written, once it is.

usage: python -m faults.writers KIND FILE.db TAG       one of the kinds of WRITERS; each line `TAG NUMBER` acknowledges one write
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path

from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

EVENTS, READINGS = 60, 300
"""Rows of one file that is imported."""


def size(number: int) -> int:
    """Events of the group of that number, written in one go."""
    return 1 + number % 5


def appended(store: Store, tag: str, folder: Path) -> Iterator[int]:
    """Groups of events, by the store itself."""
    for number in count():
        events = [Event("2031-06-02", "note", note=f"{tag} {number} of {size(number)}") for _ in range(size(number))]
        assert not store.append(events).faults
        yield number


def events_imported(store: Store, tag: str, folder: Path) -> Iterator[int]:
    """Tables of events, each by one import."""
    file = folder / f"{tag}-events.csv"
    for number in count():
        file.write_text(
            "when,what,note\n" + "".join(f"2031-06-02,note,{tag} {number} of {EVENTS} ({row})\n" for row in range(EVENTS))
        )
        report = import_file(file, store)
        assert not report.faults, report.faults
        yield number


def readings_imported(store: Store, tag: str, folder: Path) -> Iterator[int]:
    """Files of a logger, each by one import."""
    file, start = folder / f"{tag}-readings.csv", datetime(2031, 1, 1)
    for number in count():
        rows = (f"{start + timedelta(minutes=10 * row)},{tag} {number},20.5\n" for row in range(READINGS))
        file.write_text("time,place,temperature_C\n" + "".join(rows))
        report = import_file(file, store)
        assert not report.faults, report.faults
        yield number


WRITERS: dict[str, Callable[[Store, str, Path], Iterator[int]]] = {
    "append": appended,
    "import of events": events_imported,
    "import of readings": readings_imported,
}


def write(kind: str, path: str, tag: str, most: int | None = None) -> None:
    """Write, and acknowledge each write, for ever or `most` times."""
    with Store.open(path) as store:
        for number in WRITERS[kind](store, tag, Path(path).parent):
            print(f"{tag} {number}", flush=True)
            if number + 1 == most:
                return


if __name__ == "__main__":
    write(*sys.argv[1:4], *map(int, sys.argv[4:]))
