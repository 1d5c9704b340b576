"""One program killed while it writes, and what must be true of the file afterwards.

It shows what is left when a program ends at any instruction. It does not show a loss of power: then the system's own memory goes too, and
whether what was acknowledged is on the disk rests on `PRAGMA synchronous = FULL`, on the file system and on the disk keeping its word.
"""

from __future__ import annotations

import json
import os
import random
import re
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

from faults import writers
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.store import Store

HERE = Path(__file__).resolve().parents[1]
KINDS = (*writers.WRITERS, "ask")
LINES = 1500
"""Lines that a conversation is given before it is killed."""


def environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": os.pathsep.join((str(HERE.parent), str(HERE)))}


def started(kind: str, path: Path, tag: str, most: int | None = None) -> subprocess.Popen:
    """The program of that kind, writing; `ask` is the command line itself, given lines faster than it can answer."""
    if kind == "ask":
        command = [sys.executable, "-m", "nurserytui", "ask", "-", "--json", "--db", path]
        given = path.with_name(f"{tag}-lines.txt")
        given.write_text("".join(f"note: {tag} {number} of 1\n" for number in range(most or LINES)))
        with given.open() as lines:
            return subprocess.Popen(
                command, stdin=lines, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment()
            )
    command = [sys.executable, "-m", "faults.writers", kind, path, tag, *([str(most)] if most else [])]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment())


def acknowledged(kind: str, said: str) -> int:
    """How many writes were acknowledged by whole lines; they are numbered from 0 on."""
    lines = said[: said.rfind("\n") + 1].splitlines()
    if kind == "ask":
        assert all(json.loads(line)["status"] == "recorded" for line in lines), said[-2000:]
    else:
        assert [int(line.split()[-1]) for line in lines] == list(range(len(lines))), said[-2000:]
    return len(lines)


def killed(kind: str, path: Path, tag: str, chance: random.Random) -> int:
    """Have it write, kill it at a random moment after its first acknowledgement; how many writes it acknowledged."""
    writer = started(kind, path, tag)
    first = os.read(writer.stdout.fileno(), 65536).decode()  # nothing is read ahead that `communicate` would not see
    assert first, writer.communicate()[1]
    time.sleep(chance.uniform(0, 0.12))
    writer.kill()
    rest, wrong = writer.communicate(timeout=60)
    assert not wrong, wrong
    return acknowledged(kind, first + rest)


def found(kind: str, path: Path, tag: str, writes: int) -> list[str]:
    """Everything that must not be after a kill: what was acknowledged and is not there, halves, and what the check finds."""
    with Store.open(path, create=False) as store:
        if kind == "import of readings":
            rows = Counter(reading.place for reading in store.readings() if reading.place.startswith(f"{tag} "))
            whole = {place: writers.READINGS for place in rows}
            numbers = sorted(int(place.split()[-1]) for place in rows)
        else:
            told = [found for event in store.events() if (found := re.match(rf"{tag} (\d+) of (\d+)", event.note))]
            rows = Counter(int(one[1]) for one in told)
            whole = {int(one[1]): int(one[2]) for one in told}
            numbers = sorted(rows)
        wrong = [f"{kind}: write {name} has {rows[name]} of {whole[name]} rows" for name in rows if rows[name] != whole[name]]
        if numbers != list(range(len(numbers))):
            wrong.append(f"{kind}: writes are missing among {numbers[-1] + 1}")
        # One more may be there, whose acknowledgement did not get out.
        if not writes <= len(numbers) <= writes + 1:
            wrong.append(f"{kind}: {writes} writes were acknowledged, {len(numbers)} are there")
        if store.append([Event("2031-06-03", "note", note="afterwards")]).faults:
            wrong.append(f"{kind}: nothing can be written afterwards")
    return wrong + check(path)
