"""Reading a CSV file of the keeper's: its text, its header, its rows with their line numbers. What is wrong is told, not raised."""

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

MOST_BYTES = 500_000_000


class RowFault(NamedTuple):
    """Something wrong in a file. `line` 0 is the file as a whole, "" a whole row."""

    line: int
    column: str
    reason: str

    def __str__(self) -> str:
        place = f"line {self.line}" if self.line else ""
        place += f", {self.column}" if self.column and self.line else self.column
        return f"{place}: {self.reason}" if place else self.reason


class Table(NamedTuple):
    header: tuple[str, ...]
    """Column names, in lower case and without spaces around."""
    rows: Iterator[tuple[int, list[str]]]
    """(line number, cells) of every row that is not blank."""


def text_of(path: Path) -> str | RowFault:
    """The file's text, or why it cannot be read."""
    try:
        if path.stat().st_size > MOST_BYTES:
            return RowFault(0, "", f"the file is larger than {MOST_BYTES // 1_000_000} MB")
        raw = path.read_bytes()
    except OSError as error:
        return RowFault(0, "", f"the file cannot be read: {error.strerror}")
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return RowFault(0, "", "the file is UTF-16 text: save it as CSV in UTF-8")
    if b"\0" in raw:
        return RowFault(raw[: raw.index(b"\0")].count(b"\n") + 1, "", "there is a zero byte: this is no text file")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        return RowFault(line, "", f"byte {raw[error.start]:#04x} is not UTF-8: save the file as CSV in UTF-8")


def table_of(text: str) -> Table | RowFault:
    """The header and the rows, or why it is no table."""
    import csv
    import io

    csv.field_size_limit(1_000_000)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        header = next((row for row in reader if any(cell.strip() for cell in row)), None)
    except csv.Error as error:
        return RowFault(reader.line_num, "", f"the row cannot be read: {error}")
    if header is None:
        return RowFault(0, "", "the file is empty")
    names = tuple(cell.strip().lower() for cell in header)
    while names and not names[-1]:
        names = names[:-1]
    if len(names) == 1 and (";" in names[0] or "\t" in names[0]):
        return RowFault(reader.line_num, "", "the columns must be separated by commas")
    twice = next((name for name in names if name and names.count(name) > 1), None)
    if twice:
        return RowFault(reader.line_num, "", f"column {twice} is there twice")
    return Table(names, _rows(reader))


def _rows(reader) -> Iterator[tuple[int, list[str]]]:
    import csv

    line = reader.line_num + 1
    while True:
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise BrokenRow(line, str(error)) from None
        if any(cell.strip() for cell in row):
            yield line, row
        line = reader.line_num + 1


class BrokenRow(Exception):
    """The quotes of a row do not match, so that nothing after it can be told apart."""

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(reason)
        self.fault = RowFault(line, "", f"the row cannot be read ({reason}); nothing after it was looked at")
