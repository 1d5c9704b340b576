"""The tables of a nursery file and how an older file becomes a newer one.

Events and readings are append-only: triggers refuse every change, also a REPLACE by a connection that does not fire delete
triggers. `heads` is what the events add up to and `sums` holds a checksum of each, kept beside them so that a check can compare.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from nurserytui.records import sums
from nurserytui.records.events import WHATS

APPLICATION_ID = 0x4E525359
"""Marks an SQLite file as a nursery of this program."""

_WORDS = ", ".join(f"'{what}'" for what in WHATS)

_FIRST = (
    f"""CREATE TABLE events (
        seq INTEGER PRIMARY KEY,
        "when" TEXT NOT NULL,
        what TEXT NOT NULL CHECK (what IN ({_WORDS})),
        cohort TEXT NOT NULL, mark TEXT NOT NULL, species TEXT NOT NULL,
        stage TEXT NOT NULL CHECK (stage IN ('', 'egg', 'larva', 'prepupa', 'pupa', 'adult')),
        instar INTEGER CHECK (instar > 0),
        count INTEGER CHECK (count >= 0),
        estimate INTEGER NOT NULL CHECK (estimate IN (0, 1)),
        enclosure TEXT NOT NULL, "to" TEXT NOT NULL, host TEXT NOT NULL, detail TEXT NOT NULL, note TEXT NOT NULL,
        id TEXT NOT NULL UNIQUE CHECK (id <> ''),
        withdraws TEXT REFERENCES events (id),
        "by" TEXT NOT NULL, place TEXT NOT NULL, latitude REAL, longitude REAL, parent TEXT NOT NULL, "group" TEXT NOT NULL,
        instant TEXT NOT NULL,
        written TEXT NOT NULL
    ) STRICT""",
    """CREATE TABLE readings (
        place TEXT NOT NULL,
        "when" TEXT NOT NULL,
        fold INTEGER NOT NULL,
        instant INTEGER NOT NULL,
        low REAL NOT NULL,
        high REAL NOT NULL,
        PRIMARY KEY (place, "when", fold)
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE heads (
        cohort TEXT NOT NULL, mark TEXT NOT NULL, stage TEXT NOT NULL, instar INTEGER NOT NULL, enclosure TEXT NOT NULL,
        count INTEGER NOT NULL CHECK (count > 0),
        PRIMARY KEY (cohort, mark, stage, instar, enclosure)
    ) STRICT, WITHOUT ROWID""",
)
_SUMS = (
    "CREATE TABLE sums (seq INTEGER PRIMARY KEY REFERENCES events (seq), sum INTEGER NOT NULL) STRICT",
    f"INSERT INTO sums (seq, sum) SELECT seq, {sums.OF_EVENT} FROM events",
    "ALTER TABLE readings ADD COLUMN sum INTEGER",
    "DROP TRIGGER IF EXISTS readings_never_change",
    f"UPDATE readings SET sum = {sums.OF_READING}",
)
_TRIGGERS = {
    "events_never_change": "BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events never change: withdraw it and add another'); END",
    "events_never_go": "BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'events never go: withdraw it'); END",
    "events_never_replaced": "BEFORE INSERT ON events WHEN EXISTS (SELECT 1 FROM events WHERE id = NEW.id OR seq = NEW.seq)"
    " BEGIN SELECT RAISE(ABORT, 'that event is known'); END",
    "readings_never_change": "BEFORE UPDATE ON readings BEGIN SELECT RAISE(ABORT, 'readings never change'); END",
    "readings_never_go": "BEFORE DELETE ON readings BEGIN SELECT RAISE(ABORT, 'readings never go'); END",
    "sums_never_change": "BEFORE UPDATE ON sums BEGIN SELECT RAISE(ABORT, 'sums never change'); END",
    "sums_never_replaced": "BEFORE INSERT ON sums WHEN EXISTS (SELECT 1 FROM sums WHERE seq = NEW.seq)"
    " BEGIN SELECT RAISE(ABORT, 'that sum is known'); END",
    "sums_never_go": "BEFORE DELETE ON sums BEGIN SELECT RAISE(ABORT, 'sums never go'); END",
}
GUARDS = {name: f"CREATE TRIGGER {name} {body}" for name, body in _TRIGGERS.items()}
MIGRATIONS = (_FIRST, _SUMS)
"""One entry for each version; an entry that was released is never edited."""
VERSION = len(MIGRATIONS)


def migrate(execute: Callable[[str], Any], version: int) -> None:
    """Bring a file of that version (0 is an empty one) up to date, inside the caller's transaction, by a connection that knows `sums`."""
    for statements in MIGRATIONS[version:]:
        for statement in statements:
            execute(statement)
    guard(execute)
    execute(f"PRAGMA application_id = {APPLICATION_ID}")
    execute(f"PRAGMA user_version = {VERSION}")


def not_as_made(execute: Callable[[str], Any]) -> list[str]:
    """Guards that are missing or were changed, and triggers of another's making, which could change what is recorded as it is written."""
    there = dict(execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall())
    return [name for name in {**there, **GUARDS} if there.get(name) != GUARDS.get(name)]


def guard(execute: Callable[[str], Any]) -> None:
    """Put the guards as they were made, inside the caller's transaction."""
    for name in not_as_made(execute):
        quoted = '"' + name.replace('"', '""') + '"'
        execute(f"DROP TRIGGER IF EXISTS {quoted}")
        if name in GUARDS:
            execute(GUARDS[name])
