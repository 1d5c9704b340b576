"""The backups that nobody has to think of: the first of a day, before an import, before the file is brought up to a new version."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from functools import partial
from pathlib import Path

from nurserytui.records.backups.kept import Kept, command, folder_of, keep, kept, told_by
from nurserytui.records.backups.rule import Rule
from nurserytui.records.errors import StoreError
from nurserytui.records.progress import Progress, Stopped

ROOM = 3
"""So many times the size of the nursery must be free for one more backup that nobody asked for."""
MANY = 5_000
"""So many events are replayed on the way; of more, what is in the copy is compared with what is in the nursery, table by table."""


def daily(path: str | Path, rule: Rule, now: datetime | None = None, progress: Progress | None = None) -> Kept | None:
    """Make the day's backup, by the clock of the computer, if the rule wants one and it is not there; None if not.

    A nursery that may not be written, is empty, or stands as in the newest backup needs none. StoreError says why it cannot be made.
    """
    now = now or datetime.now()
    if not rule.daily or has_todays(path, now):
        return None
    return _new(path, "daily", rule, now, progress)


def has_todays(path: str | Path, now: datetime) -> bool:
    """Whether the day's backup is there, by the names alone: it is asked at every opening."""
    try:
        names = os.listdir(folder_of(path))
    except OSError:
        return False
    return any(why == "daily" and moment.date() == now.date() for moment, why in map(told_by, names) if moment)


def first_of_the_day(store, now: datetime | None = None, progress: Progress | None = None) -> str:
    """`told_daily` of the store's nursery, by the rule in its records whatever their moment; costs nothing once the day has one."""
    make = due(store, now)
    return make(progress) if make else ""


def due(store, now: datetime | None = None) -> Callable[..., str] | None:
    """What makes the day's backup, given a progress, and tells of it; None once the day has one. It does without the store, so that a
    thread of its own may do it."""
    now = now or datetime.now()
    return None if has_todays(store.path, now) else partial(told_daily, store.path, rule_of(store), now)


def rule_of(store) -> Rule:
    """The rule in the records of the store; the usual one where they cannot be read."""
    try:
        return store.settings().backups
    except StoreError:
        return Rule()


def told_daily(path: str | Path, rule: Rule, now: datetime | None = None, progress: Progress | None = None) -> str:
    """`daily`, and what the keeper is to be told: nothing unless it failed, and that once a day. Never raises but `Stopped`."""
    now = now or datetime.now()
    try:
        made = daily(path, rule, now, progress)
        if made is not None and made.doubt:
            return f"Today's backup was made, but {made.doubt}, as in the nursery itself; no older one was taken away: {command('check', path)}"
    except Stopped:
        raise
    except Exception as error:
        why = str(error) if isinstance(error, StoreError) else f"by a fault of this program: {type(error).__name__}: {error}"
        return f"No backup was made today: {why}" if _first_today(path, now) else ""
    return ""


def before_import(store, progress: Progress | None = None, now: datetime | None = None) -> str:
    """Make a backup before something is imported into the store, if the rule wants one; what the keeper is to be told, "" for nothing."""
    if store._memory is not None:
        return ""
    rule = rule_of(store)
    if not rule.imports:
        return ""
    try:
        _new(store.path, "before-import", rule, now or datetime.now(), progress)
    except StoreError as error:
        return f"no backup was made before the import: {error}"
    return ""


def standing_copy(path: Path) -> tuple[Kept | None, bool]:
    """(the newest copy that holds just what the nursery at `path` holds now, None if there is none; whether the nursery is empty)"""
    extent = _extent(path)
    if extent[:2] == (0, 0):
        return None, True
    return next((one for one in kept(path) if one.events == extent[0] and _extent(one.path) == extent), None), False


def before_migration(path: Path, now: datetime | None = None) -> None:
    """Make a backup of a nursery that is about to be brought up to a new version; StoreError says why it must not be, then.

    It is made while the caller holds the lock for writing, so that of several programs one makes it.
    """
    if _extent(path)[:2] == (0, 0):
        return
    try:
        keep(path, "before-migration", now, replayed=False)
    except StoreError as error:
        raise StoreError(
            f"{path} is of an older version of the program and stays as it is, because a copy is made before it is brought up to date, "
            f"and {error}"
        ) from None


def _new(path: str | Path, why: str, rule: Rule, now: datetime, progress: Progress | None) -> Kept | None:
    """One more backup, if the nursery may be written and differs from the newest one."""
    from shutil import disk_usage

    from nurserytui.records.connections import may_write

    path = Path(path)
    if not may_write(path):
        return None
    extent = _extent(path)
    if extent[:2] == (0, 0):
        return None
    last = next((one for one in kept(path, now) if one.why in ("daily", "asked", "before-import")), None)
    if last is not None and _extent(last.path) == extent:
        return None
    free, size = disk_usage(path.parent).free, path.stat().st_size
    if free < ROOM * size:
        raise StoreError(f"the disk has only {free // 1_000_000:,} MB left, and the nursery itself needs them")
    return keep(path, why, now, progress, rule=rule, replayed=extent[0] <= MANY)


def _extent(path: Path) -> tuple[int, int, str]:
    """(events, readings, the last event's id): records only grow, so two files alike in these hold the same."""
    import sqlite3

    from nurserytui.records.backups.copying import UNDONE
    from nurserytui.records.connections import open_existing
    from nurserytui.records.errors import translated

    with closing(open_existing(path, read_only=False)[0]) as connection:
        try:
            events, last = connection.execute(
                "SELECT count(*), (SELECT id FROM events ORDER BY seq DESC LIMIT 1) FROM events"
            ).fetchone()
            return events, connection.execute("SELECT count(*) FROM readings").fetchone()[0], last or ""
        except sqlite3.Error as error:
            raise translated(error, str(path), UNDONE) from None


def _first_today(path: str | Path, now: datetime) -> bool:
    """Whether this trouble was not told today; where that cannot be remembered, it is told again."""
    from hashlib import sha256

    from nurserytui import private
    from nurserytui.paths import user_state

    note = user_state() / f"backup-told-{sha256(str(Path(path).resolve()).encode()).hexdigest()[:12]}"
    today = now.date().isoformat()
    try:
        if note.exists() and note.read_text() == today:
            return False
        private.make_folder(note.parent)
        private.make_file(note)
        note.write_text(today)
    except OSError:
        pass
    return True
