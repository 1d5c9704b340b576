"""Copies of a nursery file, made while it is in use, and putting one back without losing what it replaces."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

from nurserytui import private
from nurserytui.records import connections
from nurserytui.records.checking import sound
from nurserytui.records.errors import Damaged, NotOurs, ReadOnly, StoreError, translated
from nurserytui.records.ledger import replay
from nurserytui.records.progress import Progress, interruptible
from nurserytui.records.reasons import animals
from nurserytui.records.store import Store

MOST_LINES = 12
PAGES = 500
"""Pages of the database that are copied between two looks at whether to go on."""


def backup(path: str | Path, target: str | Path, progress: Progress | None = None) -> str:
    """Copy the nursery at `path` to `target`, whole or not at all; one line saying what was written.

    An older backup of that name is replaced, any other file is not. StoreError says why it cannot be done. `progress` is told how far it
    is, and may raise `Stopped`: then nothing is written.
    """
    path, target = Path(path), Path(target)
    if target.exists() and os.path.samefile(path, target):
        raise StoreError(f"{target} is the nursery itself")
    if target.exists() and target.stat().st_size:
        try:
            Store.open(target, create=False, read_only=True).close()
        except NotOurs:
            raise StoreError(f"{target} is there already and is not a backup; choose another name") from None
        except StoreError:
            pass  # a damaged or newer backup may be replaced: the name was chosen for backups
    count = _copy(path, target, progress)
    return f"{target}: a copy of {path} with {count} events, checked"


def _copy(path: Path, target: Path, progress: Progress | None = None) -> int:
    """Copy through SQLite's own backup, check the copy, and only then give it its name; how many events it has."""
    unfinished = target.with_name(target.name + ".part")
    try:
        private.start(unfinished)
        source, _ = connections.open_existing(path, read_only=False)
        copy = None
        try:
            copy = sqlite3.connect(unfinished)
            if progress:
                source.backup(
                    copy, pages=PAGES, progress=lambda _, left, total: progress(total - left, total, "pages copied"), sleep=0.01
                )
            else:
                source.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")
            with interruptible(copy, progress, "checking the copy"):
                whole = sound(copy)
            if not whole:
                raise Damaged(f"{path} is damaged, so its copy is too; nothing was written")
            count = copy.execute("SELECT count(*) FROM events").fetchone()[0]
        except sqlite3.Error as error:
            wrong = translated(error, str(target))
            raise ReadOnly(f"{target} cannot be written") if isinstance(wrong, ReadOnly) else wrong from None
        finally:
            source.close()
            if copy is not None:
                copy.close()
        private.put(unfinished, target)
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}") from None
    finally:
        if unfinished.parent.is_dir():
            unfinished.unlink(missing_ok=True)
    return count


def preview(backup_file: str | Path, path: str | Path) -> list[str]:
    """What `restore` would change, line by line. StoreError if the backup cannot be used."""
    backup_file, path = Path(backup_file), Path(path)
    with _sound_store(backup_file) as store:
        new, new_readings = store.events(), store._rows("SELECT count(*) FROM readings")[0][0]
    lines = [f"{backup_file} has {_extent(new)} and {new_readings} readings."]
    if not path.exists() or not path.stat().st_size:
        return [*lines, f"There is no nursery at {path}: the backup would be put there."]
    try:
        with Store.open(path, create=False) as store:
            old, old_readings = store.events(), store._rows("SELECT count(*) FROM readings")[0][0]
    except Damaged as error:
        return [*lines, f"{error}. It would be kept beside the restored one."]
    lines.append(f"{path} has {_extent(old)} and {old_readings} readings.")
    ours, theirs = {event.id for event in old}, {event.id for event in new}
    for words, events in (
        ("would be gone", [event for event in old if event.id not in theirs]),
        ("would come back", [event for event in new if event.id not in ours]),
    ):
        if events:
            named = "; ".join(f"{one.what} {one.cohort or one.enclosure}".strip() + f" on {one.day}" for one in events[:-4:-1])
            lines.append(f"{_number(events)} {words}: {named}{', …' if len(events) > 3 else ''}.")
    lines += _headcounts(replay(old).heads, replay(new).heads)
    if ours == theirs:
        lines.append("The events are the same.")
    return lines


def _number(events: list) -> str:
    return "1 event" if len(events) == 1 else f"{len(events)} events"


def _extent(events: list) -> str:
    return f"{len(events)} events" + (
        f" ({min(event.day for event in events)} to {max(event.day for event in events)})" if events else ""
    )


def _headcounts(old: dict, new: dict) -> list[str]:
    def sums(heads: dict) -> dict:
        found: dict = {}
        for key, count in heads.items():
            spot = (key.cohort, key.stage, key.enclosure)
            found[spot] = found.get(spot, 0) + count
        return found

    before, after = sums(old), sums(new)
    lines = [
        f"cohort {cohort}{f' in {place}' if place else ''}: {animals(before.get(spot, 0), stage)} would become {after.get(spot, 0)}"
        for spot in sorted({*before, *after})
        for cohort, stage, place in [spot]
        if before.get(spot, 0) != after.get(spot, 0)
    ]
    return lines if len(lines) <= MOST_LINES else [*lines[:MOST_LINES], f"and {len(lines) - MOST_LINES} more such changes"]


def restore(backup_file: str | Path, path: str | Path) -> str:
    """Put the backup in place of the nursery at `path`; the file replaced is kept beside it. One line saying where."""
    backup_file, path = Path(backup_file), Path(path)
    _sound_store(backup_file).close()
    if not path.exists() or not path.stat().st_size:
        private.make_folder(path.parent)
        count = _copy(backup_file, path)
        return f"{path}: restored with {count} events"
    if os.path.samefile(backup_file, path):
        raise StoreError(f"{backup_file} is the nursery itself")
    kept = _free_name(path)
    try:
        connection, writable = connections.open_existing(path, read_only=False)
    except Damaged:
        return _instead_of_damaged(backup_file, path, kept)
    try:
        if not writable:
            raise ReadOnly(f"{path} cannot be written: the file or its folder is read-only")
        if sound(connection):
            _copy(path, kept)
        else:
            connection.close()
            return _instead_of_damaged(backup_file, path, kept)
        # Written into the open database rather than over it, so that a window that is open sees the restored one.
        connection.execute("PRAGMA query_only = OFF")
        source, _ = connections.open_existing(backup_file, read_only=True)
        try:
            source.backup(connection)
        finally:
            source.close()
        count = connection.execute("SELECT count(*) FROM events").fetchone()[0]
    except sqlite3.Error as error:
        raise translated(error, str(path)) from None
    finally:
        connection.close()
    return f"{path}: restored with {count} events; what was there is kept as {kept}"


def _instead_of_damaged(backup_file: Path, path: Path, kept: Path) -> str:
    """A damaged file cannot be copied, so it is moved aside with the files that belong to it."""
    for tail in ("", "-wal", "-shm"):
        if Path(f"{path}{tail}").exists():
            os.replace(f"{path}{tail}", f"{kept}{tail}")
    count = _copy(backup_file, path)
    return f"{path}: restored with {count} events; the damaged file is kept as {kept}"


def _sound_store(path: Path) -> Store:
    store = Store.open(path, create=False, read_only=True)
    if not sound(store._connection()):
        store.close()
        raise Damaged(f"{path} is damaged and cannot be restored from")
    return store


def _free_name(path: Path) -> Path:
    number = 1
    while (kept := path.with_name(f"{path.stem}.before-restore-{number}{path.suffix}")).exists():
        number += 1
    return kept
