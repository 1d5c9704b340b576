"""Is a nursery file whole? The database itself, its guards, and the headcount against the events."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

from nurserytui.biology.sensors import COLDEST, HOTTEST
from nurserytui.records import schema
from nurserytui.records.errors import StoreError, translated
from nurserytui.records.ledger import Key, Ledger, replay
from nurserytui.records.progress import Progress, interruptible, told
from nurserytui.records.reasons import animals
from nurserytui.records.store import Store
from nurserytui.records.validating import findings

MOST = 50
"""So many reasons of one kind are told."""


def check(path: str | Path, progress: Progress | None = None) -> list[str]:
    """Everything that is off in the file, one line each; [] if it is whole. StoreError if it is not a nursery of this version.

    `progress` is told how far it is, and may raise `Stopped`.
    """
    with Store.open(path, create=False) as store:
        with interruptible(store._connection(), progress, "looking through the database"):
            reasons = list(_database(store))
        try:
            reasons += _records(store, progress)
        except StoreError as error:
            reasons.append(str(error))
    return reasons


def _database(store: Store) -> Iterator[str]:
    try:
        for (line,) in store._rows(f"PRAGMA integrity_check({MOST})"):
            if line != "ok":
                yield f"the database is damaged: {line}"
        for table, row, *_ in store._rows("PRAGMA foreign_key_check"):
            yield f"row {row} of {table} points at an event that is not there"
        yield from _structure(store)
    except StoreError as error:
        yield str(error)


def _structure(store: Store) -> Iterator[str]:
    """What differs in tables and guards from a file that is made today."""
    import sqlite_utils

    made = sqlite_utils.Database(memory=True, strict=True)
    schema.migrate(made.execute, 0)
    try:
        there = sqlite_utils.Database(store._connection())
        tables = {table.name: table.schema for table in there.tables}
        guards = there.triggers_dict
    except sqlite3.Error as error:
        raise translated(error, store.name) from None
    for kind, true, found in (
        ("table", {table.name: table.schema for table in made.tables}, tables),
        ("guard", made.triggers_dict, guards),
    ):
        for name, body in true.items():
            if name not in found:
                yield f"the {kind} {name} is missing"
            elif found[name] != body:
                yield f"the {kind} {name} was changed"
    made.close()


def _records(store: Store, progress: Progress | None) -> Iterator[str]:
    count, first, last = store._rows("SELECT count(*), min(seq), max(seq) FROM events")[0]
    if count and (first, last) != (1, count):
        yield f"there are {count} events, but the last is number {last}: {last - count} are gone"
    events = store.events()
    for event in told(progress, events, len(events), "events read"):
        for column, reason in findings(event):
            yield f"event {event.id}, {column}: {reason}"
    ledger = replay(events, progress=progress)
    for fault in ledger.faults[:MOST]:
        yield f"event {fault.event.id} ({fault.event.what} on {fault.event.day}) cannot have happened: {fault.reason}"
    yield from _headcount("by its postings", added_up(ledger), ledger.heads)
    yield from _headcount("in the file", store.heads(), ledger.heads)
    bad = store._rows("SELECT count(*) FROM readings WHERE low > high OR low < ? OR high > ?", (COLDEST, HOTTEST))[0][0]
    if bad:
        yield f"{bad} readings cannot be temperatures"


def added_up(ledger: Ledger) -> dict[Key, int]:
    """The headcount added up from the postings alone."""
    sums: dict[Key, int] = {}
    for _, source, target, count in ledger.postings:
        if source is not None:
            sums[source] = sums.get(source, 0) - count
        if target is not None:
            sums[target] = sums.get(target, 0) + count
    return {key: count for key, count in sums.items() if count}


def _headcount(how: str, found: dict[Key, int], true: dict[Key, int]) -> Iterator[str]:
    for key in sorted({*found, *true}, key=repr)[: MOST * 20]:
        if found.get(key, 0) != true.get(key, 0):
            where = f" in {key.enclosure}" if key.enclosure else ""
            mark = f", animal {key.mark}" if key.mark else ""
            yield (
                f"cohort {key.cohort}{mark} has {animals(found.get(key, 0), key.stage)}{where} {how}, "
                f"but {true.get(key, 0)} by the events"
            )


def sound(connection: sqlite3.Connection) -> bool:
    """True if the open database holds together page by page."""
    try:
        return connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    except sqlite3.DatabaseError:
        return False
