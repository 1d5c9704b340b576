"""Hostile files: good ones broken by chance, bytes that are no file, tables in every dress, databases and knowledge with holes."""

from __future__ import annotations

import csv
import io
import tempfile
from functools import cache
from pathlib import Path
from random import Random

from fuzzing import lines

ROOT = Path(__file__).resolve().parents[2]
CELLS = (
    "", "0", "-1", "1e9", "nan", "inf", "-inf", "9" * 30, "0x10", "1_000", "1,5", "1.000", "٣", "½", "~", "~0", "~80", "2026-02-30", "2026-06-01",
    "2026-06-01T25:00", "2026-06-01T10:00+99:00", "2026-06-01T10:00Z", "0000-00-00", "9999-12-31T23:59", "0001-01-01T00:00+14:00", "31/12/2026",
    "1/2/3", "45000", "46190.5", "egg", "larva", "EGG", "adult", "Danaus plexippus", "unknown", "B", "B4", "b", "jar 2", "JAR 2", "withdrawn", "found",
    "laid", "setting", "temperature", "volume=40 L", "volume=nan L", "air=", "timezone=Nowhere/Town", "timezone=../../etc/passwd", "latitude=1e9",
    "dates=", "units=K", "backups=", "backups=99999999999", "24 C", "-999 F", "9..1 C", "1e400", "=1+1", "'=1+1", "@x", "\u202e", "\ud800", "\0",
    "\x1b[2J", "x" * 5000, '"', '""', "'", ",", ";", "\t", "\n", "\r\n", "é\u0301", " ", "\u00a0", "null", "true", "[]", "{}", "row-1", "-",
)  # fmt: skip
"""Cells of a table: numbers, dates, words and settings that are just right, just wrong, or far off."""
HEADERS = (
    "when,what,cohort,count", "time,place,temperature_C", "time,place,temperature,unit", "when;what;cohort", "when\twhat", "what", "when,what,when",
    ",,,", "when,what,", "time,place,temperature_K", "temperature", "{", '{"nursery": {"version": 1}}', '{"event": 3}', "\ufeffwhen,what", "",
)  # fmt: skip


@cache
def table() -> list[list[str]]:
    """The first rows of the demo nursery's events."""
    with open(ROOT / "demo_db" / "events.csv", encoding="utf-8", newline="") as file:
        return list(csv.reader(file))[:40]


@cache
def readings() -> list[list[str]]:
    with open(ROOT / "demo_db" / "readings.csv", encoding="utf-8", newline="") as file:
        return list(csv.reader(file))[:60]


@cache
def json_lines() -> bytes:
    """The demo nursery as JSON Lines."""
    from nurserytui.exports.export import export_records
    from nurserytui.records.store import Store

    with tempfile.TemporaryDirectory() as folder, Store.memory(ROOT / "demo_db" / "demo.db") as store:
        path = Path(folder) / "all.jsonl"
        export_records(store, path, "jsonl")
        return b"".join(path.read_bytes().splitlines(keepends=True)[:60])


@cache
def database() -> bytes:
    return (ROOT / "demo_db" / "demo.db").read_bytes()


def cell(chance: Random) -> str:
    return chance.choice(CELLS) if chance.random() < 0.7 else lines.noise(chance, 12)


def dressed(rows: list[list[str]], chance: Random) -> bytes:
    """Rows as a file with separators, quotes, line ends and an encoding of some kind."""
    text = io.StringIO(newline="")
    try:
        csv.writer(
            text,
            delimiter=chance.choice(",,,,;\t|"),
            quoting=chance.choice((csv.QUOTE_MINIMAL, csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONE)),
            escapechar="\\",
            quotechar=chance.choice('""""\''),
            lineterminator=chance.choice(("\n", "\r\n", "\r", "\n\n")),
        ).writerows(rows)
    except csv.Error:
        text.write("\n".join(map(",".join, rows)))
    encoding = chance.choice(
        ("utf-8", "utf-8", "utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-32", "cp1252", "latin-1", "shift-jis")
    )
    return text.getvalue().encode(encoding, chance.choice(("replace", "ignore", "backslashreplace")))


def mangled_rows(rows: list[list[str]], chance: Random) -> list[list[str]]:
    """A table with cells, rows and columns changed, moved, doubled or gone."""
    rows = [[*row] for row in chance.sample(rows[1:], min(len(rows) - 1, chance.randint(1, 12)))]
    return_head = [*table()[0]] if len(rows[0]) == len(table()[0]) else [*readings()[0]]
    rows.insert(0, return_head)
    for _ in range(chance.randint(0, 4)):
        row = chance.choice(rows)
        at = chance.randrange(len(row) or 1)
        match chance.randrange(7):
            case 0 | 1 | 2:
                row[at : at + 1] = [cell(chance)]
            case 3:
                row.insert(at, cell(chance))
            case 4:
                del row[at:]
            case 5:
                rows.insert(chance.randrange(len(rows) + 1), [*chance.choice(rows)])
            case 6:
                for each in rows:
                    del each[at : at + 1]
    return [row for row in rows]


def mangled_bytes(content: bytes, chance: Random) -> bytes:
    """A file with bytes changed, cut out, doubled, or a piece of itself or of nothing stuck in."""
    found = bytearray(content)
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(found) + 1)
        end = min(len(found), at + chance.choice((1, 2, 8, 100, 4096)))
        match chance.randrange(5):
            case 0:
                found[at:end] = chance.randbytes(end - at)
            case 1:
                del found[at:end]
            case 2:
                found[at:at] = found[at:end]
            case 3:
                other = chance.randrange(len(found) + 1)
                found[at:end] = found[other : other + end - at]
            case 4:
                found[at:at] = chance.choice(
                    (b"\0", b'"', b"\xff", b"\xef\xbb\xbf", b",", b"\n", b"{", b"}", b"\\u0000", b"1e999")
                )
    return bytes(found)


def import_file(chance: Random) -> tuple[str, bytes]:
    """(name, content) of a file that somebody may import."""
    match chance.randrange(8):
        case 0:
            return "noise.csv", chance.randbytes(chance.randint(0, 400))
        case 1:
            head = chance.choice(HEADERS)
            return "head.csv", "\n".join([head, *(",".join(cell(chance) for _ in range(5)) for _ in range(4))]).encode(
                "utf-8", "replace"
            )
        case 2 | 3:
            return "events.csv", dressed(mangled_rows(table(), chance), chance)
        case 4:
            return "readings.csv", dressed(mangled_rows(readings(), chance), chance)
        case 5:
            rows = chance.choice((table(), readings()))
            return "bytes.csv", mangled_bytes("\n".join(map(",".join, rows[:12])).encode(), chance)
        case 6:
            return "all.jsonl", mangled_bytes(b"".join(json_lines().splitlines(keepends=True)[: chance.randint(1, 30)]), chance)
        case _:
            return "other.db", mangled_bytes(database(), chance)
