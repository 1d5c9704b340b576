"""The nursery file: events and readings in SQLite, append-only, safe to use from several programs at once.

Rows are read and written by the standard library alone, so that a single question or record starts fast and very many rows
are written as fast as SQLite takes them, in one `BEGIN IMMEDIATE` transaction for each call. sqlite-utils makes the tables
(`records.connections`) and says what they look like (`records.checking`).
"""

from __future__ import annotations

import sqlite3
from _thread import get_ident
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from itertools import repeat
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, NamedTuple

from nurserytui.records import as_written, connections, schema, sums
from nurserytui.records.errors import (
    Damaged,
    Gone,
    Locked,
    Newer,
    NotOurs,
    Overtaken,
    ReadOnly,
    StoreError,
    damaged,
    has_backups,
    missing,
    translated,
    way_back,
)
from nurserytui.records.events import Event
from nurserytui.records.growth import Known, go_on_from
from nurserytui.records.lazily import Lazily
from nurserytui.records.ledger import Fault, Key, Ledger, Posting, replay
from nurserytui.records.progress import Progress, told
from nurserytui.records.readings import Reading
from nurserytui.records.uncollected import uncollected

if TYPE_CHECKING:
    from nurserytui.records.kept_ledger import Kept
    from nurserytui.records.settings import Settings

__all__ = ["Damaged", "Gone", "Locked", "Newer", "NotOurs", "Overtaken", "ReadOnly", "Store", "StoreError", "Written"]

_COLUMNS = ", ".join("coalesce(withdraws, '')" if name == "withdraws" else f'"{name}"' for name in Event._fields)
_ID = Event._fields.index("id")
_WIDTH = len(Event._fields)
_PLAIN = Event("", "")
_ESTIMATE = Event._fields.index("estimate")
_KINDS = tuple(
    {str} if isinstance(value, str) else {float, int, type(None)} if name.endswith("tude") else {int, type(value)}
    for name, value in zip(Event._fields, Event("", "")._replace(estimate=0))
)
"""What the columns of `events` hold. In a damaged file SQLite may give something else, without a word."""
_ADD_EVENT = "INSERT INTO events ({}, instant, written) VALUES ({}, ?, ?)".format(
    ", ".join(f'"{name}"' for name in Event._fields),
    ", ".join("nullif(?, '')" if name == "withdraws" else "?" for name in Event._fields),
)
_ADD_READING = 'INSERT OR IGNORE INTO readings (place, "when", fold, instant, low, high, sum) VALUES (?, ?, ?, ?, ?, ?, ?)'
_DROP_HEAD = "DELETE FROM heads WHERE cohort = ? AND mark = ? AND stage = ? AND instar = ? AND enclosure = ?"
_ADD_HEAD = "INSERT INTO heads (cohort, mark, stage, instar, enclosure, count) VALUES (?, ?, ?, ?, ?, ?)"

_PLACES = """WITH RECURSIVE places(place) AS (
    SELECT MIN(place) FROM readings
    UNION ALL SELECT (SELECT MIN(place) FROM readings WHERE place > places.place) FROM places WHERE places.place IS NOT NULL
)"""
"""From each place straight to the next one, whatever number of readings lies between them."""


class Written(NamedTuple):
    """What came of an `append`: the events as they stand in the records, or the faults that kept all of them out."""

    events: tuple[Event, ...]
    faults: tuple[Fault, ...]
    postings: tuple[Posting, ...] = ()
    """The animals that the events moved, for reading them back."""
    readings: int = 0
    """How many of the readings that came with them were new."""


class Store:
    """A nursery file. Use it as a context manager; one Store may be used from several threads."""

    def __init__(
        self, path: Path | None, memory: sqlite3.Connection | None = None, *, read_only: bool = False, from_kept: bool = False
    ) -> None:
        self.path = path
        self._from_kept = from_kept
        self._memory = memory
        self._read_only = read_only
        self._open: dict[int, tuple[sqlite3.Connection, bool]] = {}
        self._ready: set[int] = set()
        self._file: tuple[int, int] | None = None
        self._added = 0
        self._reading = Lock()
        self._read: list[Event] | Lazily[Event] = []
        self._seq = 0
        self._changed: list[str] = []
        self._unlike = False
        self._size = 0
        self._overwritten = False
        self._kept: Kept | None = None
        self._known: Known | None = None

    @classmethod
    def open(cls, path: str | Path, *, create: bool = True, read_only: bool = False, from_kept: bool = False) -> Store:
        """Open a nursery file; one that does not exist yet is created, unless it may not be. StoreError if that cannot be.

        `from_kept`: where a ledger of its first events is kept in the cache (`records.keeping`), they are taken from there.
        """
        path = Path(path)
        try:
            fresh = not path.exists() or (path.is_file() and path.stat().st_size == 0)
        except OSError as error:
            raise StoreError(f"{path} cannot be read: {error.strerror}") from None
        if fresh:
            empty = path.exists()
            if empty and (not create or read_only or has_backups(path)):
                raise damaged(path, "the file is empty")
            if read_only or not create or has_backups(path):
                raise missing(path)
            connections.create(path)
        store = cls(path, read_only=read_only, from_kept=from_kept)
        store._file = _identity(path)
        store._size = store._least_size(store._connection())
        return store

    @classmethod
    def memory(cls, path: str | Path | None = None) -> Store:
        """A nursery that lives in memory only: empty, or a private copy of the file, which stays as it is."""
        return cls(Path(path) if path else None, connections.in_memory(Path(path) if path else None))

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        for connection, _ in self._open.values():
            connection.close()
        self._open.clear()
        if self._memory is not None:
            self._memory.close()

    @property
    def name(self) -> str:
        return str(self.path) if self.path else "the nursery in memory"

    @property
    def file(self) -> tuple[int, int] | None:
        """Which file was opened; None for one in memory."""
        return self._file

    def moved(self) -> str:
        """What became of the file while it was open: "" nothing, `gone`, `replaced` by another of its name, or `overwritten` in place."""
        if self._file is None:
            return ""
        try:
            there = self.path.stat()
        except OSError:
            return "gone"
        if (there.st_dev, there.st_ino) != self._file:
            return "replaced"
        return "overwritten" if self._overwritten or there.st_size < self._size else ""

    def _least_size(self, connection: sqlite3.Connection) -> int:
        """Bytes that the file has for good: what SQLite counts may still stand in the write-ahead file, what is there may be taken back."""
        pages = connection.execute("PRAGMA page_count").fetchone()[0] * connection.execute("PRAGMA page_size").fetchone()[0]
        return min(pages, self.path.stat().st_size)

    def cautions(self) -> tuple[str, ...]:
        """What a keeper is to know before anything that is told of these records, one sentence each: of the file, and of events read so far."""
        became, changed = self.moved(), as_written.told(self._changed, self._unlike)
        found = [f"{_became(became, self.path)}. What is told is what was read before"] if became else []
        return (*found, changed) if changed else (*found,)

    # Reading -----------------------------------------------------------------------------------------------------------

    def events(self) -> list[Event] | Lazily[Event]:
        """Every event in the order in which it was recorded, withdrawn ones and withdrawals included."""
        with self._reading:
            if not self._read and self._from_kept:
                self._begin()
            rows = self._rows(f"SELECT {_COLUMNS}, {as_written.MORE}, seq FROM events WHERE seq >= ? ORDER BY seq", (self._seq,))
            if self._read and (not rows or rows[0][_ID] != self._read[-1].id):
                # Events are never taken away: something else has written over them.
                self._overwritten = self._file is not None
                self._read, self._seq, self._kept, self._changed, self._unlike = [], 0, None, [], False
                rows = self._rows(f"SELECT {_COLUMNS}, {as_written.MORE}, seq FROM events ORDER BY seq")
            fresh = rows[1:] if self._read else rows
            if not all(kinds.issuperset(map(type, column)) for kinds, column in zip(_KINDS, zip(*fresh))):
                raise damaged(self.name, "a field in it holds something else than it should")
            if fresh:
                kept = self._sums(fresh[0][-1])
                self._changed += as_written.changed(fresh, kept)
                self._unlike |= as_written.unlike([row[-1] for row in fresh], kept, self._seq + 1)
            self._read.extend(_event(row) for row in fresh)
            if rows:
                self._seq = rows[-1][-1]
            return self._read.copy()

    def changed(self, *, with_readings: bool = False) -> str:
        """Which events of the whole file, or else how many readings, are not as they were written, also those that were taken from what is
        kept; "" if all are."""
        connection = self._connection()
        try:
            # Row by row: of very many events no list is held.
            numbers = connection.execute("SELECT seq FROM events NOT INDEXED ORDER BY seq")
            unlike = any(number != expected for expected, (number,) in enumerate(numbers, 1))
            events, summed = connection.execute("SELECT count(*), (SELECT max(seq) FROM sums) FROM events NOT INDEXED").fetchone()
            ids = [id for _, id, *_ in sums.changed_events(connection)]
            if told_of := as_written.told(ids, unlike or (summed or 0) > events):
                return told_of
            readings = sum(count for *_, count in sums.changed_readings(connection)) if with_readings else 0
            return as_written.readings_told(readings)
        except sqlite3.Error as error:
            raise translated(error, self.name) from None

    def _sums(self, since: int) -> dict[int, int]:
        """Number -> sum of the events from that number on; those that cannot be read are left out."""
        try:
            return dict(self._rows("SELECT seq, sum FROM sums WHERE seq >= ?", (since,)))
        except StoreError:
            return {}

    def _begin(self) -> None:
        """Begin with the events of the ledger that is kept, if there is one."""
        from nurserytui.records import keeping

        self._kept = keeping.found(self)
        if self._kept is not None:
            self._read, self._seq = Lazily(self._kept.recorded), self._kept.count

    @property
    def kept(self) -> Kept | None:
        """The ledger that is kept of the file's first events; for `records.keeping`."""
        return self._kept

    @kept.setter
    def kept(self, kept: Kept) -> None:
        self._kept = kept

    def withdrawn(self) -> set[str]:
        """The ids of the events that never happened, whenever they were taken back."""
        rows = self._rows("SELECT id, withdraws FROM events WHERE what = 'withdrawn' AND withdraws <> '' ORDER BY seq DESC")
        gone: set[str] = set()
        for id, withdraws in rows:
            if id not in gone:
                gone.add(withdraws)
        return gone

    def told_as(self, which: str) -> list[Event]:
        """The events that were recorded in that group, or the one of that id; none for ""."""
        rows = self._rows(f"SELECT {_COLUMNS}, seq FROM events WHERE ?1 IN (\"group\", id) AND ?1 <> '' ORDER BY seq", (which,))
        return [_event(row) for row in rows]

    def numbered(self, numbers: Sequence[int]) -> tuple[tuple[int, int], list[tuple[int, Event, str]]]:
        """(how many events there are, the last one's number), and of those numbers: (number, event, when it was written)."""
        count, last = self._rows("SELECT count(*), max(seq) FROM events")[0]
        wanted = ", ".join("?" * len(numbers))
        rows = self._rows(f"SELECT {_COLUMNS}, written, seq FROM events WHERE seq IN ({wanted}) ORDER BY seq", numbers)
        return (count, last or 0), [(row[-1], _event(row[:-1]), row[-2]) for row in rows]

    def readings(self, place: str | None = None, since: datetime | None = None, until: datetime | None = None) -> list[Reading]:
        """Logger readings, oldest first (of each place), from `since` to `until`, both included. Local wall time, °C."""
        wanted, values = [], []
        for text, value in (
            ("place = ?", place),
            ('"when" >= ?', since and since.isoformat(timespec="seconds")),
            ('"when" <= ?', until and until.isoformat(timespec="seconds")),
        ):
            if value is not None:
                wanted.append(text)
                values.append(value)
        where = f"WHERE {' AND '.join(wanted)}" if wanted else ""
        with uncollected():
            rows = self._rows(f'SELECT place, "when", low, high FROM readings {where} ORDER BY place, "when", fold', values)
            # Hundreds of thousands of them: no line of Python for each.
            places, whens, lows, highs = zip(*rows, strict=True) if rows else ((),) * 4
            fields = zip(map(datetime.fromisoformat, whens), places, lows, highs, repeat(False))
            return list(map(tuple.__new__, repeat(Reading), fields))

    def reading_places(self) -> list[str]:
        """The places of which there are readings."""
        return [place for (place,) in self._rows(f"{_PLACES} SELECT place FROM places WHERE place IS NOT NULL")]

    def enclosure_names(self) -> list[str]:
        """The enclosures that the events name, each once, as written; those by whose air they go too."""
        told = self._rows("""SELECT enclosure FROM events UNION SELECT "to" FROM events WHERE what = 'moved' ORDER BY 1""")
        return [name for (name,) in told if name]

    def first_reading(self) -> str:
        """The local time of the oldest reading, as text; "" without any."""
        first = f'{_PLACES} SELECT MIN((SELECT MIN("when") FROM readings WHERE place = places.place)) FROM places'
        return self._rows(first)[0][0] or ""

    def last_reading(self, place: str) -> str:
        """The local time of the newest reading of a place, as text; "" without any."""
        return self._rows('SELECT MAX("when") FROM readings WHERE place = ?', (place,))[0][0] or ""

    def stamp(self) -> tuple[int, int]:
        """Changes whenever this store or another program has written to the file since this thread last asked."""
        connection = self._connection()
        return self._rows("PRAGMA data_version")[0][0], connection.total_changes

    def readings_stamp(self) -> tuple[int, int]:
        """Changes whenever readings may have been added: by this store, or by another program (which may have written anything)."""
        return self._rows("PRAGMA data_version")[0][0], self._added

    def settings(self) -> Settings:
        """How the records say that the nursery is set up, whatever the moment."""
        from nurserytui.records.order import in_order, standing
        from nurserytui.records.settings import Settings

        telling = self._rows(f"SELECT {_COLUMNS}, seq FROM events WHERE what IN ('setting', 'withdrawn') ORDER BY seq")
        return Settings.of(in_order(standing([_event(row) for row in telling])))

    def timezone(self) -> str:
        """The time zone that the records say the nursery lies in; "" if they do not say."""
        return self.settings().timezone

    def heads(self) -> dict[Key, int]:
        """The headcount as it was kept beside the events at the last write (of all events, whatever their date)."""
        rows = self._rows("SELECT cohort, mark, stage, instar, enclosure, count FROM heads")
        return {Key(row[0], row[1], row[2], row[3] or None, row[4]): row[5] for row in rows}

    def _rows(self, sql: str, values: Sequence[object] = ()) -> list[tuple]:
        try:
            return self._connection().execute(sql, values).fetchall()
        except sqlite3.Error as error:
            raise translated(error, self.name) from None
        except UnicodeDecodeError:  # sqlite3's own, where its message would hold the broken text
            raise damaged(self.name, "a text in it is not UTF-8") from None

    def _connection(self) -> sqlite3.Connection:
        """This thread's connection."""
        if self._memory is not None:
            return self._memory
        thread = get_ident()
        if thread not in self._open:
            self._open[thread] = connections.open_existing(self.path, read_only=self._read_only)
            try:
                self._upgrade(*self._open[thread])
            except BaseException:
                self._open.pop(thread)[0].close()
                raise
        return self._open[thread][0]

    def _upgrade(self, connection: sqlite3.Connection, writable: bool) -> None:
        """Bring a file of an older version up to date, after it was copied; one that may not be written is read as it would then be."""
        if connections.version_of(connection) == schema.VERSION:
            return
        if not writable:
            self._open[get_ident()] = connections.in_memory(self.path), False
            connection.close()
            return
        from nurserytui.records.backups.by_itself import before_migration

        with self._writing() as connection:
            # Another program may have done it while this one waited for the lock.
            if connections.version_of(connection) < schema.VERSION:
                before_migration(self.path)
                connections.upgrade(connection, connections.version_of(connection))

    # Writing -----------------------------------------------------------------------------------------------------------

    def append(
        self,
        events: Iterable[Event],
        progress: Progress | None = None,
        readings: Iterable[Reading] = (),
        *,
        merged: bool = False,
        after: Sequence[Event] | None = None,
    ) -> Written:
        """Write the events, all or none; the faults say why not. Ids and groups are given here.

        Cohort, stage and enclosure are filled in where only one fits. Known events stay as they are: an id that is on record
        is a fault. `readings` come in with them, each with its own `fold`, or are left with them. `merged` lets an event be withdrawn that
        another keeper has withdrawn. `after` are the events on record that they were thought out on: Overtaken if there are others by now.
        `progress` is told how far it is, and may raise `Stopped`: then nothing is written.
        """
        from nurserytui.records.admitting import admit
        from nurserytui.records.identity import with_ids
        from nurserytui.records.settings import Settings

        events, added = _stripped(list(events)), 0
        if not events and not readings:
            return Written((), ())
        with uncollected(), self._writing() as connection:
            if after is not None and not _alike(self.events(), after):
                raise Overtaken(f"something else was recorded in {self.name} meanwhile; nothing was recorded, try again")
            known, self._known = self._known_now(progress), None
            admission = admit(known, with_ids(events, known.ids), progress, merged=merged)
            if not admission.faults:
                self._insert(connection, admission, progress)
                if readings:
                    zone = Settings.of(admission.ledger.settings()).timezone
                    added = _insert_readings(connection, _reading_rows(readings, zone, exact=True))
        if admission.faults:
            return Written((), admission.faults)
        self._known = known.with_new(admission.events, admission.ledger)
        self._added += added
        return Written(admission.events, (), admission.postings, added)

    def _known_now(self, progress: Progress | None) -> Known:
        """What is on record, with its ledger: the one of the last write, if nobody has written since."""
        events, kept = self.events(), self._known
        if kept is not None and _alike(kept.events, events):
            return kept
        return self._anew(events, progress)

    def _anew(self, events, progress: Progress | None) -> Known:
        from nurserytui.records import keeping

        ledger = keeping.taken_up(self, events, None, progress)
        kept = self._kept if ledger is not None else None

        def anew(events: Sequence[Event], progress: Progress | None = None) -> Ledger:
            return (kept and go_on_from(kept, events, None, progress)) or replay(events, progress=progress)

        ids = {event.id for event in events} if self._kept is None else _OnRecord(self)
        return Known(events, ledger or anew(events, progress), ids, anew, self.withdrawn)

    def _insert(self, connection: sqlite3.Connection, admission, progress: Progress | None) -> None:
        from nurserytui.records import moments
        from nurserytui.records.settings import Settings

        where = moments.zone(Settings.of(admission.ledger.settings()).timezone)
        last = connection.execute("SELECT coalesce(max(seq), 0) FROM events").fetchone()[0]
        written, instants = moments.now_utc(), moments.Instants(where)
        events = told(progress, admission.events, len(admission.events), "events written")
        connection.executemany(_ADD_EVENT, ((*event, instants[event.when], written) for event in events))
        sums.add(connection, last)
        self.replace_heads(connection, admission.ledger.heads)

    def replace_heads(self, connection: sqlite3.Connection, after: dict[Key, int]) -> None:
        """Have the headcount beside the events be this one, inside the caller's transaction."""
        before = self.heads()
        connection.executemany(_DROP_HEAD, [_head(key) for key in before if after.get(key) != before[key]])
        connection.executemany(_ADD_HEAD, [(*_head(key), count) for key, count in after.items() if before.get(key) != count])

    def add_readings(self, readings: Iterable[Reading], progress: Progress | None = None) -> int:
        """Write readings, all or none; how many were new. A moment of a place that has a reading keeps the one it has.

        They may come as they are read: an exception on the way takes all of them back.
        """
        rows = _reading_rows(told(progress, readings, len(readings) if progress else 0, "rows written"), self.timezone())
        with uncollected(), self._writing() as connection:
            added = _insert_readings(connection, rows)
        self._added += added
        return added

    @contextmanager
    def held(self) -> Iterator[None]:
        """Nobody else writes meanwhile: what is read is what is on record when it is written. All that is written is kept in the end, or
        none of it on any error."""
        with self._writing():
            yield

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """A connection inside one write transaction: committed at the end, rolled back on any error. Inside of another, an error takes
        back what was written in the inner one.

        `BEGIN IMMEDIATE` takes the write lock first: a transaction that starts by reading is refused at once when another
        program has written meanwhile.
        """
        connection = self._connection()
        if connection.in_transaction:
            yield from self._within(connection)
            return
        if self._memory is None and not self._open[get_ident()][1]:
            raise ReadOnly(f"{self.name} cannot be written: the file or its folder is read-only")
        if moved := self.moved():
            # What is written to the file that was opened would be lost with it.
            raise Gone(_became(moved, self.path))
        first, before = self._memory is None and get_ident() not in self._ready, connection.total_changes
        try:
            if first:
                connections.ready_to_write(connection, self.name)
            connection.execute("PRAGMA query_only = OFF")
            connection.execute("BEGIN IMMEDIATE")
            if first and connections.version_of(connection) == schema.VERSION:
                schema.guard(connection.execute)
                self._ready.add(get_ident())
            if self._memory is None:
                self._size = self._least_size(connection)
            yield connection
            connection.commit()
        except sqlite3.Error as error:
            raise translated(error, self.name) from None
        finally:
            if connection.in_transaction:
                connection.rollback()
                if connection.total_changes != before:
                    self._read, self._seq, self._kept, self._changed, self._unlike = (
                        [],
                        0,
                        None,
                        [],
                        False,
                    )  # some of it may have been taken back
            connection.execute("PRAGMA query_only = ON")

    def _within(self, connection: sqlite3.Connection) -> Iterator[sqlite3.Connection]:
        connection.execute("SAVEPOINT inner")
        try:
            yield connection
        except BaseException as error:
            if connection.in_transaction:  # which SQLite itself may have ended
                connection.execute("ROLLBACK TO inner")
            if isinstance(error, sqlite3.Error):
                raise translated(error, self.name) from None
            raise
        finally:
            if connection.in_transaction:
                connection.execute("RELEASE inner")


def _alike(some: Sequence[Event], others: Sequence[Event]) -> bool:
    """Whether the two are the same events on record, which only ever become more."""
    return len(some) == len(others) and (not some or some[-1].id == others[-1].id)


def _identity(path: Path) -> tuple[int, int] | None:
    """Which file stands at that path; None if none does."""
    try:
        there = path.stat()
    except OSError:
        return None
    return there.st_dev, there.st_ino


def _became(moved: str, path: Path) -> str:
    """What `Store.moved` found, and what to do about it."""
    if moved == "gone":
        return f"{path} is not there any more: put it back in its place, or close this and restore a backup of it"
    if moved == "replaced":
        return f"{path} was replaced by another file while it was open: close this and open it again to go on with that one"
    return f"{path} was overwritten or cut off while it was open: close this. {way_back(path)}"


def _stripped(events: list[Event]) -> list[Event]:
    """The events without spaces around their texts. Column by column: of many events few texts differ."""
    texts = [[*set(column)] for column, plain in zip(zip(*events), _PLAIN) if isinstance(plain, str)]
    if all([*map(str.strip, column)] == column for column in texts):
        return events
    return [event._make(value.strip() if isinstance(value, str) else value for value in event) for event in events]


def _event(row: tuple) -> Event:
    """The event of a row of `_COLUMNS` and whatever more."""
    return Event(*row[:_ESTIMATE], row[_ESTIMATE] == 1, *row[_ESTIMATE + 1 : _WIDTH])


class _OnRecord:
    """The ids on record: a few are asked of the file, which is less than reading very many."""

    FEW = 1_000

    def __init__(self, store: Store) -> None:
        self._store, self._asked = store, 0
        self._all: set[str] = set()

    def __contains__(self, id: object) -> bool:
        self._asked += 1
        if self._asked < self.FEW:
            return bool(self._store._rows("SELECT 1 FROM events WHERE id = ?", (id,)))
        if not self._all:
            self._all = {event.id for event in self._store.events()}
        return id in self._all

    def update(self, ids: Iterable[str]) -> None:
        """Those were written since."""
        if self._all:
            self._all.update(ids)


def _head(key: Key) -> tuple:
    return (key.cohort, key.mark, key.stage, key.instar or 0, key.enclosure)


def _insert_readings(connection: sqlite3.Connection, rows: Iterable[tuple]) -> int:
    """How many were new."""
    before = connection.total_changes
    connection.executemany(_ADD_READING, rows)
    return connection.total_changes - before


def _reading_rows(readings: Iterable[Reading], zone_name: str, *, exact: bool = False) -> Iterator[tuple]:
    """Rows of the table. The hour that comes twice in autumn is told apart by the order of the readings: the second is fold 1; `exact`
    readings have their fold."""
    from nurserytui.records import moments

    where = moments.zone(zone_name)
    there = where or moments.UTC
    last: dict[str, tuple[datetime, int]] = {}
    for when, place, low, high, _ in readings:
        fold = when.fold
        before = last.get(place)
        if before is not None and not fold and not exact and (before[1] or before[0] >= when):
            fold = int(moments.comes_twice(when, where))
        last[place] = when, fold
        moment = when.replace(tzinfo=there, fold=fold) if fold else when.replace(tzinfo=there)
        row = place, when.isoformat("T", "seconds"), fold, int(moment.timestamp()), low + 0.0, high + 0.0
        yield *row, sums.of_reading(*row)
