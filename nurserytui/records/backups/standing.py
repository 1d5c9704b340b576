"""What stands where a backup is to be put, and a backup opened for reading whatever its version."""

from __future__ import annotations

from contextlib import closing
from enum import Enum
from pathlib import Path

from nurserytui.records import connections
from nurserytui.records.checking import sound
from nurserytui.records.errors import Damaged, Newer, NotOurs, StoreError, no_file
from nurserytui.records.store import Store


class Standing(Enum):
    """What is at the path of a nursery."""

    NONE = "nothing, or a file without a byte in it"
    WHOLE = "a nursery that can be read"
    UNUSABLE = "a damaged nursery, one of a newer version, or another program's file"


def standing(path: Path) -> tuple[Standing, str]:
    """(what is there, what is wrong with it). StoreError if it cannot be told, or is a folder."""
    if path.is_dir():
        raise NotOurs(f"{path} is a folder, not a nursery file")
    if path.exists() and not path.is_file():
        raise no_file(path)
    if not path.exists() or not path.stat().st_size:
        return Standing.NONE, ""
    try:
        with closing(connections.open_existing(path, read_only=True)[0]) as connection:
            if sound(connection):
                return Standing.WHOLE, ""
    except Newer:
        return Standing.UNUSABLE, f"{path} was written by a newer version of the program"
    except NotOurs:
        return Standing.UNUSABLE, f"{path} is not a nursery file"
    except Damaged:
        pass
    return Standing.UNUSABLE, f"{path} is damaged"


def read(path: Path) -> Store:
    """A sound nursery file opened for reading only; Damaged if its pages do not hold together."""
    store = Store.open(path, create=False, read_only=True)
    try:
        if not sound(store._connection()):
            raise Damaged(f"{path} is damaged and cannot be restored from")
    except StoreError:
        store.close()
        raise
    return store
