"""What can be wrong with a nursery file, each as one line that a keeper understands. The file is left as it was."""

from __future__ import annotations

import sqlite3
from pathlib import Path


class StoreError(Exception):
    """The nursery file cannot be used; the message says why in one line."""


class NotOurs(StoreError):
    """Some other program's file."""


class Newer(StoreError):
    """Written by a newer version of this program."""


class Damaged(StoreError):
    """The database is broken."""


class Locked(StoreError):
    """Another program is writing and did not finish in time."""


class Gone(StoreError):
    """The file that was opened does not stand at its path any more."""


class Overtaken(StoreError):
    """Others have recorded something since what was to be written was thought out: it has to be thought out anew."""


class ReadOnly(StoreError):
    """Nothing can be written there."""


def way_back(path: str | Path | None) -> str:
    """What to do about a nursery that is damaged: `Restore the newest backup, …`, named where there is one."""
    from nurserytui.records.backups import choosing

    last = choosing.way_back(path) if path else ""
    return f"To go back, {last}" if last else "Restore a backup: nurserytui restore FILE"


def has_backups(path: str | Path) -> bool:
    """Whether there are backups of a nursery at that path, so that there was one."""
    from nurserytui.records.backups.kept import kept

    return next(kept(path), None) is not None


def missing(path: str | Path) -> StoreError:
    """There is no file of that name; where there are backups of one, it is not for a new one to be made in its place."""
    from nurserytui.records.backups import choosing

    last = choosing.way_back(path)
    if not last:
        return StoreError(f"there is no nursery file {path}")
    return StoreError(f"there is no nursery file {path}, but its backups are there: {last}; or begin anew with --db another name")


def damaged(path: str | Path, why: str = "") -> Damaged:
    """The nursery is damaged, with what to do."""
    return Damaged(f"{path} is damaged{f' ({why})' if why else ''}. {way_back(path)}")


def no_file(path: str | Path) -> NotOurs:
    """A pipe, socket or device: opening it might wait for ever."""
    return NotOurs(f"{path} is no ordinary file: name another")


def not_ours(path: str | Path) -> NotOurs:
    """Not a nursery file; where there are backups of one of that name, it was one."""
    from nurserytui.records.backups import choosing

    last = choosing.way_back(path)
    do = f"but there was one: {last}" if last else "and stays as it is: name another file"
    return NotOurs(f"{path} is not a nursery file, {do}")


def translated(error: sqlite3.Error | UnicodeDecodeError, path: str, undone: str = "nothing was recorded") -> StoreError:
    """The StoreError that stands for an SQLite error, or for a message of SQLite that quotes what is no text any more. `undone` says what
    did not come about by it."""
    if isinstance(error, UnicodeDecodeError):
        return damaged(path)
    name, said = getattr(error, "sqlite_errorname", None) or "", " ".join(str(error).split())
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return Locked(f"{path} is being written by another window; {undone}, try again")
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM")):
        return ReadOnly(f"{path} cannot be written: the file or its folder is read-only")
    if name.startswith("SQLITE_NOTADB"):
        return not_ours(path)
    if name.startswith("SQLITE_FULL"):
        return StoreError(f"{path} could not be written: the disk is full; {undone}, make room and try again")
    if name.startswith("SQLITE_IOERR"):
        return StoreError(f"{path} could not be read or written: its disk is full or failed ({name}); {undone}")
    # Our own statements are right for every file that is as we made it.
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_FORMAT", "SQLITE_MISMATCH", "SQLITE_TOOBIG")):
        return damaged(path)
    if name == "SQLITE_ERROR" or said.startswith("Could not decode to UTF-8"):
        return damaged(path, said.partition(" with text")[0])
    return StoreError(f"{path} could not be used: {said}")
