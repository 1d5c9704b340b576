"""Reading a table of the keeper's: what separates its columns, its header, its rows with their line numbers. What is wrong is told, not raised."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from itertools import chain
from typing import NamedTuple, TextIO

from nurserytui.records.file_text import RowFault

SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
MOST_COLUMNS = 1000
LONGEST_CELL = 1_000_000
_LONGEST_HEADER = 200
"""Lines."""
_SAYS_SEPARATOR = re.compile(r'"?sep=(.|\\t)"?\s*', re.IGNORECASE)
"""What spreadsheets write into the first line to say what separates the columns."""


class Table(NamedTuple):
    header: tuple[str, ...]
    """Column names, in lower case and without spaces around."""
    line: int
    """The line of the header."""
    separator: str
    rows: Iterator[tuple[int, list[str]]]
    """(line number, cells) of every row that is not blank; `broken` is filled when they have been read."""
    broken: list[RowFault]
    """The row at which reading had to end, if it had to."""
    written: tuple[str, ...] = ()
    """Column names as they stand in the file."""


def table_of(file: TextIO, again: Callable[[], TextIO] | None = None) -> Table | RowFault:
    """The header and the rows of an open file, or why it is no table. `again` opens the file anew, to find where a quote was opened."""
    csv.field_size_limit(LONGEST_CELL)
    lines, before, said = _header_lines(file)
    if not lines:
        return RowFault(0, "", "the file is empty")
    separator = said or separator_of("".join(lines))
    reader = csv.reader(chain(lines, file), delimiter=separator, strict=True)
    try:
        header = next(reader)
    except csv.Error as error:
        return RowFault(before + 1, "", f"the header cannot be read: {_in_words(error)}")
    written = tuple(" ".join(cell.strip("\ufeff \t\u00a0").split()) for cell in header)
    names = tuple(cell.strip("\ufeff \t\u00a0").lower() for cell in header)
    while names and not names[-1]:
        names, written = names[:-1], written[:-1]
    if len(names) > MOST_COLUMNS:
        return RowFault(
            before + 1,
            "",
            f"the header has {len(names):,} columns; no table of events or readings has more than {MOST_COLUMNS:,}",
        )
    if len(names) == 1 and "|" in names[0]:
        return RowFault(before + 1, "", "the columns must be separated by commas, semicolons or tabs")
    broken: list[RowFault] = []
    return Table(names, before + 1, separator, _rows(reader, before, broken, again), broken, written)


def _header_lines(file: TextIO) -> tuple[list[str], int, str]:
    """(the lines of the header, how many lines stand before it, the separator if the first line says it)"""
    before, said = 0, ""
    for line in iter(file.readline, ""):
        found = _SAYS_SEPARATOR.fullmatch(line.strip("\ufeff"))
        if found and not said:
            said = "\t" if found[1] == "\\t" else found[1]
        elif line.strip('\ufeff \t\r\n,;"'):
            lines = [line.removeprefix("\ufeff")]
            while "".join(lines).count('"') % 2 and len(lines) < _LONGEST_HEADER:
                further = file.readline()
                if not further:
                    break
                lines.append(further)
            return lines, before, said
        before += 1
    return [], before, said


def separator_of(header: str) -> str:
    """What separates the columns of a header: the sign that stands there most often outside of quotes."""
    outside = re.sub(r'"[^"]*"', "", header)
    return max(SEPARATORS, key=outside.count)


def _rows(reader, before: int, broken: list[RowFault], again) -> Iterator[tuple[int, list[str]]]:
    line = reader.line_num + 1
    while True:
        try:
            for row in reader:
                if any(row) and (row[0].strip() or any(cell.strip() for cell in row)):
                    yield before + line, row
                line = reader.line_num + 1
            return
        except csv.Error as error:
            broken.append(_broken(error, before + line, before + reader.line_num, reader.dialect.delimiter, again))
            return


def _broken(error: csv.Error, line: int, last: int, separator: str, again) -> RowFault:
    """The quotes of a row do not match, or it is too long: nothing after it can be told apart."""
    words = _in_words(error)
    if again is not None and "quote" in words:
        with again() as file:
            line = _quote_opened(file, line, last, separator)
    return RowFault(line, "", f"the row cannot be read: {words}; nothing after it was looked at")


def _in_words(error: csv.Error) -> str:
    said = str(error)
    if "unexpected end" in said:
        return "the quote that opens here is never closed"
    if "field larger" in said:
        return f"a cell is longer than {LONGEST_CELL:,} characters, perhaps because a quote that opens here is not closed"
    if "expected after" in said:
        return "after a closing quote the cell goes on; a quote inside a cell is written twice"
    return said


def _quote_opened(file: TextIO, first: int, last: int, separator: str) -> int:
    """The line in which the last quote of a row opened; the row begins in line `first` and reading ended in `last`."""
    opened, inside, fresh = first, False, True
    for number, line in enumerate(file, 1):
        if number < first:
            continue
        if number > last:
            break
        for sign in line:
            if sign == '"':
                if not inside and fresh:
                    opened, inside = number, True
                elif inside:
                    inside = False
                elif not fresh:
                    inside = True  # the second of two quotes, which stand for one inside the cell
                fresh = False
            else:
                fresh = not inside and sign == separator
    return opened
