"""The text of a keeper's file: which encoding it is in, and whether it is text at all. A file is looked through in pieces, never held.

By rule, not by likeness: a byte order mark says what it says, what is valid UTF-8 is UTF-8, and the rest is Windows-1252 where all its
bytes mean something there. Detectors that weigh letters go wrong on files as short as these.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple, TextIO

from nurserytui.records.progress import Progress

PIECE = 1 << 20
LONGEST_LINE = 32 * PIECE
"""Bytes without a line's end; no row of a table is that long, and a line is held as a whole."""
_NO_LETTER = re.compile(rb"[\x81\x8d\x8f\x90\x9d]")
"""Bytes to which Windows-1252 gives no character (Unicode's table CP1252.TXT)."""
_UTF8_LETTER = re.compile(rb"[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}|[\xf0-\xf4][\x80-\xbf]{3}")


class RowFault(NamedTuple):
    """Something wrong in a file. `line` 0 is the file as a whole, "" a whole row."""

    line: int
    column: str
    reason: str
    unit: str = "line"
    """What `line` counts: lines, or the events of another nursery."""

    def __str__(self) -> str:
        place = f"{self.unit} {self.line}" if self.line else ""
        place += f", {self.column}" if self.column and self.line else self.column
        told = f"{place}: {self.reason}" if place else self.reason
        # A name in a file may hold the end of a line.
        return told if told.isprintable() else "".join(" " if sign in "\r\n\t\v\f\x85\u2028\u2029" else sign for sign in told)


class FileText(NamedTuple):
    """A file that is text."""

    path: Path
    encoding: str
    """As Python calls it."""
    lines: int
    """How many ends of lines it has."""
    note: str
    """What a keeper should know of how it is read; "" for nothing."""

    def starts_with(self, sign: str) -> bool:
        """Whether that is the first sign of the text that is not blank."""
        with self.opened() as file:
            return file.read(1000).lstrip("\ufeff \t\r\n").startswith(sign)

    @contextmanager
    def opened(self) -> Iterator[TextIO]:
        """The text, with its line ends as they are."""
        with open(self.path, encoding=self.encoding, newline="") as file:
            yield file


def text_of(path: Path, progress: Progress | None = None) -> FileText | RowFault:
    """How the file's text is read, or why it cannot be. `progress` may raise `Stopped`."""
    try:
        with open(path, "rb") as file:
            head = file.read(4)
        if head in (b"\xff\xfe\0\0", b"\0\0\xfe\xff"):
            return RowFault(0, "", "the file is UTF-32 text: save it as CSV in UTF-8")
        if head[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return _looked_through(path, "utf-16", progress)
        found = _looked_through(path, "utf-8-sig" if head.startswith(codecs.BOM_UTF8) else "utf-8", progress)
        return _windows(path, found) if isinstance(found, _Broken) else found
    except OSError as error:
        return RowFault(0, "", f"the file cannot be read: {error.strerror}")


class _Broken(NamedTuple):
    """Where a file stops being UTF-8."""

    line: int
    byte: int


def _looked_through(path: Path, encoding: str, progress: Progress | None) -> FileText | RowFault | _Broken:
    decoder = codecs.getincrementaldecoder(encoding)()
    lines = since = done = 0
    total = path.stat().st_size
    end = False
    with open(path, "rb") as file:
        while not end:
            piece = file.read(PIECE)
            end = not piece
            if progress and total > PIECE:
                progress(0, 0, "looking through the file")
            try:
                text = decoder.decode(piece, end)
            except UnicodeDecodeError as error:
                line = lines + error.object[: error.start].count(b"\n") + 1
                if encoding == "utf-16":
                    return RowFault(line, "", "the file says that it is UTF-16 text, but is broken: save it as CSV in UTF-8")
                if b"\0" not in piece:
                    return _Broken(line, error.object[error.start])
                text = piece.decode("latin-1")
            zero = text.find("\0")
            if zero >= 0:
                line = lines + text[:zero].count("\n") + 1
                return RowFault(
                    line, "", "there is a zero byte: this is no text file, or it was saved as UTF-16 without saying so"
                )
            ends = text.count("\n")
            since = len(text) - text.rfind("\n") if ends or "\r" in text else since + len(text)
            if since > LONGEST_LINE:
                return RowFault(lines + 1, "", f"the line is longer than {LONGEST_LINE // PIECE} MB: this is no table")
            lines += ends
            done += len(piece)
    return FileText(path, encoding, lines, "read as UTF-16" if encoding == "utf-16" else "")


def _windows(path: Path, broken: _Broken) -> FileText | RowFault:
    """A file that is not UTF-8 as Windows-1252, if it can be that."""
    lines = 0
    with open(path, "rb") as file:
        while piece := file.read(PIECE):
            strange = _NO_LETTER.search(piece)
            if strange:
                line = lines + piece[: strange.start()].count(b"\n") + 1
                reason = f"byte {strange[0][0]:#04x} is neither UTF-8 nor Windows-1252: save the file as CSV in UTF-8"
                return RowFault(line, "", reason)
            if b"\0" in piece:
                return RowFault(
                    lines + piece[: piece.index(b"\0")].count(b"\n") + 1, "", "there is a zero byte: this is no text file"
                )
            if _UTF8_LETTER.search(piece):
                reason = f"byte {broken.byte:#04x} is not UTF-8, but letters elsewhere in the file are: save it as CSV in UTF-8"
                return RowFault(broken.line, "", reason)
            lines += piece.count(b"\n")
    return FileText(path, "cp1252", lines, "the file is not UTF-8; it was read as Windows-1252")
