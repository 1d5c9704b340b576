"""A program on a pseudo-terminal of its own, what it shows read by a terminal emulator: as a keeper sees it, not as the program means it."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import termios
import time

import pyte

PATIENCE = 60.0
"""Seconds in which words that are waited for must come; a slow machine under load takes some of them."""
KEYS = {
    "enter": "\r", "escape": "\x1b", "tab": "\t", "up": "\x1b[A", "down": "\x1b[B", "right": "\x1b[C", "left": "\x1b[D",
    "f1": "\x1bOP", "f2": "\x1bOQ", "f3": "\x1bOR", "f4": "\x1bOS", "f5": "\x1b[15~", "f6": "\x1b[17~", "f7": "\x1b[18~",
    "f8": "\x1b[19~", "f9": "\x1b[20~", "ctrl+q": "\x11", "ctrl+p": "\x10", "ctrl+n": "\x0e", "ctrl+t": "\x14",
}  # fmt: skip


class Terminal:
    """Starts the program; `until` reads what it writes until words stand on the screen."""

    def __init__(self, program: list[str], columns: int, rows: int, **environment: str) -> None:
        self._screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self._screen)
        self.pid, self._handle = pty.fork()
        if self.pid == 0:
            _size(0, columns, rows)
            told = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")}
            os.execve(program[0], program, {**told, "TERM": "xterm-256color", **environment})
        self.code: int | None = None

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: object) -> None:
        if self.code is None:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
        os.close(self._handle)

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(self._screen.display)

    def press(self, *keys: str) -> None:
        """Named keys (`enter`, `f3`, `ctrl+q`), or characters as they are."""
        for key in keys:
            os.write(self._handle, KEYS.get(key, key).encode())
            self._read(0.15)

    def type(self, line: str) -> None:
        """A line as a person types it, and Enter."""
        self.press(*line, "enter")

    def resize(self, columns: int, rows: int) -> None:
        self._screen.resize(rows, columns)
        _size(self._handle, columns, rows)

    def until(self, words: str) -> str:
        """The screen once the words stand on it."""
        limit = time.monotonic() + PATIENCE
        while words not in self.text:
            if time.monotonic() > limit:
                raise AssertionError(f"{words!r} did not come:\n{self.text}")
            self._read(0.1)
        return self.text

    def until_gone(self, words: str) -> str:
        """The screen once the words stand on it no more."""
        limit = time.monotonic() + PATIENCE
        while words in self.text:
            if time.monotonic() > limit:
                raise AssertionError(f"{words!r} did not go:\n{self.text}")
            self._read(0.1)
        return self.text

    def end(self) -> int:
        """Wait for the program to end; its exit code."""
        limit = time.monotonic() + PATIENCE
        while time.monotonic() < limit:
            self._read(0.1)
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self.code = os.waitstatus_to_exitcode(status)
                return self.code
        raise AssertionError(f"the program did not end:\n{self.text}")

    def _read(self, seconds: float) -> None:
        while select.select([self._handle], [], [], seconds)[0]:
            try:
                self._stream.feed(os.read(self._handle, 65536))
            except OSError:
                return  # the program has gone
            seconds = 0.02


def _size(handle: int, columns: int, rows: int) -> None:
    fcntl.ioctl(handle, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
