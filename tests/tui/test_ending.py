"""The app through a real terminal: it ends promptly by its key, by a closed window and by a shutdown, and leaves the file whole."""

from __future__ import annotations

import os
import re
import select
import signal
import sys
import time

import pytest

from nurserytui.records.checking import check
from nurserytui.records.store import Store

pty = pytest.importorskip("pty")
SLOW = float(os.environ.get("SLOW_MACHINE", "1"))


class Terminal:
    """The program in a terminal of its own."""

    def __init__(self, *arguments: str, size=(100, 30), **environment: str) -> None:
        self.pid, self.end = pty.fork()
        if not self.pid:
            settings = {"TERM": "xterm-256color", "COLUMNS": str(size[0]), "LINES": str(size[1]), **environment}
            os.execve(sys.executable, [sys.executable, "-m", "nurserytui", *arguments], {**os.environ, **settings})
        self.out = b""
        self.code: int | None = None

    def read(self, seconds: float = 0.1) -> None:
        """Take in what was written."""
        if select.select([self.end], [], [], seconds)[0]:
            try:
                self.out += os.read(self.end, 65536)
            except OSError:
                pass

    def until(self, words: bytes, seconds: float = 20) -> None:
        limit = time.monotonic() + seconds * SLOW
        while words not in re.sub(rb"\x1b\[[0-9;?]*[a-zA-Z]", b"", self.out):
            assert time.monotonic() < limit, self.out[-2000:]
            self.read()

    def send(self, keys: bytes) -> None:
        os.write(self.end, keys)

    def ended(self, seconds: float = 5) -> float:
        """Seconds until it had ended."""
        started = time.monotonic()
        while True:
            self.read(0.02)
            done, status = os.waitpid(self.pid, os.WNOHANG)
            if done:
                self.code = os.waitstatus_to_exitcode(status)
                return time.monotonic() - started
            if time.monotonic() - started > seconds * SLOW:
                os.kill(self.pid, signal.SIGKILL)
                os.waitpid(self.pid, 0)
                raise AssertionError("it did not end")


@pytest.fixture
def logger(tmp_path):
    from datetime import datetime, timedelta

    file, began = tmp_path / "logger.csv", datetime(2025, 1, 1)
    lines = [f"{began + timedelta(minutes=at)},tub 2,{20 + at % 7}" for at in range(200_000)]
    file.write_text("\n".join(["time,place,temperature_C", *lines]) + "\n", encoding="utf-8")
    return file


def importing(tmp_path, logger) -> Terminal:
    """The app in the midst of importing."""
    app = Terminal("--db", str(tmp_path / "n.db"))
    app.until(b"No animals yet")
    app.send(b"\x0f")
    app.until(b"Import which file")
    app.send(str(logger).encode() + b"\r")
    app.until(b"of 200,000")
    return app


@pytest.mark.parametrize(("how", "code"), [(b"\x11", 0), (signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_it_ends_promptly_in_the_midst_of_an_import_and_nothing_of_it_is_kept(tmp_path, logger, how, code):
    app = importing(tmp_path, logger)
    app.send(how) if isinstance(how, bytes) else os.kill(app.pid, how)
    took = app.ended()
    print(f"ended {took:.2f} s after {how!r}")
    assert app.code == code and took < 2 * SLOW
    with Store.open(tmp_path / "n.db") as store:
        assert store.readings() == []
    assert check(tmp_path / "n.db") == []


def test_a_terminal_that_goes_away_ends_it(tmp_path):
    app = Terminal("--db", str(tmp_path / "n.db"))
    app.until(b"No animals yet")
    os.close(app.end)
    app.read = lambda seconds: time.sleep(seconds)
    assert app.ended(4) < 4 * SLOW


def test_the_mouse_is_left_to_the_terminal_where_it_is_to_be(tmp_path):
    """The terminal is asked for mouse reports by these sequences (xterm's modes 1000 to 1015), and by no others."""
    for arguments, asked in (((), True), (("--no-mouse",), False)):
        app = Terminal("--db", str(tmp_path / "n.db"), *arguments)
        app.until(b"No animals yet")
        app.send(b"\x11")
        app.ended()
        assert bool(re.search(rb"\x1b\[\?10(00|03|15)h", app.out)) is asked


def test_a_dumb_terminal_is_pointed_to_the_commands(tmp_path):
    app = Terminal("--db", str(tmp_path / "n.db"), TERM="dumb")
    app.ended(20)
    assert app.code == 2 and b"nurserytui ask" in app.out and b"nurserytui show" in app.out and b"\x1b" not in app.out
