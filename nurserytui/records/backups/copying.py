"""One whole copy of a nursery file that is in use, proved against what was copied before it gets its name."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from nurserytui import private
from nurserytui.records import connections, schema
from nurserytui.records.backups.trust import HEADCOUNT, adds_up, altered
from nurserytui.records.checking import sound
from nurserytui.records.errors import Damaged, ReadOnly, StoreError, translated
from nurserytui.records.progress import Progress, interruptible

UNDONE = "no copy was made"
PAGES = 500
"""Pages of the database that are copied between two looks at whether to go on."""


class Copied(NamedTuple):
    """What was copied, and is there when the copy is read."""

    events: int
    readings: int
    doubt: str
    """An event that is not as it was written, or a headcount that is not what the events add up to, where that was asked for."""


def copy(path: Path, target: Path, progress: Progress | None = None, *, replayed: bool = True) -> Copied:
    """Copy the nursery at `path` to `target`, whole and proved or not at all; an older file of that name is replaced.

    The copy is of one moment, whoever writes meanwhile. It is read back: its pages hold together, every table has as many rows as in the
    nursery, the headcount is the same, and (`replayed`) is what the events add up to. StoreError says why it cannot be; `progress` is told
    how far it is, and may raise `Stopped`: then nothing stays.
    """
    try:
        private.start(part_of(target))
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}") from None
    return finish(path, target, progress, replayed=replayed)


def finish(path: Path, target: Path, progress: Progress | None = None, *, replayed: bool = True) -> Copied:
    """`copy`, where the empty file of the unfinished copy (`part_of`) is there already."""
    unfinished = part_of(target)
    try:
        copied = _copied(path, unfinished, progress, replayed)
        private.put(unfinished, target)
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}") from None
    finally:
        for tail in ("", "-journal", "-wal", "-shm"):
            Path(f"{unfinished}{tail}").unlink(missing_ok=True)
    return copied


def part_of(target: Path) -> Path:
    """Where a copy is until it has proved whole."""
    return target.with_name(f"{target.name}.part")


def _copied(path: Path, unfinished: Path, progress: Progress | None, replayed: bool) -> Copied:
    with closing(connections.open_existing(path, read_only=False)[0]) as source:
        try:
            source.execute("BEGIN")  # from here on the moment that is copied does not move
            held = _held(source)
        except sqlite3.Error as error:
            raise translated(error, str(path), UNDONE) from None
        try:
            with closing(sqlite3.connect(unfinished)) as made:
                # What is half written when the lights go out is never used: it has no name yet.
                made.execute("PRAGMA synchronous = OFF")
                told = progress and (lambda _, left, total: progress(total - left, total, "pages copied"))
                source.backup(made, pages=PAGES if progress else -1, progress=told or None, sleep=0.001)
                made.execute("PRAGMA journal_mode = DELETE")
                with interruptible(made, progress, "checking the copy"):
                    if not sound(made):
                        raise Damaged(f"{path} is damaged, so its copy is too; nothing was written")
                    if _held(made) != held:
                        raise Damaged(f"the copy of {path} does not hold what the nursery holds; nothing was written")
                    doubt = altered(made) if held[2] == schema.VERSION else ""
        except sqlite3.Error as error:
            wrong = translated(error, str(unfinished.with_suffix("")), UNDONE)
            raise ReadOnly(f"{unfinished.with_suffix('')} cannot be written") if isinstance(wrong, ReadOnly) else wrong from None
    counts, _, version = held
    if not doubt and replayed and version == schema.VERSION and not adds_up(unfinished, progress):
        doubt = HEADCOUNT
    return Copied(counts["events"], counts["readings"], doubt)


def _held(connection: sqlite3.Connection) -> tuple[dict[str, int], list, int]:
    """What a file holds, for comparing: rows of each table, the headcount, the version."""
    # A damaged file may have its tables under other names, or the same in other letters.
    connection.execute("SELECT 1 FROM events, readings, heads LIMIT 0")
    tables = [
        name for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table' AND sql <> '' ORDER BY name")
    ]
    counts = {}
    for name in tables:
        quoted = '"' + name.replace('"', '""') + '"'
        counts[name.lower()] = connection.execute(f"SELECT count(*) FROM {quoted}").fetchone()[0]
    heads = connection.execute("SELECT * FROM heads").fetchall()
    return counts, heads, connection.execute("PRAGMA user_version").fetchone()[0]
