"""The lines that were sent, kept between runs in a small file of the keeper's own, with the line that was left unfinished."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from pathlib import Path

from nurserytui import private

MOST = 500
"""Lines that are kept."""
LONGEST = 10_000
"""Characters of a line that are kept."""
LARGEST = 256 * 1024
"""Bytes from which the file is written anew with what is still wanted."""
SENT, LEFT = "sent", "left"


class SentLines:
    """Without a file it remembers for as long as it lives. A file that cannot be read or written is no fault: it is done without."""

    def __init__(self, file: Path | None = None, aside: Callable[..., object] | None = None) -> None:
        """`aside(work, *arguments)` sees to it that something is written, where the caller cannot wait for it."""
        self.file = file
        self.lines: list[str] = []
        """What was sent, the newest last."""
        self.left = ""
        """The line that was on the way when the app ended, or when it was last put down."""
        self._aside = aside or (lambda work, *arguments: work(*arguments))

    def read(self) -> tuple[list[str], str]:
        """What the file holds: the lines sent, and the one left unfinished. What is no line of ours is passed over."""
        rows = list(self._rows())
        lines = _once(text for kind, text in rows if kind == SENT)[-MOST:]
        left = rows[-1][1] if rows and rows[-1][0] == LEFT else ""
        if self.file is not None and _size(self.file) > LARGEST:
            self._anew(lines, left)
        return lines, left

    def take_in(self, lines: Iterable[str], left: str) -> None:
        """Put what was read before what was sent since."""
        self.lines = _once([*lines, *self.lines])[-MOST:]
        self.left = left

    def sent(self, text: str) -> None:
        """Keep a line; the newest of the same stands for all."""
        text = text[:LONGEST]
        self.lines = _once([*self.lines, text])[-MOST:]
        self.left = ""
        self._aside(self._append, SENT, text)

    def leave(self, text: str, now: bool = False) -> None:
        """Keep the unfinished line, "" when there is none any more; `now` where there will be no later."""
        text = text[:LONGEST]
        if text != self.left:
            self.left = text
            if now:
                self._append(LEFT, text)
            else:
                self._aside(self._append, LEFT, text)

    def _rows(self) -> Iterable[tuple[str, str]]:
        import json

        try:
            if self.file is None or not self.file.is_file():
                return
            with open(self.file, "rb") as held:
                held.seek(max(_size(self.file) - 4 * LARGEST, 0))
                content = held.read(4 * LARGEST).decode("utf-8", "replace")
        except (OSError, ValueError):
            return
        for row in content.split("\n"):
            try:
                kind, text = json.loads(row)
            except (ValueError, TypeError, RecursionError):
                continue
            if kind in (SENT, LEFT) and isinstance(text, str) and len(text) <= LONGEST:
                yield kind, text

    def _append(self, kind: str, text: str) -> None:
        """One write at the end of the file: two windows on one nursery do not undo each other's lines."""
        if self.file is None:
            return
        try:
            private.make_folder(self.file.parent)
            flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
            handle = os.open(self.file, flags, 0o600)
            try:
                if hasattr(os, "fchmod"):
                    os.fchmod(handle, 0o600)
                os.write(handle, _row(kind, text))
            finally:
                os.close(handle)
        except OSError:
            pass

    def _anew(self, lines: list[str], left: str) -> None:
        beside = self.file.with_suffix(f".{os.getpid()}")
        try:
            handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_NOFOLLOW", 0), 0o600)
            with os.fdopen(handle, "wb") as new:
                kept, size = [], 0
                for text in reversed(lines):
                    row = _row(SENT, text)
                    size += len(row)
                    if size > LARGEST // 2:
                        break
                    kept.append(row)
                new.writelines([*reversed(kept), *([_row(LEFT, left)] if left else [])])
            os.replace(beside, self.file)
        except OSError:
            pass


def _row(kind: str, text: str) -> bytes:
    import json

    return json.dumps([kind, text]).encode() + b"\n"


def _once(lines: Iterable[str]) -> list[str]:
    """Every line once, where it stands last."""
    return list(dict.fromkeys(reversed(list(lines))))[::-1]


def _size(file: Path) -> int:
    try:
        return file.stat().st_size
    except OSError:
        return 0


def lines_of(nursery: Path) -> Path:
    """The file for the lines typed at the nursery in that file: labels of one nursery say nothing in another."""
    from nurserytui.knowledge.compiled import blake2b
    from nurserytui.paths import user_state

    return user_state() / f"lines-{blake2b(str(Path(nursery).resolve()).encode(), digest_size=6).hexdigest()}.jsonl"
