"""A table under a title: the header is looked for in the lines below the first one."""

from __future__ import annotations

import csv
from collections.abc import Callable
from typing import TextIO

from nurserytui.records.columns import plain
from nurserytui.records.event_rows import COLUMNS
from nurserytui.records.headers import MEANT
from nurserytui.records.reading_columns import OURS
from nurserytui.records.tables import separator_of

LOOKED_THROUGH = 30
"""Lines."""
_LONGEST = 10_000
_KNOWN = {plain(name) for name in (*COLUMNS, *OURS)} | {word for words in MEANT.values() for word in words}


def header_below(opened: Callable[[], TextIO], first: int) -> int:
    """The line below line `first` that looks like a header: names of two of our columns at least, and more than `first` has; 0 if none."""
    with opened() as file:
        lines = [file.readline(_LONGEST) for _ in range(LOOKED_THROUGH)]
    own = _hits(lines[first - 1]) if first <= len(lines) else 0
    likely = [(_hits(line), -number) for number, line in enumerate(lines, 1) if number > first]
    best, number = max(likely, default=(0, 0))
    return -number if best >= 2 and best > own else 0


def _hits(line: str) -> int:
    try:
        cells = next(csv.reader([line], delimiter=separator_of(line)), [])
    except csv.Error:
        return 0
    return len({plain(cell) for cell in cells} & _KNOWN) + sum(plain(cell).startswith("temperature") for cell in cells)
