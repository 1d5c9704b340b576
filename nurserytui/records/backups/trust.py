"""Whether a copy can be gone back to: whole, every row as it was written, and the headcount that of its events."""

from __future__ import annotations

import sqlite3
from functools import lru_cache
from pathlib import Path

from nurserytui.records import sums
from nurserytui.records.checking import damage
from nurserytui.records.errors import StoreError
from nurserytui.records.ledger import replay
from nurserytui.records.progress import Progress
from nurserytui.records.store import Store

HEADCOUNT = "its headcount is not that of its events"


def doubt(path: Path, progress: Progress | None = None) -> str:
    """Why the file is not sound, in a few words; "" if it is. One of an older version is read as it would be today."""
    try:
        with Store.open(path, create=False, read_only=True) as store:
            if wrong := next(damage(store, ""), ""):
                return wrong.rstrip(" .")
            return "" if _adds_up(store, progress) else HEADCOUNT
    except StoreError as error:
        return str(error)


def doubt_of(path: Path) -> str:
    """The same of a copy that is kept: nobody writes to it, so that it is looked through once."""
    try:
        there = path.stat()
    except OSError:
        return "it is not there any more"
    return _doubt_of(path, there.st_size, there.st_mtime_ns)


@lru_cache(maxsize=200)
def _doubt_of(path: Path, size: int, changed: int) -> str:
    return doubt(path)


def altered(connection: sqlite3.Connection) -> str:
    """The first event of an open file that is not as it was written; "" if all are."""
    found = next(sums.changed_events(connection), None)
    return f"event {found[1]} is not as it was written" if found else ""


def adds_up(path: Path, progress: Progress | None = None) -> bool:
    """Whether the events of a file add up to the headcount that is kept beside them."""
    with Store.open(path, create=False, read_only=True) as store:
        return _adds_up(store, progress)


def _adds_up(store: Store, progress: Progress | None) -> bool:
    return replay(store.events(), progress=progress).heads == store.heads()
