"""The tables of a nursery file and how an older file becomes a newer one.

Events and readings are append-only: triggers refuse every change, also a REPLACE by a connection that does not fire delete
triggers. `heads` is what the events add up to, kept beside them so that a check can compare the two.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

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
TRIGGERS = {
    "events_never_change": "BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events never change: withdraw it and add another'); END",
    "events_never_go": "BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'events never go: withdraw it'); END",
    "events_never_replaced": "BEFORE INSERT ON events WHEN EXISTS (SELECT 1 FROM events WHERE id = NEW.id OR seq = NEW.seq)"
    " BEGIN SELECT RAISE(ABORT, 'that event is known'); END",
    "readings_never_change": "BEFORE UPDATE ON readings BEGIN SELECT RAISE(ABORT, 'readings never change'); END",
    "readings_never_go": "BEFORE DELETE ON readings BEGIN SELECT RAISE(ABORT, 'readings never go'); END",
}
MIGRATIONS = (_FIRST,)
"""One entry for each version; an entry that was released is never edited."""
VERSION = len(MIGRATIONS)


def migrate(execute: Callable[[str], Any], version: int) -> None:
    """Bring a file of that version (0 is an empty one) up to date, inside the caller's transaction."""
    for statements in MIGRATIONS[version:]:
        for statement in statements:
            execute(statement)
    for name, body in TRIGGERS.items():
        execute(f"CREATE TRIGGER IF NOT EXISTS {name} {body}")
    execute(f"PRAGMA application_id = {APPLICATION_ID}")
    execute(f"PRAGMA user_version = {VERSION}")
