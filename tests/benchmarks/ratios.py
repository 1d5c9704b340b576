"""Prints what a question costs against what it could cost least. Ratios from one run; a machine's seconds say nothing.

usage: python tests/benchmarks/ratios.py          (in an environment that holds the wheel and its dependencies)

floor           an interpreter that imports sqlite3 and rapidfuzz and opens the demo database
one-shot        `ask` without units, and with units (pint), each over the floor; the run before warms the caches
warm            the slowest of a hundred answers of one running conversation, milliseconds at the 99th percentile
first frame     the app until its first frame, over an empty Textual app until its own
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RUNS = 11
FLOOR = "import sqlite3, rapidfuzz.fuzz, sys; sqlite3.connect(f'file:{sys.argv[1]}?mode=ro', uri=True).execute('select count(*) from sqlite_master').fetchone()"
ASK = "import sys; from nurserytui.cli import main; sys.exit(main(sys.argv[1:]))"
EMPTY_APP = """
import sys, time
from textual.app import App
class Empty(App):
    def on_mount(self): self.call_after_refresh(self.exit)
sys.__stdout__.flush()
Empty().run(headless=True, size=(120, 36))
"""
OUR_APP = """
import tempfile
from importlib.resources import files
from pathlib import Path
from nurserytui.demo import MOMENT, private_copy
from nurserytui.tui.app import NurseryApp
from nurserytui.tui.desk import Desk
class Timed(NurseryApp):
    CSS_PATH = str(files('nurserytui.tui') / 'style.tcss')
    def on_mount(self): self.call_after_refresh(self.exit)
with tempfile.TemporaryDirectory() as folder:
    Timed(Desk(private_copy(Path(folder)), MOMENT), demo=True).run(headless=True, size=(120, 36))
"""
QUESTIONS = (
    "how long until cohort B hatches",
    "how many eggs do I have",
    "what do black swallowtails eat",
    "what needs doing today",
    "history of E",
    "how much bleach for a 2 cup dish at 10%",
    "survival of fennel-25",
    "75 F in C",
    "is my caterpillar ill, it hangs limp and dark",
    "tell me about the monarch",
)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        from nurserytui.demo import MOMENT, private_copy

        database = str(private_copy(Path(folder)))
        floor = _pair([sys.executable, "-c", FLOOR, database])
        where = ["--db", database, "--now", MOMENT.isoformat()]
        plain = _pair([sys.executable, "-c", ASK, "ask", *where, QUESTIONS[0]])
        units = _pair([sys.executable, "-c", ASK, "ask", *where, QUESTIONS[5]])
        print(f"floor                          {floor * 1000:7.0f} ms")
        print(f"one-shot without units / floor {plain / floor:7.2f}   (aim: at most 3)")
        print(f"one-shot with units / floor    {units / floor:7.2f}   (aim: at most 8)")
        print(f"warm answers, 99th percentile  {_warm():7.1f} ms (aim: below 50)")
        empty, ours = _pair([sys.executable, "-c", EMPTY_APP]), _pair([sys.executable, "-c", OUR_APP])
        print(f"first frame / empty app        {ours / empty:7.2f}   (aim: at most 1.5)")


def _pair(command: list[str]) -> float:
    times = []
    for run in range(RUNS + 1):
        began = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        if run:
            times.append(time.perf_counter() - began)
    return statistics.median(times)


def _warm() -> float:
    from nurserytui.assistant import Assistant
    from nurserytui.demo import MOMENT, private_copy
    from nurserytui.knowledge.base import load
    from nurserytui.nursery import Nursery
    from nurserytui.records.store import Store

    with tempfile.TemporaryDirectory() as folder, Store.open(private_copy(Path(folder))) as store:
        assistant = Assistant(Nursery(store, load(), MOMENT))
        times = []
        for number in range(len(QUESTIONS) * 11):
            began = time.perf_counter()
            assistant.reply(QUESTIONS[number % len(QUESTIONS)])
            if number >= len(QUESTIONS):
                times.append((time.perf_counter() - began) * 1000)
    return statistics.quantiles(times, n=100)[98]


if __name__ == "__main__":
    main()
