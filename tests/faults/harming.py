"""A nursery file cut off, or with a bit turned over, and what every command must then do: say what is wrong in plain lines, and write nothing."""

from __future__ import annotations

import asyncio
import contextlib
import io
import random
import sqlite3
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from nurserytui.cli import main
from nurserytui.records import connections
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store, StoreError
from nurserytui.tui.desk import Desk

NOW = "2031-06-10T08:00"
SAYING = ("damaged", "not a nursery", "newer version", "cannot be read", "read-only", "not as it was written", "not whole")
"""What a refused file is said to be. (A bit in the header may make it another's, newer or one that may not be written.)"""


CHANGED = ("is not as it was written", "are not as they were written", "some events are gone or stand there twice")
"""What is said of events that are not what was recorded."""


class Harm(NamedTuple):
    name: str
    do: Callable[[bytearray], None]


def nursery(path: Path) -> Path:
    """A small nursery of which every kind of page is there: tables, indices, pages that overflow, the schema."""
    with Store.open(path) as store:
        wrong = store.append(
            [
                Event("2031-06-01T10:00", "laid", "A", species="Pieris rapae", stage="egg", count=30, enclosure="jar", id="laid-a"),
                Event("2031-06-02", "found", "B", species="Vanessa atalanta", stage="larva", count=6, enclosure="tub", host="Urtica dioica", id="b"),
                *(Event(f"2031-06-0{3 + at % 5}", "note", note=f"note {at} " + "of the keeper " * (at * 7), id=f"n{at}") for at in range(60)),
                Event("2031-06-08", "hatched", "A", count=20, enclosure="jar", id="hatched-a"),
                Event("2031-06-08", "withdrawn", withdraws="n5", id="taken-back"),
            ]
        ).faults  # fmt: skip
        assert not wrong, wrong
        start = datetime(2031, 6, 1)
        store.add_readings(
            Reading(start + timedelta(hours=at), place, 20 + at % 7, 20 + at % 7) for place in ("jar", "tub") for at in range(200)
        )
    return path


def cuts(whole: bytes) -> Iterator[Harm]:
    """The file cut off in its header, at and inside of every page, and emptied."""
    lengths = {1, 15, 16, 60, 99, 100, len(whole) - 1}
    for page in range(4096, len(whole), 4096):
        lengths |= {page, page + 1, page + 2000}
    for length in sorted(length for length in lengths if length < len(whole)):
        yield Harm(f"cut off at {length} of {len(whole)}", lambda raw, length=length: raw.__delitem__(slice(length, None)))


def flips(whole: bytes, chance: random.Random, each: int) -> Iterator[Harm]:
    """A bit turned over: in every byte of the header that SQLite gives a meaning, then `each` in every page."""
    places = [(byte, chance.randrange(8)) for byte in range(72)]
    places += [
        (chance.randrange(page, page + 4096), chance.randrange(8)) for page in range(0, len(whole), 4096) for _ in range(each)
    ]
    for byte, bit in places:
        yield Harm(f"bit {bit} of byte {byte}", lambda raw, byte=byte, bit=bit: raw.__setitem__(byte, raw[byte] ^ 1 << bit))


def blocks(whole: bytes) -> Iterator[Harm]:
    """Every page but the first as it is when a disk has lost it: nothing in it, or another page in its place."""
    for page in range(4096, len(whole), 4096):
        yield Harm(
            f"page {page // 4096 + 1} is all zeros", lambda raw, page=page: raw.__setitem__(slice(page, page + 4096), bytes(4096))
        )
        yield Harm(f"page {page // 4096 + 1} is the one before it", lambda raw, page=page: raw.__setitem__(slice(page, page + 4096), raw[page - 4096 : page]))  # fmt: skip


COMMANDS = (
    ("check",), ("ask", "how many larvae"), ("ask", "note: the door squeaks"), ("export", "{}/out.csv"), ("export", "{}/out.ics"),
    ("backup", "{}/copy.db"), ("show", "board"),
)  # fmt: skip


class Said(NamedTuple):
    code: int
    out: str
    wrong: str


def said(arguments: tuple[str, ...], path: Path, now: str = NOW) -> Said:
    """What a command says, run in this process. An exception that comes out of it is a failure of the test."""
    out, wrong = io.TextIOWrapper(io.BytesIO(), "utf-8"), io.StringIO()
    connections._LOOKED_AT.clear()  # as in a program that has just begun
    filled = [one.format(path.parent) for one in arguments]
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(wrong):
        code = main([*filled, "--db", str(path), "--now", now])
        out.flush()
    return Said(code, out.buffer.getvalue().decode(), wrong.getvalue())


def opened_by_the_app(path: Path) -> str:
    """What the app would tell of the file; "" if it opens."""

    async def open_it() -> str:
        desk = Desk(path, datetime.fromisoformat(NOW))
        try:
            await desk.open()
            return ""
        except StoreError as error:
            return str(error)
        finally:
            await desk.close()

    return asyncio.run(open_it())


def found(harm: Harm, whole: bytes, folder: Path, texts: list) -> list[str]:
    """Everything that must not be once the file was harmed so; `texts` is what the whole file holds."""
    path, wrong = folder / "n.db", []

    def put() -> bytes:
        for left in (*folder.glob("n.db*"), folder / "copy.db"):  # a copy that holds other records is not written over
            left.unlink(missing_ok=True)
        raw = bytearray(whole)
        harm.do(raw)
        path.write_bytes(raw)
        return bytes(raw)

    harmed = put()
    noticed, there = False, contents(path)
    others = len(there) == 2 and there[0] != texts[0]
    for arguments in COMMANDS:
        try:
            one = said(arguments, path)
        except BaseException as error:
            wrong.append(f"{harm.name}: {' '.join(arguments)} ended by {type(error).__name__}: {error}")
            harmed = put()
            continue
        told = one.out + one.wrong if arguments == ("check",) else one.wrong
        if arguments == ("check",):
            noticed = one.code != 0
        if "Traceback" in told or "fault in answering" in told:
            wrong.append(f"{harm.name}: {' '.join(arguments)} fell: {told}")
        if one.code == 2 and (len(one.wrong.splitlines()) != 1 or not any(words in one.wrong for words in SAYING)):
            wrong.append(f"{harm.name}: {' '.join(arguments)} says {one.wrong!r}")
        if others and one.code != 2 and arguments[0] != "check" and not any(words in one.out for words in CHANGED):
            wrong.append(f"{harm.name}: the events are others, and {' '.join(arguments)} does not say so: {one.out[:200]}")
        if path.read_bytes() != harmed:
            # An append that had no cause to look at what was harmed keeps everything else.
            if one.code == 2 or arguments[0] != "ask" or not arguments[1].startswith("note"):
                wrong.append(f"{harm.name}: {' '.join(arguments)} (code {one.code}) changed the file")
            harmed = put()
    try:
        opened_by_the_app(path)
    except Exception as error:
        wrong.append(f"{harm.name}: the app ended by {type(error).__name__}: {error}")
    put()
    if not noticed and contents(path) != texts:
        wrong.append(f"{harm.name}: the records are others, and the check does not say so")
    return wrong


def contents(path: Path) -> list:
    """Every cell that is recorded in a file."""
    connection = sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)
    connection.text_factory = bytes
    try:
        return [connection.execute(f"SELECT * FROM {table} ORDER BY 1, 2, 3").fetchall() for table in ("events", "readings")]
    except (sqlite3.Error, UnicodeDecodeError):
        return ["cannot be read"]
    finally:
        connection.close()
