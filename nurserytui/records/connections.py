"""Opening a nursery file safely: is it ours, is it new, may it be written, and nothing touched if not.

A file that may be written is opened for writing with `query_only` on, because a connection that may only read leaves the
write-ahead files of SQLite behind. A file or folder that may not be written is opened so that no such file is ever made.
"""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path
from threading import Lock

from nurserytui import private
from nurserytui.records import schema, sums, write_ahead
from nurserytui.records.errors import Damaged, Newer, NotOurs, ReadOnly, StoreError, damaged, no_file, not_ours, translated

PATIENCE = 5.0
"""Seconds to wait for another program that is writing."""
_MAGIC = b"SQLite format 3\0"
_LOOKED_AT: set[tuple[int, int]] = set()
_LOOKING = Lock()


def may_write(path: Path) -> bool:
    """True if the file and its folder are there and may be written by this user, going by their permissions even for an administrator."""
    folder = path.parent
    try:
        allowed = all(os.stat(one).st_mode & 0o222 for one in (path, folder))
    except OSError:
        return False
    return allowed and os.access(path, os.W_OK) and os.access(folder, os.W_OK)


def _look(path: Path) -> None:
    """What the first bytes and the files beside say of a file, before it is opened. StoreError if it cannot be used.

    Only before this program first opens it: by the rules of POSIX, closing a file gives up every lock that the program holds on it, those of
    its open connections too. Another program would then take itself for the last one and delete the write-ahead file that is in use.
    """
    with _LOOKING:
        try:
            there = os.stat(path)
            if (there.st_dev, there.st_ino) in _LOOKED_AT:
                return
            with path.open("rb") as file:
                head = file.read(20)
        except OSError as error:
            raise StoreError(f"{path} cannot be read: {error.strerror}") from None
        if head[:16] != _MAGIC:
            raise not_ours(path)
        if not {*head[18:20]} <= {1, 2}:
            raise damaged(
                path, "its header"
            )  # SQLite database file format, 1.3.3: it would be taken for one that may only be read
        if write_ahead.strange(path, holds_together):
            raise Damaged(
                f"{path}-wal beside {path} belongs to another file of that name, or the file was put there while it was in use: "
                f"move {path.name}-wal away and keep it, since the last records of that other file may be in it alone; then try again"
            )
        _LOOKED_AT.add((there.st_dev, there.st_ino))


def open_existing(path: Path, *, read_only: bool) -> tuple[sqlite3.Connection, bool]:
    """(a connection for reading, whether it may be made to write). StoreError if the file is not a nursery of this version."""
    if path.is_dir():
        raise NotOurs(f"{path} is a folder, not a nursery file: name a file in it")
    if path.exists() and not path.is_file():
        raise no_file(path)
    _look(path)
    writable = not read_only and may_write(path)
    modes = ["rw"] if writable else ["ro"] if Path(f"{path}-wal").exists() else []
    if not writable:
        modes.append("ro&immutable=1")
    for mode in modes:
        connection = None
        try:
            connection = sqlite3.connect(
                f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=PATIENCE, check_same_thread=False
            )
            for setting in ("query_only = ON", "trusted_schema = OFF", "cell_size_check = ON"):
                connection.execute(f"PRAGMA {setting}")
            identify(connection, str(path))
            return connection, writable
        except (sqlite3.Error, UnicodeDecodeError) as error:
            if connection is not None:
                connection.close()
            wrong = translated(error, str(path))
            if mode != modes[-1] and isinstance(wrong, ReadOnly):
                continue
            raise wrong from None
        except StoreError:
            connection.close()
            raise
    raise AssertionError("no way of opening was tried")


def holds_together(connection: sqlite3.Connection) -> bool:
    """Whether the pages of the open database hold together. A matter of milliseconds: rows are not held against the rules of their table."""
    connection.execute("PRAGMA ignore_check_constraints = ON")
    try:
        return connection.execute("PRAGMA quick_check(1)").fetchall() == [("ok",)]
    except sqlite3.DatabaseError:
        return False
    finally:
        connection.execute("PRAGMA ignore_check_constraints = OFF")


def ready_to_write(connection: sqlite3.Connection, path: str) -> None:
    """Make an open nursery ready for its first write: only a sound file is written to, what is written is on disk when it is said to be,
    and readers are not kept waiting. StoreError if the file is damaged."""
    if not holds_together(connection):
        raise damaged(path)
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")
    write_ahead.turn_on(connection)


def version_of(connection: sqlite3.Connection) -> int:
    """The version of an open nursery file; 0 if none is said."""
    return connection.execute("PRAGMA user_version").fetchone()[0]


def identify(connection: sqlite3.Connection, path: str) -> None:
    """StoreError if the open database is not a nursery, or one of a newer version."""
    application = connection.execute("PRAGMA application_id").fetchone()[0]
    try:
        connection.execute("SELECT name, sql FROM sqlite_schema").fetchall()
    except UnicodeDecodeError:  # text that is none is found here, not in a later message
        raise damaged(path, "a text in it is not UTF-8") from None
    version = version_of(connection)
    if application != schema.APPLICATION_ID or not version:
        raise not_ours(path)
    if version > schema.VERSION:
        raise Newer(f"{path} was written by a newer version of nurserytui; update the program to open it")


def create(path: Path) -> None:
    """Make a new nursery file; two programs that do it at once end up with one."""
    if write_ahead.size(path):
        raise StoreError(
            f"there is no nursery at {path}, but {path.name}-wal beside it holds records of one: "
            "put its file back beside it, or move it away to begin anew"
        )
    try:
        private.make_folder(path.parent)
        if not os.stat(path.parent).st_mode & 0o222:
            raise PermissionError
        private.make_file(path)
        connection = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
    except (OSError, sqlite3.Error):
        raise ReadOnly(f"{path} cannot be made: its folder cannot be written") from None
    try:
        connection.execute("BEGIN IMMEDIATE")
        empty = not connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
        if empty:
            upgrade(connection, 0)
        connection.execute("COMMIT")
        if empty:
            write_ahead.turn_on(connection)
    except sqlite3.Error as error:
        raise translated(error, str(path)) from None
    finally:
        connection.close()


def upgrade(connection: sqlite3.Connection, version: int) -> None:
    """Bring the tables from that version (0 is none) up to date, inside the caller's transaction."""
    import sqlite_utils

    sums.teach(connection)
    schema.migrate(sqlite_utils.Database(connection, strict=True).execute, version)


def in_memory(path: Path | None) -> sqlite3.Connection:
    """A private nursery in memory: empty, or a copy of the file, brought up to date; the file is not touched."""
    connection = sqlite3.connect(":memory:", check_same_thread=False)
    if path is None:
        sums.teach(connection)
        schema.migrate(connection.execute, 0)
        connection.commit()
        return connection
    source, _ = open_existing(path, read_only=True)
    try:
        source.backup(connection)
        if (version := version_of(connection)) < schema.VERSION:
            upgrade(connection, version)
            connection.commit()
    except sqlite3.Error as error:
        raise translated(error, str(path)) from None
    finally:
        source.close()
    return connection
