"""Prints what the program takes at scale: 200,000 events of twenty seasons and a million readings, through its real import.

usage: python tests/benchmarks/scale.py [SEASONS [READINGS]]      (in an environment with pandas)

The first table is in seconds, beside a bare `executemany` of the same rows into the same strict tables with their guards (rates go by the
clock on the wall, `times` by the processor); the second is the same sums by the program, by pandas and by SQL, which must agree, in
milliseconds of the processor; the third what a warm answer takes, beside a nursery of the same animals without a past.
"""

from __future__ import annotations

import csv
import random
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple

sys.path.insert(0, str(Path(__file__).parents[2]))

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.exports.events_table import export_csv  # noqa: E402
from nurserytui.knowledge import base  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.event_rows import COLUMNS  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402
from nurserytui.records.importing import import_file  # noqa: E402
from nurserytui.records.store import Store  # noqa: E402
from tests.benchmarks.nursery import COHORTS, QUESTIONS, Row, compared, opened, small_of  # noqa: E402
from tests.benchmarks.sums import SUMS, frames, same  # noqa: E402
from tests.oracle.nurseries import LARGE_LOOKS, random_events  # noqa: E402

SHELVES = ("shelf 1", "shelf 2", "shelf 3", "shelf 4")
"""Places with loggers. No event tells their temperature."""
EVERY = timedelta(minutes=10)
MOST = 3.0
"""So many times the cost of a nursery without a past is what a warm answer may take."""


class Took(NamedTuple):
    """Seconds by the clock on the wall, and of the processor: a computer that does other things too is slow by the first alone."""

    wall: float
    processor: float


class Cost(NamedTuple):
    name: str
    took: Took
    rows: int = 0
    bare: Took | None = None
    """What the bare writing of the same rows took."""

    def __str__(self) -> str:
        rate = f"{self.rows / self.took.wall:11,.0f}/s" if self.rows else " " * 13
        bare = f"{self.rows / self.bare.wall:11,.0f}/s {self.took.processor / self.bare.processor:5.1f}" if self.bare else ""
        return f"{self.took.wall:8.2f} {self.took.processor:9.2f} {rate} {bare:20} {self.name}".rstrip()


class Same(NamedTuple):
    """Milliseconds of a sum in each of three hands, and whether pandas and SQL found what the program answered."""

    name: str
    program: float
    pandas: float
    sql: float
    agree: tuple[bool, bool]


def timed(act: Callable[..., Any], *given) -> tuple[Any, Took]:
    wall, processor = time.perf_counter(), time.process_time()
    found = act(*given)
    return found, Took(time.perf_counter() - wall, time.process_time() - processor)


def history(seed: int, seasons: int, cohorts: int, looks: float = LARGE_LOOKS) -> list[Event]:
    """A keeper's records, with the places of the loggers in them."""
    events = random_events(seed, seasons, cohorts, looks_per_day=looks)
    shelves = [Event(events[0].day, "setting", enclosure=place, detail="air=shelves", id=f"air-{place}") for place in SHELVES]
    return [*shelves, *events]


# What goes in --------------------------------------------------------------------------------------------------------------


def events_file(path: Path, events: Sequence[Event]) -> None:
    """The events as a keeper's table, written apart from the program's own export."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(COLUMNS)
        for event in events:
            cells = ["" if value is None else value for value in (getattr(event, name) for name in COLUMNS)]
            if event.estimate:
                cells[COLUMNS.index("count")] = f"~{event.count}"
            writer.writerow(cells)


def readings_file(path: Path, count: int, last: str, seed: int = 5) -> None:
    """As loggers write them, up to the day before the last one."""
    rng = random.Random(seed)
    steps = count // len(SHELVES)
    start = datetime.fromisoformat(last) - steps * EVERY
    with path.open("w", encoding="utf-8") as file:
        file.write("time,place,temperature_C\n")
        for step in range(steps):
            when = (start + step * EVERY).isoformat()
            file.writelines(f"{when},{place},{12 + 14 * rng.random():.2f}\n" for place in SHELVES)


def bare(source: Path, target: Path, table: str) -> Took:
    """What it takes to write the rows of that table again, in the order of their writing, into a nursery file that is new."""
    Store.open(target).close()
    with sqlite3.connect(source) as connection:
        order = "seq" if table == "events" else '"when", place'
        rows = connection.execute(f"SELECT * FROM {table} ORDER BY {order}").fetchall()
    connection = sqlite3.connect(target)
    connection.execute("PRAGMA foreign_keys = ON")
    sql = f"INSERT INTO {table} VALUES ({', '.join('?' * len(rows[0]))})"

    def write() -> None:
        connection.execute("BEGIN IMMEDIATE")
        connection.executemany(sql, rows)
        connection.commit()

    _, took = timed(write)
    connection.close()
    return took


# What it costs -------------------------------------------------------------------------------------------------------------


def costs(folder: Path, events: Sequence[Event], readings: int) -> Iterator[Cost]:
    """Import, opening, first answers, export; the nursery is `folder`/large.db."""
    path, table, log = folder / "large.db", folder / "events.csv", folder / "readings.csv"
    events_file(table, events)
    readings_file(log, readings, events[-1].day)
    for what, file in (("events", table), ("readings", log)):
        with Store.open(path) as store:
            report, took = timed(import_file, file, store)
        if report.faults:
            raise SystemExit(f"{file.name}: {report.faults[0]}")
        yield Cost(f"import of {report.added:,} {what}", took, report.added, bare(path, folder / f"bare-{what}.db", what))
    knowledge = base.load()
    nursery, took = timed(lambda: Nursery(Store.open(path), knowledge, moment(events)))
    yield Cost("opening, to the headcount, by a replay", took)
    yield Cost("keeping the ledger in the cache", timed(nursery.keep)[1])
    nursery.store.close()
    nursery, took = timed(lambda: Nursery(Store.open(path, from_kept=True), knowledge, moment(events)))
    yield Cost("opening again, from the ledger that is kept", took)
    for line in ("how many larvae do I have", "what needs doing today"):
        yield Cost(f"then, for the first time: {line}", timed(Assistant(nursery).reply, line)[1])
    written, took = timed(export_csv, nursery.store, folder / "export.csv")
    yield Cost("export of the events as CSV", took, written.events)
    nursery.store.close()


def moment(events: Sequence[Event]) -> datetime:
    """The morning after the last event."""
    return datetime.fromisoformat(events[-1].day) + timedelta(hours=32)


def sums(folder: Path, events: Sequence[Event]) -> tuple[list[Same], Took]:
    """Every sum in three hands, each warm and all three compared; and what pandas takes to load the tables."""
    path = folder / "large.db"
    held, loading = timed(frames, path)
    assistant = Assistant(Nursery(Store.open(path), base.load(), moment(events)))
    connection = sqlite3.connect(path)
    rows = []
    for one in SUMS:
        one.program(assistant)
        ours, program = timed(one.program, assistant)
        theirs, pandas = timed(one.pandas, held)
        plain, sql = timed(one.sql, connection)
        agree = same(ours, theirs), same(ours, plain)
        rows.append(Same(one.name, *(took.processor * 1000 for took in (program, pandas, sql)), agree))
    connection.close()
    assistant.nursery.store.close()
    return rows, loading


def warm(folder: Path, events: Sequence[Event]) -> list[tuple[Row, list[int]]]:
    """A warm answer beside that of a nursery of the same animals without a past, and how many things each of the two answers lists."""
    small = opened(folder, "small.db", small_of(events))
    large = Assistant(Nursery(Store.open(folder / "large.db"), base.load(), moment(events)))
    rows = [(row, [len(one.reply(row.question).items) for one in (small, large)]) for row in compared(small, large, QUESTIONS)]
    for one in (small, large):
        one.nursery.store.close()
    return rows


def main() -> None:
    seasons = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    readings = int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000
    events = history(7, seasons, COHORTS)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print(f"{len(events):,} events of {seasons} seasons, {readings:,} readings\n")
        print(f"{'seconds':>8} {'processor':>9} {'program':>13} {'bare':>13} {'times':>5}")
        for cost in costs(folder, events, readings):
            print(cost, flush=True)
        size = (folder / "large.db").stat().st_size
        alone = (folder / "bare-events.db").stat().st_size
        print(f"\n{size / 1e6:,.0f} MB of file, {alone / 1e6:,.0f} MB of them events ({alone / len(events):,.0f} bytes each)\n")
        rows, loading = sums(folder, events)
        print(
            f"{'program':>8} {'pandas':>8} {'SQL':>8} ms  equal   (pandas has loaded the tables before, in {loading.processor:.1f} s)"
        )
        for row in rows:
            print(f"{row.program:8.1f} {row.pandas:8.1f} {row.sql:8.1f}     {'yes' if all(row.agree) else 'NO':5}   {row.name}")
        answers = sorted(warm(folder, events), key=lambda answer: -answer[0].times)
        print(
            f"\n{len(answers)} warm answers beside those of {len(small_of(events))} events; the slowest, and all above {MOST:g} times:"
        )
        for at, (row, listed) in enumerate(answers):
            if not at or row.times > MOST:
                told = f"{row.question} (lists {listed[0]} and {listed[1]} things)"
                print(f"{row.small:8.1f} {row.large:8.1f} ms {row.times:6.1f}  {told}")
        if not all(all(row.agree) for row in rows):
            raise SystemExit("the sums do not agree")


if __name__ == "__main__":
    main()
