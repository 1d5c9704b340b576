"""Is a nursery file whole? The database itself, its guards, every row against its sum, and the headcount against the events.

Each thing that is off is one line: a sentence of what is wrong and one of what to do about it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

from nurserytui.biology.sensors import COLDEST, HOTTEST
from nurserytui.records import connections, sums
from nurserytui.records.errors import Damaged, StoreError, way_back
from nurserytui.records.ledger import Key, Ledger, replay
from nurserytui.records.progress import Progress, interruptible, told
from nurserytui.records.reasons import animals
from nurserytui.records.store import Store
from nurserytui.records.validating import findings

MOST = 50
"""So many reasons of one kind are told."""
MEND = "Run nurserytui check --mend: it makes a copy and then puts that right."
GUARDED = "The next record puts that right."
OURS = "That is a fault of this program, not of the file: keep the file as it is, export the events, and tell whoever looks after the program."


def check(path: str | Path, progress: Progress | None = None) -> list[str]:
    """Everything that is off in the file, one line each; [] if it is whole. StoreError if it is not a nursery of this version.

    `progress` is told how far it is, and may raise `Stopped`.
    """
    with Store.open(path, create=False) as store:
        restore = f"{way_back(path)}."
        with interruptible(store._connection(), progress, "looking through the database"):
            reasons = list(damage(store, restore))
            trusted = not reasons
            reasons += _guarding(store, MEND if trusted else GUARDED)
        try:
            reasons += _records(store, progress, MEND if trusted else restore)
        except StoreError as error:
            reasons.append(str(error))
        except Exception as error:
            # What stands in a damaged file can be anything; in a whole one it is our fault and must be seen.
            if trusted:
                raise
            reasons.append(f"the headcount could not be worked out from such events ({error}). {restore}")
    return reasons


def damage(store: Store, restore: str) -> Iterator[str]:
    """What was recorded and is not there any more as it was written; nothing of this can be worked out anew."""
    connection = store._connection()
    try:
        found = [line for (text,) in connection.execute(f"PRAGMA integrity_check({MOST})") for line in text.splitlines()]
        wrong = [line for line in found if line != "ok" and not line.startswith("***")]
        if wrong:
            where = "" if len(wrong) == 1 else f" in {len(wrong)} places, the first"
            yield f"the database is damaged{where}: {wrong[0]}. {restore}"
        if gone := _gone(connection):
            numbers = ", ".join(map(str, gone[:10])) + (", …" if len(gone) > 10 else "")
            yield f"{_count(gone, 'event')} gone: number {numbers} of those recorded. {restore}"
        for table, row, *_ in connection.execute("PRAGMA foreign_key_check(events)").fetchmany(MOST):
            yield f"row {row} of {table} points at an event that is not there. {restore}"
        yield from _changed(connection, restore)
    except (sqlite3.Error, UnicodeDecodeError) as error:
        yield f"the database is damaged: {error}. {restore}"


def _gone(connection: sqlite3.Connection) -> list[int]:
    """Numbers up to the last that no event has; the sums also tell of a last one that is gone. At most 1,000."""
    there, summed = ({number for (number,) in connection.execute(f"SELECT seq FROM {table}")} for table in ("events", "sums"))
    missing = (number for number in range(1, max(there | summed, default=0) + 1) if number not in there)
    return list(islice(missing, 1000))


def _changed(connection: sqlite3.Connection, restore: str) -> Iterator[str]:
    for at, (_, id, says, kept) in enumerate(sums.changed_events(connection)):
        if at == MOST:
            yield f"more events are not as they were written. {restore}"
            break
        why = "is not as it was written" if kept else "was not written by this program"
        yield f"event {id} {why}; it now says: {says}. {restore}"
    for place, first, count in sums.changed_readings(connection):
        what = "1 reading" if count == 1 else f"{count} readings"
        yield f"{what} of {place} {'is' if count == 1 else 'are'} not as written, the first of {first.replace('T', ' ')}. {restore}"


def _guarding(store: Store, put_back: str) -> Iterator[str]:
    """What differs in tables and guards from a file that is made today; `put_back` says what helps a guard."""
    connection = store._connection()
    made = connections.in_memory(None)
    try:
        for kind in ("table", "trigger"):
            there, true = _shapes(connection, kind), _shapes(made, kind)
            name_of = {"table": "table", "trigger": "guard"}[kind]
            do = put_back if kind == "trigger" else f"{way_back(store.path)}."
            for name, body in true.items():
                if there.get(name) != body:
                    yield f"the {name_of} {name} {'was changed' if name in there else 'is missing'}. {do}"
            for name in there.keys() - true.keys() if kind == "trigger" else ():
                yield f"there is a trigger {sums.shown(name.encode())} that is not of this program and may change records. {put_back}"
    except (sqlite3.Error, UnicodeError) as error:
        yield f"the database is damaged: {error}. {way_back(store.path)}."
    finally:
        made.close()


def _shapes(connection: sqlite3.Connection, kind: str) -> dict[str, str]:
    return dict(connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = ? AND sql <> ''", (kind,)).fetchall())


def _records(store: Store, progress: Progress | None, do: str) -> Iterator[str]:
    """Events that cannot be, and headcounts that the events do not add up to; `do` says what helps against those."""
    restore = f"{way_back(store.path)}."
    events = store.events()
    for event in told(progress, events, len(events), "events read"):
        for column, reason in findings(event):
            yield f"event {event.id}, {column}: {reason}. {restore}"
    ledger = replay(events, progress=progress)
    for fault in ledger.faults[:MOST]:
        yield f"event {fault.event.id} ({fault.event.what} on {fault.event.day}) cannot have happened: {fault.reason}. {restore}"
    yield from (f"{line} by its postings. {OURS}" for line in headcounts(added_up(ledger), ledger.heads))
    yield from (f"{line} in the file. {do}" for line in headcounts(store.heads(), ledger.heads))
    bad = store._rows("SELECT count(*) FROM readings WHERE low > high OR low < ? OR high > ?", (COLDEST, HOTTEST))[0][0]
    if bad:
        yield f"{bad} readings cannot be temperatures. They are left out of every answer; {restore[0].lower()}{restore[1:]}"


def damage_behind(store: Store) -> StoreError | None:
    """The damage of the file that may stand behind an error met while working with the records; None if the file is as it was written."""
    try:
        wrong = next(damage(store, way_back(store.path)), "")
    except StoreError as error:
        return error
    return Damaged(f"{store.name} is damaged: {wrong}") if wrong else None


def added_up(ledger: Ledger) -> dict[Key, int]:
    """The headcount added up from the postings alone."""
    added: dict[Key, int] = {}
    for _, source, target, count in ledger.postings:
        if source is not None:
            added[source] = added.get(source, 0) - count
        if target is not None:
            added[target] = added.get(target, 0) + count
    return {key: count for key, count in added.items() if count}


def headcounts(found: dict[Key, int], true: dict[Key, int]) -> Iterator[str]:
    """Where a headcount is not the true one, as `cohort A has 4 eggs in jar by the events, but 5`."""
    for key in sorted({*found, *true}, key=repr)[: MOST * 20]:
        if found.get(key, 0) != true.get(key, 0):
            where = f" in {key.enclosure}" if key.enclosure else ""
            mark = f", animal {key.mark}" if key.mark else ""
            yield f"cohort {key.cohort}{mark} has {animals(true.get(key, 0), key.stage)}{where} by the events, but {found.get(key, 0)}"


def _count(things: list, name: str) -> str:
    return f"1 {name} is" if len(things) == 1 else f"{len(things)} {name}s are"


def sound(connection: sqlite3.Connection) -> bool:
    """True if the open database holds together page by page."""
    try:
        return connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    except sqlite3.DatabaseError:
        return False
