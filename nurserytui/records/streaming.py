"""Everything in a nursery's file, row by row and as it stood at one moment: memory does not grow with the years."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple

from nurserytui.records.errors import damaged, translated
from nurserytui.records.events import Event
from nurserytui.records.order import in_order, standing
from nurserytui.records.settings import Settings

_COLUMNS = ", ".join("coalesce(withdraws, '')" if name == "withdraws" else f'"{name}"' for name in Event._fields)
_ESTIMATE = Event._fields.index("estimate")


class LoggedRow(NamedTuple):
    """A logger's reading as the file holds it. `fold` 1 is the second round of autumn's repeated hour."""

    place: str
    when: str
    """Local wall time, ISO 8601."""
    fold: int
    low: float
    high: float


@contextmanager
def snapshot(store) -> Iterator[Snapshot]:
    """The file as it stands now, whatever is written to it meanwhile. StoreError if it cannot be read."""
    connection = store._connection()
    own = not connection.in_transaction
    try:
        if own:
            connection.execute("BEGIN")
        yield Snapshot(connection)
    except sqlite3.Error as error:
        raise translated(error, store.name) from None
    except UnicodeDecodeError:
        raise damaged(store.name, "a text in it is not UTF-8") from None
    finally:
        if own and connection.in_transaction:
            connection.rollback()


class Snapshot:
    """What can be read of a file within `snapshot`."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self.events_number: int = self._one("SELECT count(*) FROM events")
        self.readings_number: int = self._one("SELECT count(*) FROM readings")

    def _one(self, sql: str):
        return self._connection.execute(sql).fetchone()[0]

    def timezone(self) -> str:
        """The time zone that the records say the nursery lies in; "" if they do not say."""
        telling = list(self.events(("setting", "withdrawn")))
        return Settings.of(in_order(standing(telling))).timezone

    def events(self, whats: tuple[str, ...] = ()) -> Iterator[Event]:
        """Every event (of those kinds, if any are named) in the order in which it was recorded, withdrawn ones and withdrawals included."""
        make, at = tuple.__new__, _ESTIMATE
        where = f"WHERE what IN ({', '.join('?' * len(whats))})" if whats else ""
        for row in self._connection.execute(f"SELECT {_COLUMNS} FROM events {where} ORDER BY seq", whats):
            yield make(Event, (*row[:at], row[at] == 1, *row[at + 1 :]))

    def readings(self) -> Iterator[LoggedRow]:
        """Every logger reading by place, oldest first; of a moment that came twice the first round first."""
        make = tuple.__new__
        for row in self._connection.execute('SELECT place, "when", fold, low, high FROM readings ORDER BY place, "when", fold'):
            yield make(LoggedRow, row)
