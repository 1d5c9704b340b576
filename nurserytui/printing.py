"""What the command line prints: nothing that steers a terminal, and a word where what was done could not be told.

A standard stream that is closed is replaced by one that fails when it is used, so that nothing else gets its number and no file is
written to in its place.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import suppress

from nurserytui.visible import visible, visible_line


class NotPrinted(Exception):
    """Standard output takes nothing more; the message says so, and what was done all the same."""


class NotRead(Exception):
    """Standard input cannot be read."""


def ready() -> None:
    """Put something that fails in the place of standard streams that are closed."""
    for name, mode, how in (("stdin", "r", os.O_WRONLY), ("stdout", "w", os.O_RDONLY), ("stderr", "w", os.O_WRONLY)):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.open(os.devnull, how), mode, encoding="utf-8", closefd=False))


def write(text: object, done: str = "") -> None:
    """Print to standard output; `done` is what stands although it cannot be told (`it was recorded`). NotPrinted, BrokenPipeError."""
    encoding = sys.stdout.encoding or "utf-8"
    try:
        print(visible(str(text)).encode(encoding, "replace").decode(encoding), flush=True)
    except BrokenPipeError:
        raise
    except OSError as error:
        _drop_output()
        raise NotPrinted(f"{f'{done}, but ' if done else ''}the answer could not be printed: {why(error)}") from None


def complain(text: object) -> None:
    """A line on standard error, if that takes one."""
    with suppress(OSError):
        print(visible_line(str(text)), file=sys.stderr)


def lines() -> Iterator[bytes]:
    """The lines of standard input. NotRead."""
    try:
        yield from sys.stdin.buffer
    except OSError as error:
        raise NotRead(f"standard input cannot be read: {why(error)}") from None


def why(error: OSError) -> str:
    """What the system says of it, with the file where there is one."""
    import errno

    said = "it is closed" if error.errno == errno.EBADF else error.strerror or str(error)
    return f"{error.filename}: {said}" if error.filename else said


def _drop_output() -> None:
    """Let go of what is still to be printed: the interpreter would try once more as it ends, and fail in words of its own."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
