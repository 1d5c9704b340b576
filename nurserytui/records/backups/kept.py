"""The copies that are kept beside a nursery: the folder, their names, which are there, and making one more.

A name sorts and says when and why: `2026-06-18T073000-daily.db`, by the clock of the computer, since a copy may be looked for when the
nursery itself cannot be read.
"""

from __future__ import annotations

import os
import re
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from nurserytui import private
from nurserytui.records.backups.rule import Rule
from nurserytui.records.errors import StoreError
from nurserytui.records.header import says_ours
from nurserytui.records.progress import Progress

WHY = {
    "daily": "daily",
    "asked": "asked for",
    "before-import": "before an import",
    "before-restore": "before a restore",
    "before-migration": "before the file was brought up to date",
    "before-mending": "before the file was mended",
}
"""Why a copy was made: as its name says it -> as a keeper reads it."""
NAME = re.compile(rf"(\d{{4}}-\d\d-\d\dT\d{{6}})-({'|'.join(WHY)})\.db")
STAMP = "%Y-%m-%dT%H%M%S"
AHEAD = timedelta(days=1)
"""What is dated no later than this from now may be right: whoever travels puts the clock back."""
LEFT_OVER = 24 * 3600
"""Seconds after which an unfinished copy is one that was broken off."""


class Kept(NamedTuple):
    """One copy that is kept."""

    path: Path
    moment: datetime
    """By the clock of the computer, which need not be where the nursery is."""
    why: str
    size: int
    """Bytes."""
    events: int
    doubt: str = ""
    """Why it is not sure to be sound, of one that was just made."""

    @property
    def said(self) -> str:
        """`Wed 17 June 2026, 07:30, with 212 events`."""
        day = f"{self.moment:%a} {self.moment.day} {self.moment:%B %Y}, {self.moment:%H:%M}"
        return f"{day}, with {counted(self.events)}"


def counted(events: int) -> str:
    """`1 event`, `1,212 events`."""
    return "1 event" if events == 1 else f"{events:,} events"


def folder_of(path: str | Path) -> Path:
    """Where the copies of a nursery are: `nursery.backups` beside `nursery.db`."""
    path = Path(path).resolve()
    return path.with_name(f"{path.stem if path.suffix == '.db' else path.name}.backups")


def kept(path: str | Path, now: datetime | None = None) -> Iterator[Kept]:
    """The copies of the nursery at `path` that are there and can be opened, newest first.

    Those dated more than `AHEAD` after `now` come last: the clock was wrong when they were made. Anything else in the folder is passed over.
    """
    limit = (now or datetime.now()) + AHEAD
    try:
        names = os.listdir(folder_of(path))
    except OSError:
        return
    dated = [(moment, why, name) for name in names for moment, why in [told_by(name)] if moment]
    for moment, why, name in sorted(dated, key=lambda one: (one[0] <= limit, one), reverse=True):
        file = folder_of(path) / name
        events, size = _events(file), _size(file)
        if events is not None and size:  # another program may take one away meanwhile
            yield Kept(file, moment, why, size, events)


def command(words: str, path: str | Path) -> str:
    """The command that a keeper types, with the nursery's file where it is not the usual one."""
    import shlex

    from nurserytui.paths import default_database

    usual = Path(path).resolve() == default_database().resolve()
    return f"nurserytui {words}" + ("" if usual else f" --db {shlex.quote(str(path))}")


def told_by(name: str) -> tuple[datetime | None, str]:
    """(when, why) by the name of a file; (None, "") if it is not the name of a copy."""
    found = NAME.fullmatch(name)
    try:
        return (datetime.fromisoformat(found[1]), found[2]) if found else (None, "")
    except ValueError:
        return None, ""


def _events(file: Path) -> int | None:
    """How many events a copy holds; None if it is not ours or cannot be read."""
    if file.is_symlink() or not file.is_file() or not says_ours(file):
        return None
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as connection:
            return connection.execute("SELECT coalesce(max(seq), 0) FROM events").fetchone()[0]
    except sqlite3.Error:
        return None


def keep(
    path: str | Path,
    why: str,
    now: datetime | None = None,
    progress: Progress | None = None,
    *,
    rule: Rule | None = None,
    replayed: bool = True,
) -> Kept:
    """Make one more copy of the nursery at `path`, proved by reading it back (`copying.finish`); StoreError says why it cannot be.

    With a `rule`, the copies that it does not keep go after that; they stay where an event of the nursery is not as it was written, or its
    events do not add up to its headcount: `doubt` of what was made says so.
    """
    from nurserytui.records.backups.copying import finish, part_of

    now = now or datetime.now()
    moment, folder = now.replace(microsecond=0), folder_of(path)
    try:
        private.make_folder(folder)
        _clear(folder)
        # Two of one second would have one name, and two programs may choose at once.
        while (target := folder / f"{moment:{STAMP}}-{why}.db").exists() or not private.make_file(part_of(target)):
            moment += timedelta(seconds=1)
    except OSError as error:
        raise StoreError(f"the folder for backups cannot be written: {folder} ({error.strerror})") from None
    copied = finish(Path(path), target, progress, replayed=replayed)
    if rule is not None and not copied.doubt:
        thin(path, rule, now)
    return Kept(target, moment, why, _size(target), copied.events, copied.doubt)


def thin(path: str | Path, rule: Rule, now: datetime) -> list[Kept]:
    """Take away the copies that the rule does not keep; which they were."""
    from nurserytui.records.backups.thinning import going

    copies = [*kept(path, now)]
    gone = [copies[at] for at in sorted(going([(one.moment, one.why) for one in copies], rule, now + AHEAD))]
    for one in gone:
        try:
            one.path.unlink(missing_ok=True)
        except OSError:
            pass  # it is tried again after the next
    return gone


def _size(file: Path) -> int:
    """Bytes; 0 if it is not there."""
    try:
        return file.stat().st_size
    except OSError:
        return 0


def _clear(folder: Path) -> None:
    """Take away what copies that were broken off have left."""
    for file in folder.glob("*.db.part*"):
        with suppress(FileNotFoundError):  # another program has just given it its name
            if told_by(file.name.partition(".part")[0])[0] and time.time() - file.stat().st_mtime > LEFT_OVER:
                file.unlink(missing_ok=True)
