"""Logger readings as CSV, as an import of readings takes them."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from nurserytui.exports.events_table import BUFFER, escaped
from nurserytui.records import moments
from nurserytui.records.progress import Progress, told
from nurserytui.records.streaming import LoggedRow, Snapshot, snapshot

HEADER = ("time", "place", "temperature_C")


class Counts(NamedTuple):
    written: int
    ranges: int
    """Readings of a lowest and a highest temperature, which one column cannot hold: they are not in the table."""


def export_readings(store, path: str | Path, progress: Progress | None = None) -> Counts:
    """Write every reading that is one temperature. Times are local wall times; the second round of autumn's hour carries its offset."""
    ranges = 0
    with snapshot(store) as records, open(path, "w", BUFFER, encoding="utf-8", newline="") as file:
        where = moments.zone(records.timezone())
        writer = csv.writer(file, lineterminator="\r\n")
        writer.writerow(HEADER)
        for row, time in timed(records, where, progress):
            if row.low == row.high:
                writer.writerow((time, escaped(row.place), row.low))
            else:
                ranges += 1
        return Counts(records.readings_number - ranges, ranges)


def timed(records: Snapshot, where, progress: Progress | None) -> Iterator[tuple[LoggedRow, str]]:
    """The readings, each with its time as a reader can tell it. Where an hour comes twice, its second round follows the first whole, as a
    logger writes it, and has its offset from universal time."""
    second: list[LoggedRow] = []
    for row in told(progress, records.readings(), records.readings_number, "readings written"):
        if second and not (row.fold or _of_the_hour(row, second[0], where)):
            yield from _with_offset(second, where)
            second = []
        if row.fold:
            second.append(row)
        else:
            yield row, row.when
    yield from _with_offset(second, where)


def _of_the_hour(row: LoggedRow, other: LoggedRow, where) -> bool:
    same_day = row.place == other.place and row.when[:10] == other.when[:10]
    return same_day and moments.comes_twice(datetime.fromisoformat(row.when), where)


def _with_offset(rows: list[LoggedRow], where) -> Iterator[tuple[LoggedRow, str]]:
    for row in rows:
        yield row, datetime.fromisoformat(row.when).replace(fold=1, tzinfo=where).astimezone(where).isoformat()
