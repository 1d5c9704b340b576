"""Prints what opening a nursery costs, from the file alone and from the ledger that is kept of it, up to 200,000 events of twenty seasons.

usage: python tests/benchmarks/opening.py [EVENTS …]

Processor milliseconds, each in a process of its own after what it needs is imported, the best of three:
  open      `Store.open` and `Nursery`: ready to answer
  answer    the first answer after it, "how many larvae do I have"
  record    the first line written after it, and its undo
  times     open and answer, over those of the smallest nursery
  ask       a whole `nurserytui ask` with that question, the program's start with it
  write     a whole `nurserytui ask` that writes a line
  memory    megabytes that opening and answering added, where the system tells
Of less than some thousand events nothing is kept.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from nurserytui.records.store import Store  # noqa: E402
from tests.oracle.nurseries import LARGE_LOOKS, random_events  # noqa: E402

SIZES = (50, 10_000, 100_000, 200_000)
READINGS = 1_000_000
ONE = """
import gc, json, resource, sys, time
gc.disable()
from datetime import datetime
import nurserytui.answers.headcount, nurserytui.answers.record, nurserytui.answers.taking_back
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store

def resident():
    try:
        with open("/proc/self/statm") as file:
            return int(file.read().split()[1]) * resource.getpagesize() / 1024 / 1024
    except OSError:
        return float("nan")

def spent(work):
    start = time.process_time()
    value = work()
    return value, (time.process_time() - start) * 1000

knowledge, path, now, kept = load(), sys.argv[1], datetime.fromisoformat(sys.argv[2]), sys.argv[3] == "kept"
# Words, phrases and modules are read on a nursery that is small, so that what is measured is the records.
with Store.memory() as store:
    for line in ("how many larvae do I have", "found 3 monarch eggs, jar 1", "fed jar 1", "undo"):
        Assistant(Nursery(store, knowledge, now)).reply(line)
before = resident()

def opened():
    store = Store.open(path, from_kept=kept)
    store.timezone()
    return Nursery(store, knowledge, now)

nursery, opening = spent(opened)
assistant = Assistant(nursery)
answer, first = spent(lambda: assistant.reply("how many larvae do I have"))
more = resident() - before
place = sorted(nursery.ledger.enclosures - {""})[0]
_, line = spent(lambda: assistant.reply(f"fed {place}"))
_, undo = spent(lambda: assistant.reply("undo"))
print(json.dumps({"open": opening, "answer": first, "record": line, "undo": undo, "memory": more, "value": answer.values["count"].value}))
"""


def made(folder: Path, count: int) -> tuple[Path, str]:
    """A nursery of so many events that ends today, and the moment to ask about it."""
    seasons = 1 + count // 4_500
    looks = LARGE_LOOKS if count >= 10_000 else 0.0
    events = random_events(11, seasons, 25, looks_per_day=looks)[:count]
    assert len(events) == count
    path = folder / f"{count}.db"
    with Store.open(path) as store:
        written = store.append(events)
        if written.faults:
            raise SystemExit(f"{count}: {written.faults[0].reason}")
        place = next(event.enclosure for event in events if event.enclosure)
        rows = range(READINGS if count == max(SIZES) else 0)
        store._connection().execute("PRAGMA query_only = OFF")
        with store._connection() as connection:
            start = datetime.fromisoformat(events[0].day)
            connection.executemany(
                'INSERT INTO readings (place, "when", fold, instant, low, high) VALUES (?, ?, 0, 0, 21.0, 21.0)',
                ((place, (start + timedelta(minutes=7 * row)).isoformat(timespec="seconds")) for row in rows),
            )
    now = datetime.fromisoformat(max(event.day for event in events)) + timedelta(hours=32)
    return path, now.isoformat(timespec="minutes")


def one(path: Path, now: str, how: str) -> dict[str, float]:
    """The best of three, each on a copy that nothing was written to."""
    found: dict[str, float] = {}
    for _ in range(3):
        with tempfile.TemporaryDirectory() as folder:
            there = path
            if how == "file":
                there = Path(shutil.copy(path, folder))
            done = subprocess.run(
                [sys.executable, "-c", ONE, str(there), now, how], capture_output=True, text=True, cwd=ROOT, check=True
            )
        for name, value in json.loads(done.stdout).items():
            found[name] = min(value, found.get(name, value))
    return found


def command(path: Path, now: str, line: str) -> float:
    """Processor milliseconds of one whole call of the command line."""
    before = os.times()
    subprocess.run(
        [sys.executable, "-m", "nurserytui", "ask", line, "--db", str(path), "--now", now], capture_output=True, cwd=ROOT
    )
    after = os.times()
    return 1000 * (after.children_user + after.children_system - before.children_user - before.children_system)


def main() -> None:
    sizes = [int(text) for text in sys.argv[1:]] or SIZES
    with tempfile.TemporaryDirectory() as folder:
        os.environ["NURSERYTUI_CACHE"] = str(Path(folder) / "cache")
        command(Path(folder) / "first.db", "2031-06-01", "how many larvae do I have")  # which fits what the language needs, once
        print(
            f"{'events':>8} {'from':>5} {'open':>8} {'answer':>7} {'times':>6} {'record':>8} {'undo':>8} {'memory':>7} {'ask':>8} {'write':>8}"
        )
        least = 0.0
        for count in sizes:
            path, now = made(Path(folder), count)
            for how in ("file", "kept"):
                if how == "kept":
                    command(path, now, "how many larvae do I have")
                row = one(path, now, how)
                both = row["open"] + row["answer"]
                least = least or both
                whole = [
                    min(command(path, now, line) for _ in range(3)) if how == "kept" else float("nan")
                    for line in ("how many larvae do I have", "cleaned the shelf")
                ]
                print(
                    f"{count:8} {how:>5} {row['open']:8.1f} {row['answer']:7.1f} {both / least:6.1f} {row['record']:8.1f} {row['undo']:8.1f}"
                    f" {row['memory']:7.1f} {whole[0]:8.0f} {whole[1]:8.0f}"
                )


if __name__ == "__main__":
    main()
