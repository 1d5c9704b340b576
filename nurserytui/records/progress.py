"""Long work tells how far it is, and may be told to stop: whoever waits for it gives a function that it calls on its way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

Value = TypeVar("Value")
Progress = Callable[[int, int, str], None]
"""Called with how many are done, how many there are in all, and of what (`rows read`). It raises `Stopped` to end the work."""
EVERY = 500
"""So many of anything are done between two calls."""


class Stopped(Exception):
    """The work was ended from outside. Nothing of it stays."""


def told(progress: Progress | None, things: Iterable[Value], total: int, what: str) -> Iterator[Value]:
    """The things one by one, telling on the way how many were taken."""
    if progress is None:
        yield from things
        return
    progress(0, total, what)
    at = -1
    for at, thing in enumerate(things):
        if not at % EVERY and at:
            progress(at, total, what)
        yield thing
    progress(at + 1, total, what)
