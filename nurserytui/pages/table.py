"""Rows of text in columns: no line wider than told, a wide character counted as the two cells that it takes, nothing that steers a terminal."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

GAP = 2
"""Cells between two columns."""
LEAST = 18
"""Cells that the first column gets, if it needs them."""
STACKED = 3
"""Marks over one letter that are still shown: more of them climb over other rows."""


class Heading(str):
    """A line that names what stands below it."""


class Columns(str):
    """The line that names the columns of a table."""


def clean(text: str) -> str:
    """One line of text without control characters, escapes and direction marks: they are shown as their replacement sign."""
    shown, marks = [], 0
    for one in text:
        kind = unicodedata.category(one)
        marks = marks + 1 if kind in ("Mn", "Me") else 0
        if marks <= STACKED:
            shown.append(" " if one in "\n\t" else "\ufffd" if kind in ("Cc", "Cf", "Cs", "Zl", "Zp") else one)
    return "".join(shown)


def fit(text: str, cells: int) -> str:
    """The text, cut with an ellipsis if it takes more cells than told."""
    from rich.cells import cell_len, set_cell_size

    text = clean(text[: 8 * max(cells, 1)])
    if cell_len(text) <= cells:
        return text
    return f"{set_cell_size(text, cells - 1).rstrip()}…" if cells > 0 else ""


def padded(text: str, cells: int, *, right: bool = False) -> str:
    """The text in a column of so many cells."""
    from rich.cells import cell_len

    text = fit(text, cells)
    space = " " * (cells - cell_len(text))
    return space + text if right else text + space


def table(rows: Sequence[Sequence[str]], width: int, *, head: Sequence[str] = (), left: Sequence[int] = (0,)) -> list[str]:
    """The rows as lines of at most `width` cells. Columns are as wide as they need, the first one gives way; all but those of `left` stand
    to the right. Where the first would get too little, each row is told in lines of its own instead: nothing is left out."""
    from rich.cells import cell_len

    everything = [tuple(clean(cell) for cell in row) for row in ([head, *rows] if head else rows)]
    if not everything:
        return []
    needed = [max(cell_len(row[at]) for row in everything) for at in range(len(everything[0]))]
    others = sum(needed[1:]) + GAP * (len(needed) - 1)
    if min(needed[0], LEAST) + others > width:
        return _stacked(everything[1:] if head else everything, width, everything[0] if head else ("",) * len(needed))
    needed[0] = min(needed[0], width - others)
    lines = [
        (" " * GAP).join(padded(cell, cells, right=at not in left) for at, (cell, cells) in enumerate(zip(row, needed))).rstrip()
        for row in everything
    ]
    return [Columns(lines[0]), *lines[1:]] if head else lines


def _stacked(rows, width: int, head: Sequence[str]) -> list[str]:
    """Each row as its name, and below it what the columns hold."""
    from rich.cells import cell_len

    lines = []
    for name, *cells in rows:
        lines.append(fit(f"{head[0]} {name}".strip(), width))
        parts = [f"{words} {cell}".strip() for words, cell in zip(head[1:], cells) if cell]
        line = ""
        for at, part in enumerate(parts):
            part += "," if at + 1 < len(parts) else ""
            if line and GAP + cell_len(line) + 1 + cell_len(part) > width:
                lines.append(" " * GAP + line)
                line = ""
            line = f"{line} {part}".strip()
            while GAP + cell_len(line) > width and " " in line:
                first, _, line = line.rpartition(" ") if cell_len(line.rpartition(" ")[0]) + GAP <= width else line.partition(" ")
                lines.append(fit(" " * GAP + first, width))
        if line:
            lines.append(fit(" " * GAP + line, width))
    return lines
