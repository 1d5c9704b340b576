"""Prints what the terminal app costs, through a pseudo-terminal, beside an empty Textual app on the same machine.

    python tests/benchmarks/app.py [EXCHANGES]

first frame   from starting the process until its first words stand on the screen, over an empty app's (aim: 1.3 times)
key to echo   from writing a key until it comes back, over that of an app which is one input line (aim: 2 times), with a conversation of
              EXCHANGES answered lines (3,000) on the demo nursery
memory        resident memory of the process after them (aim: under 120 MB)

Read the ratios: seconds differ from machine to machine. Runs alternate, so that both sides see the same machine.
"""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import statistics
import struct
import sys
import termios
import time

RUNS = 9
KEYS = 60
COLUMNS, ROWS = 120, 36
DEADLINE = 240.0
ESCAPES = re.compile(rb"\x1b(?:\[[0-9;?<>=$ ]*[a-zA-Z~]|[PX^_\]].*?(?:\x1b\\|\x07)|.)", re.DOTALL)

EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self): yield Static("ready")
Empty().run()
"""
ONE_LINE = """
from textual.app import App
from textual.widgets import Input
class OneLine(App):
    def compose(self): yield Input(placeholder="ready")
OneLine().run()
"""
OURS = "from nurserytui.cli import main; main(['--demo'])"
FILLED = """
import sys, tempfile
from pathlib import Path
from nurserytui.demo import MOMENT, private_copy
from nurserytui.tui.app import NurseryApp
from nurserytui.tui.desk import Desk
LINES = ("how long until cohort B hatches", "how many larvae of D", "what do monarchs eat", "what should I do today", "history of C",
         "how much bleach for a 2 cup dish at 10%", "note: one of many", "tell me about fennel", "survival by species", "is D on watch")
class Filled(NurseryApp):
    CSS_PATH = str(Path(sys.modules[NurseryApp.__module__].__file__).with_name("style.tcss"))
    def show(self, sheet):
        first = self.sheet is None
        super().show(sheet)
        if first:
            self.run_worker(self.fill(int(sys.argv[1])))
    async def fill(self, exchanges):
        for number in range(exchanges):
            await self.answer(LINES[number % len(LINES)]).wait()
        await self.tell("filled")
with tempfile.TemporaryDirectory() as folder:
    Filled(Desk(private_copy(Path(folder)), MOMENT)).run()
"""


class Terminal:
    """A process on a pseudo-terminal of its own."""

    def __init__(self, script: str, *arguments: str) -> None:
        self.began = time.perf_counter()
        self.pid, self.handle = pty.fork()
        if self.pid == 0:
            os.environ |= {"TERM": "xterm-256color", "COLUMNS": str(COLUMNS), "LINES": str(ROWS)}
            os.execv(sys.executable, [sys.executable, "-c", script, *arguments])
        fcntl.ioctl(self.handle, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self._unread = b""

    def until(self, words: str) -> float:
        """Seconds since the start when these words were first written; what came before them is forgotten."""
        wanted, limit = words.encode(), time.perf_counter() + DEADLINE
        while wanted not in ESCAPES.sub(b"", self._unread):
            self._read(limit)
            self._unread = self._unread[-200_000:]
        self._unread = b""
        return time.perf_counter() - self.began

    def echo(self, key: str) -> float:
        """Seconds from writing a key until it is written back."""
        self._quiet()
        began = time.perf_counter()
        os.write(self.handle, key.encode())
        while key.encode() not in ESCAPES.sub(b"", self._unread):
            self._read(began + 10)
        self._unread = b""
        return time.perf_counter() - began

    def memory(self) -> float:
        """Resident memory in MB."""
        with open(f"/proc/{self.pid}/status", encoding="ascii") as status:
            return next(int(line.split()[1]) / 1000 for line in status if line.startswith("VmRSS"))

    def end(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.handle)

    def _read(self, limit: float) -> None:
        if time.perf_counter() > limit or not select.select([self.handle], [], [], max(limit - time.perf_counter(), 0))[0]:
            self.end()
            raise TimeoutError("the app went silent")
        self._unread += os.read(self.handle, 65536)

    def _quiet(self) -> None:
        while select.select([self.handle], [], [], 0.25)[0]:
            os.read(self.handle, 65536)
        self._unread = b""


def first_frame(script: str, words: str) -> float:
    terminal = Terminal(script)
    seconds = terminal.until(words)
    terminal.end()
    return seconds


def echoes(terminal: Terminal) -> list[float]:
    return [terminal.echo("qzxjkv"[number % 6]) for number in range(KEYS)]


def main() -> None:
    exchanges = int(sys.argv[1]) if len(sys.argv) > 1 else 3000
    pairs = [(first_frame(EMPTY, "ready"), first_frame(OURS, "write down")) for _ in range(RUNS + 1)][1:]
    empty, ours = (statistics.median(side) for side in zip(*pairs))
    print(f"first frame   {ours * 1000:.0f} ms, empty app {empty * 1000:.0f} ms: {ours / empty:.2f} times (aim: 1.3)")

    one_line, filled = Terminal(ONE_LINE), Terminal(FILLED, str(exchanges))
    one_line.until("ready")
    seconds = filled.until("filled")
    print(f"filled        {exchanges} exchanges in {seconds:.0f} s")
    bare, full = echoes(one_line), echoes(filled)
    print(
        f"key to echo   {statistics.median(full) * 1000:.1f} ms (nine of ten under {sorted(full)[KEYS * 9 // 10] * 1000:.1f}), one line alone "
        f"{statistics.median(bare) * 1000:.1f} ms ({sorted(bare)[KEYS * 9 // 10] * 1000:.1f}): "
        f"{statistics.median(full) / statistics.median(bare):.2f} times (aim: 2)"
    )
    print(f"memory        {filled.memory():.0f} MB (aim: under 120), one line alone {one_line.memory():.0f} MB")
    one_line.end()
    filled.end()


if __name__ == "__main__":
    main()
