"""A backup to a file that the keeper names."""

from __future__ import annotations

import os
from pathlib import Path

from nurserytui.records.backups.copying import copy
from nurserytui.records.backups.kept import counted
from nurserytui.records.errors import NotOurs, StoreError
from nurserytui.records.progress import Progress
from nurserytui.records.store import Store


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
    copied = copy(path, target, progress)
    said = f"{target}: a copy of {path} with {counted(copied.events)}, checked"
    return (
        said if copied.agrees else f"{said}; its headcount is not that of its events, as in the nursery itself: nurserytui check"
    )
