"""A checksum of every event and every reading, kept beside it, so that a check names the row that something else has changed.

SQLite notices a page that does not hold together; a letter changed inside a cell it cannot notice. The sum is the CRC-32 of zlib (RFC 1952,
section 8) over all cells of the row: it finds damage, it does not keep out someone who can also reckon it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from zlib import crc32


def _cells(texts: set[str], names: tuple[str, ...]) -> str:
    # Text as bytes: what is no UTF-8 any more can still be summed.
    return ", ".join(f'CAST("{name}" AS BLOB)' if name in texts else f'"{name}"' for name in names)


_NUMBERS = {"seq", "instar", "count", "estimate", "latitude", "longitude"}
_EVENT_CELLS = (
    "seq", "when", "what", "cohort", "mark", "species", "stage", "instar", "count", "estimate", "enclosure", "to", "host", "detail",
    "note", "id", "withdraws", "by", "place", "latitude", "longitude", "parent", "group", "instant", "written",
)  # fmt: skip
OF_EVENT = f"row_sum({_cells({*_EVENT_CELLS} - _NUMBERS, _EVENT_CELLS)})"
"""SQL: the sum of a row of `events`, by a connection that was taught."""
OF_READING = f"row_sum({_cells({'place', 'when'}, ('place', 'when', 'fold', 'instant', 'low', 'high'))})"
"""SQL: the sum of a row of `readings`."""


def row_sum(*cells: bytes | float | None) -> int:
    """The sum of one row, by its cells as they are stored, text as bytes."""
    return crc32(b"\x1f".join([cell if type(cell) is bytes else repr(cell).encode() for cell in cells]))


def of_reading(place: str, when: str, fold: int, instant: int, low: float, high: float) -> int:
    """The sum of one reading that is to be written: `row_sum` of its cells."""
    return crc32(f"{place}\x1f{when}\x1f{fold}\x1f{instant}\x1f{low!r}\x1f{high!r}".encode())


def teach(connection: sqlite3.Connection) -> None:
    """Let the SQL of this connection reckon sums."""
    connection.create_function("row_sum", -1, row_sum, deterministic=True)


def add(connection: sqlite3.Connection, after: int) -> None:
    """Keep the sums of the events that were written after number `after`."""
    teach(connection)
    connection.execute(f"INSERT INTO sums (seq, sum) SELECT seq, {OF_EVENT} FROM events WHERE seq > ?", (after,))


def changed_events(connection: sqlite3.Connection) -> Iterator[tuple[int, str, str, bool]]:
    """(number, id, what it now says, whether a sum was ever kept) of events that are not as they were written."""
    teach(connection)
    rows = connection.execute(
        f"""SELECT seq, CAST(id AS BLOB), CAST(what AS BLOB), CAST(cohort AS BLOB), CAST("when" AS BLOB), sum IS NOT NULL
        FROM events LEFT JOIN sums USING (seq) WHERE sum IS NOT {OF_EVENT} ORDER BY seq"""
    )
    for number, *texts, kept in rows:
        id, what, cohort, when = (shown(text) for text in texts)
        yield number, id, " ".join(part for part in (what, cohort, f"on {when}") if part), bool(kept)


def changed_readings(connection: sqlite3.Connection) -> Iterator[tuple[str, str, int]]:
    """(place, time of the first, how many) of readings that are not as they were written."""
    teach(connection)
    rows = connection.execute(
        f"""SELECT CAST(place AS BLOB), CAST(min("when") AS BLOB), count(*) FROM readings WHERE sum IS NOT {OF_READING}
        GROUP BY place ORDER BY place"""
    )
    for place, first, count in rows:
        yield shown(place), shown(first), count


def shown(raw: bytes | None) -> str:
    """Text out of a file that may be damaged, as one line that can be printed."""
    text = (raw or b"").decode("utf-8", "replace")[:80]
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)
