"""Long work tells how far it is, and may be told to stop: whoever waits for it gives a function that it calls on its way."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TypeVar

Value = TypeVar("Value")
Progress = Callable[[int, int, str], None]
"""Called with how many are done, how many there are in all, and of what (`rows read`). It raises `Stopped` to end the work."""
EVERY = 500
"""So many of anything are done between two calls."""
INSTRUCTIONS = 200_000
"""So many of SQLite's own instructions are done between two calls: some milliseconds."""


class Stopped(Exception):
    """The work was ended from outside. Nothing of it stays."""


def told(progress: Progress | None, things: Iterable[Value], total: int, what: str, *, every: int = EVERY) -> Iterator[Value]:
    """The things one by one, telling on the way how many were taken."""
    if progress is None:
        yield from things
        return
    progress(0, total, what)
    at = -1
    for at, thing in enumerate(things):
        if at and not at % every:
            progress(at, total, what)
        yield thing
    progress(at + 1, total, what)


@contextmanager
def interruptible(connection: sqlite3.Connection, progress: Progress | None, what: str) -> Iterator[None]:
    """Statements of SQLite that take long can be stopped meanwhile; how far they are cannot be told."""
    if progress is None:
        yield
        return
    stopped = []

    def go_on() -> int:
        try:
            progress(0, 0, what)
        except Stopped as error:
            stopped.append(error)
        return len(stopped)

    connection.set_progress_handler(go_on, INSTRUCTIONS)
    try:
        yield
    finally:
        connection.set_progress_handler(None, 0)
        if stopped:
            raise stopped[0]
