"""The write-ahead file that SQLite keeps beside a database in use: it holds what was recorded last, so it belongs to that database alone."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterable
from contextlib import closing
from pathlib import Path

LATER = 1.0
"""Seconds by which a database may have been changed after its write-ahead file: SQLite brings it up to date right after a write."""


def turn_on(connection: sqlite3.Connection) -> None:
    """Have writers and readers of the file not wait for each other, where the file system can do it; without it they take turns."""
    try:
        connection.execute("PRAGMA journal_mode = WAL")
    except sqlite3.OperationalError:
        pass  # another program is reading just now; the next that writes sets it


def size(path: Path) -> int:
    """Bytes of the write-ahead file beside a database; 0 without one."""
    try:
        return os.stat(f"{path}-wal").st_size
    except OSError:
        return 0


def strange(path: Path, holds_together: Callable[[sqlite3.Connection], bool]) -> bool:
    """Whether the write-ahead file beside a database is of another database, which SQLite cannot tell: it would mix the two.

    Of every database that has one, some events are looked at; all are where those differ, or where the database was put there, or changed,
    clearly after the last write.
    """
    try:
        file, wal = os.stat(path), os.stat(f"{path}-wal")
    except OSError:
        return False
    if not wal.st_size:
        return False
    # Opened for reading only, nothing is carried over from the one to the other when it is closed.
    ways = [f"{path.absolute().as_uri()}?mode={mode}" for mode in ("ro&immutable=1", "ro")]
    if file.st_ctime - wal.st_mtime < LATER:  # its other times move whenever somebody opens it
        before = _some(ways[0], None)
        after = _some(ways[1], before.keys())
        if all(after.get(number) == id for number, id in before.items()):
            return False
    alone, both = (_read(way, holds_together) for way in ways)
    if alone is None:
        return False  # damaged, or being brought up to date just now
    return both is None or both[: len(alone)] != alone


def _some(uri: str, numbers: Iterable[int] | None) -> dict[int, str]:
    """Number -> id of those events that are there; without numbers, of the last ones and of those half, a quarter … of the way back.
    None where the file cannot be read."""
    try:
        with closing(sqlite3.connect(uri, uri=True, timeout=1)) as connection:
            if numbers is None:
                last = connection.execute("SELECT max(seq) FROM events").fetchone()[0] or 0
                numbers = {*range(max(1, last - 15), last + 1), *(last >> step for step in range(last.bit_length()))}
            return dict(
                row
                for number in numbers
                for row in connection.execute("SELECT seq, id FROM events NOT INDEXED WHERE seq = ?", (number,))
            )
    except (sqlite3.Error, UnicodeDecodeError):
        return {}


def _read(uri: str, holds_together: Callable[[sqlite3.Connection], bool]) -> list[str] | None:
    """The ids of the events in order, numbered without a gap; None if the file does not hold together."""
    try:
        with closing(sqlite3.connect(uri, uri=True, timeout=1)) as connection:
            rows = (
                connection.execute("SELECT seq, id FROM events ORDER BY seq").fetchall() if holds_together(connection) else None
            )
    except (sqlite3.Error, UnicodeDecodeError):
        return None
    if rows is None or [number for number, _ in rows] != list(range(1, len(rows) + 1)):
        return None
    return [id for _, id in rows]
