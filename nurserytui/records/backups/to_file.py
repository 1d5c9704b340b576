"""A backup to a file that the keeper names."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from nurserytui.records import connections
from nurserytui.records.backups.copying import copy
from nurserytui.records.backups.kept import counted
from nurserytui.records.errors import NotOurs, StoreError, no_file, translated
from nurserytui.records.events import Event
from nurserytui.records.progress import Progress

OTHER_NAME = "choose another name, or take it away first"
_EVENT = ", ".join(f'"{name}"' for name in Event._fields)
_HELD = {
    "event": f"SELECT {_EVENT} FROM %s.events",
    "reading": 'SELECT place, "when", fold, low, high FROM %s.readings',
}


def backup(path: str | Path, target: str | Path, progress: Progress | None = None) -> str:
    """Copy the nursery at `path` to `target`, whole or not at all; one line saying what was written.

    An older backup of this nursery is replaced: a file that holds nothing that the nursery does not hold. Any other file is not. StoreError
    says why it cannot be done. `progress` is told how far it is, and may raise `Stopped`: then nothing is written.
    """
    path, target = Path(path), Path(target)
    if target.exists() and os.path.samefile(path, target):
        raise StoreError(f"{target} is the nursery itself")
    if target.exists() and not target.is_file():
        raise no_file(target)
    if target.exists() and target.stat().st_size:
        _older_of_the_same(path, target)
    copied = copy(path, target, progress)
    said = f"{target}: a copy of {path} with {counted(copied.events)}, checked"
    return f"{said}; but {copied.doubt}, as in the nursery itself: nurserytui check" if copied.doubt else said


def _older_of_the_same(path: Path, target: Path) -> None:
    """StoreError unless `target` is an older copy of the nursery at `path`: every event and reading of it is in the nursery as it is there."""
    try:
        connections.open_existing(target, read_only=True)[0].close()
    except NotOurs:
        raise StoreError(f"{target} is there already and is not a backup; choose another name") from None
    except StoreError as error:
        raise StoreError(f"{target} may be another nursery, and cannot be read ({error}): {OTHER_NAME}") from None
    mode = "ro" if Path(f"{target}-wal").exists() else "ro&immutable=1"
    with closing(connections.open_existing(path, read_only=False)[0]) as ours:
        try:
            ours.execute("ATTACH ? AS theirs", (f"{target.absolute().as_uri()}?mode={mode}",))
            for what, held in _HELD.items():
                query = f"SELECT count(*) FROM ({held % 'theirs'} EXCEPT {held % 'main'})"
                if strange := ours.execute(query).fetchone()[0]:
                    all_of_it = ours.execute(f"SELECT count(*) FROM theirs.{what}s").fetchone()[0]
                    raise StoreError(_refused(path, target, what, strange, all_of_it))
        except (sqlite3.Error, UnicodeDecodeError) as error:
            raise translated(error, str(target)) from None


def _refused(path: Path, target: Path, what: str, strange: int, of: int) -> str:
    if strange == of and what == "event":
        return f"{target} holds another nursery than {path}: {OTHER_NAME}"
    things = f"1 {what}" if strange == 1 else f"{strange:,} {what}s"
    return f"{target} holds {things} that {path} does not hold as {'it is' if strange == 1 else 'they are'} there: {OTHER_NAME}"
