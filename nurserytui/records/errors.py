"""What can be wrong with a nursery file, each as one line that a keeper understands. The file is left as it was."""

from __future__ import annotations

import sqlite3


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


class ReadOnly(StoreError):
    """Nothing can be written there."""


def translated(error: sqlite3.Error, path: str) -> StoreError:
    """The StoreError that stands for an SQLite error."""
    name = getattr(error, "sqlite_errorname", None) or ""
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return Locked(f"{path} is being written by another window; nothing was recorded, try again")
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM")):
        return ReadOnly(f"{path} cannot be written: the file or its folder is read-only")
    if name.startswith("SQLITE_NOTADB"):
        return NotOurs(f"{path} is not a nursery file")
    if name.startswith("SQLITE_CORRUPT"):
        return Damaged(f"{path} is damaged; restore a backup")
    if name.startswith("SQLITE_FULL"):
        return StoreError(f"{path} could not be written: the disk is full")
    return StoreError(f"{path} could not be used: {error}")
