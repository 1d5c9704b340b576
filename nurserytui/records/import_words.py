"""What came of an import, in words: what was added, and of very many faults the first ones and how many more of each kind."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from nurserytui.records.file_text import RowFault
from nurserytui.records.importing import Report

SHOWN = 50
"""Faults that are shown of a file."""
KINDS = 10
"""Kinds of further faults that are told apart."""
_PARTICULAR = re.compile(r"'[^']*'|\"[^\"]*\"|~?\d[\d.,:T-]*")


def added(report: Report, done: str = "imported") -> str:
    """What was written, in one line; `done` says what happened to it."""
    line = f"{_number(report.added, report.kind)} {done}, {report.known:,} already known"
    if report.readings_added or report.readings_known:
        line += f"; {_number(report.readings_added, 'readings')} {done}, {report.readings_known:,} already known"
    return line


def _number(count: int, kind: str) -> str:
    """`1 event`, `2,000 readings`."""
    return f"1 {kind.removesuffix('s')}" if count == 1 else f"{count:,} {kind}"


def fault_lines(faults: Sequence[RowFault], most: int = SHOWN) -> list[str]:
    """The first faults one by one, then how many more there are by kind, each with a line to look at."""
    lines = [str(fault) for fault in faults[:most]]
    rest = faults[most:]
    if not rest:
        return lines
    kinds = Counter(map(_kind, rest))
    example = {_kind(fault): f"{fault.unit} {fault.line}" for fault in reversed(rest)}
    lines.append(f"and {len(rest):,} more:")
    for kind, number in kinds.most_common(KINDS):
        column, words = kind
        lines.append(f"  {number:,} × {f'{column}: ' if column else ''}{words} (first in {example[kind]})")
    others = len(kinds) - KINDS
    if others > 0:
        left = sum(number for _, number in kinds.most_common()[KINDS:])
        lines.append(f"  {left:,} of {others} other kinds")
    return lines


def _kind(fault: RowFault) -> tuple[str, str]:
    """(column, the reason without what is particular to its row)"""
    return fault.column, _PARTICULAR.sub("…", fault.reason.partition(": ")[0])
