"""Putting a backup in place: the nursery that is there is kept, and at every moment either the old one or the new one stands there."""

from __future__ import annotations

import os
import sqlite3
import time
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

from nurserytui import private
from nurserytui.records import connections, schema
from nurserytui.records.backups.copying import copy
from nurserytui.records.backups.kept import STAMP, counted, keep
from nurserytui.records.backups.standing import Standing, read, standing
from nurserytui.records.backups.trust import doubt
from nurserytui.records.errors import Damaged, Locked, ReadOnly, StoreError, translated

TAILS = ("-wal", "-shm", "-journal")
"""Ends the names of SQLite's own files beside a database, which belong to it and to no other."""
TRIES = 5
"""So often the nursery is kept once more because somebody wrote to it meanwhile."""


def restore(backup_file: str | Path, path: str | Path, now: datetime | None = None) -> str:
    """Put the backup in place of what is at `path`, which is kept; lines saying what was done and where that is.

    A nursery that can be read is copied among the kept ones, and the backup is written into it in one transaction, so that a window that is
    open sees it. Anything else, damaged or another program's, is set aside whole beside the new one. What was put there is read back.
    StoreError says why it cannot be, and then nothing has changed.
    """
    backup_file, path = Path(backup_file), Path(path).resolve()
    with read(backup_file) as store:
        wanted = [event.id for event in store.events()]
    if path.exists() and os.path.samefile(backup_file, path):
        raise StoreError(f"{backup_file} is the nursery itself")
    there, _ = standing(path)
    staged = path.with_name(f"{path.name}.restoring")
    try:
        private.make_folder(path.parent)
        _stage(backup_file, staged)
        if there is Standing.WHOLE:
            said = f"what was there is kept as {_written_into(path, staged, now)}"
        else:
            said = _put_in_place(path, staged, now)
    except OSError as error:
        raise StoreError(f"{path} cannot be written: {error.strerror}") from None
    except sqlite3.Error as error:
        raise translated(error, str(path)) from None
    finally:
        for tail in ("", *TAILS):
            Path(f"{staged}{tail}").unlink(missing_ok=True)
    with read(path) as store:
        if [event.id for event in store.events()][: len(wanted)] != wanted:  # a window that is open may write on
            raise Damaged(f"{path} does not hold what {backup_file} holds; {said or 'nothing was there before'}")
    wrong = doubt(path)
    told = [
        f"{path}: restored with {counted(len(wanted))}, read back",
        f"it is not sound, as the backup is not: {wrong}" if wrong else "",
        said,
    ]
    return "; ".join(filter(None, told))


def _stage(backup_file: Path, staged: Path) -> None:
    """A copy of the backup beside the nursery, brought up to date, that can take its place by a change of names."""
    copy(backup_file, staged, replayed=False)
    with closing(sqlite3.connect(staged, isolation_level=None)) as connection:
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        if version < schema.VERSION:
            connection.execute("BEGIN IMMEDIATE")
            connections.upgrade(connection, version)
            connection.execute("COMMIT")
        connection.execute("PRAGMA journal_mode = WAL")


def _written_into(path: Path, staged: Path, now: datetime | None) -> Path:
    """Write the staged backup into the nursery that is open elsewhere perhaps, after keeping it; where it is kept."""
    connection, writable = connections.open_existing(path, read_only=False)
    with closing(connection):
        if not writable:
            raise ReadOnly(f"{path} cannot be written: the file or its folder is read-only")
        for _ in range(TRIES):
            before = connection.execute("PRAGMA data_version").fetchone()
            kept = _keep(path, now)
            if connection.execute("PRAGMA data_version").fetchone() == before:
                break
        else:
            raise Locked(f"{path} is being written by another window; nothing was restored, try again")
        began = time.monotonic()

        def waiting(status: int, *_: int) -> None:
            if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and time.monotonic() - began > connections.PATIENCE:
                raise Locked(f"{path} is being written by another window; nothing was restored, try again")

        connection.execute("PRAGMA query_only = OFF")
        with closing(sqlite3.connect(f"{staged.as_uri()}?mode=ro", uri=True)) as source:
            source.backup(connection, progress=waiting, sleep=0.05)
    return kept


def _keep(path: Path, now: datetime | None) -> Path:
    """Keep what is there before it is replaced; beside it, where the folder for backups cannot be written."""
    try:
        return keep(path, "before-restore", now).path
    except Damaged:
        raise
    except StoreError:
        aside = _aside(path, now)
        copy(path, aside)
        return aside


def _put_in_place(path: Path, staged: Path, now: datetime | None) -> str:
    """Give the staged backup the name of the nursery; what stood there is set aside with the files that belong to it."""
    aside = _aside(path, now)
    held = path.exists() and path.stat().st_size
    if held:
        try:
            os.link(path, aside)  # under both names until the new one takes the old one's
        except OSError:
            os.replace(path, aside)  # a file system without links
    # A log of writes that is left beside a database would be taken for that of the new one.
    for tail in TAILS:
        if Path(f"{path}{tail}").exists():
            os.replace(f"{path}{tail}", f"{aside}{tail}")
    private.put(staged, path)
    return f"what was there is kept as {aside}" if held else ""


def _aside(path: Path, now: datetime | None) -> Path:
    """A name beside the nursery that is free."""
    moment = now or datetime.now()
    while True:
        name = path.with_name(f"{path.stem}.set-aside-{moment:{STAMP}}{path.suffix}")
        if not any(Path(f"{name}{tail}").exists() for tail in ("", *TAILS)):
            return name
        moment += timedelta(seconds=1)
