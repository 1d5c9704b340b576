"""Events that are not as they were written, noticed as they are read: a letter changed inside a cell looks like any other to SQLite."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from zlib import crc32

MORE = "instant, written"
"""What the sum of an event covers beside its columns."""


def changed(rows: Sequence[tuple], sums: Mapping[int, int]) -> list[str]:
    """The ids of those rows whose sum is not the one kept. A row has the columns of an event, `MORE` and its number."""
    return [row[14] for row in rows if _sum(*row) != sums.get(row[-1])]


def unlike(numbers: Sequence[int], sums: Iterable[int], first: int) -> bool:
    """Whether events are gone or stand there twice: they are numbered without a gap from `first` on, and `sums` are kept of no others.

    Where a page was lost and another stands in its place, SQLite reads on.
    """
    return numbers != [*range(first, first + len(numbers))] or not {*sums} <= {*numbers}


def _sum(
    when, what, cohort, mark, species, stage, instar, count, estimate, enclosure, to, host, detail, note, id, withdraws, by, place,
    latitude, longitude, parent, group, instant, written, seq,
) -> int:  # fmt: skip
    """`sums.row_sum` of a row of `events`, for very many of them."""
    cells = (
        f"{seq}\x1f{when}\x1f{what}\x1f{cohort}\x1f{mark}\x1f{species}\x1f{stage}\x1f{instar}\x1f{count}\x1f{estimate}\x1f{enclosure}\x1f"
        f"{to}\x1f{host}\x1f{detail}\x1f{note}\x1f{id}\x1f{withdraws or None}\x1f{by}\x1f{place}\x1f{latitude!r}\x1f{longitude!r}\x1f"
        f"{parent}\x1f{group}\x1f{instant}\x1f{written}"
    )
    return crc32(cells.encode("utf-8", "surrogatepass"))


def told(ids: Sequence[str], unlike: bool = False) -> str:
    """What a keeper is to know of changed events, and of some that are gone or stand there twice; "" if there is nothing."""
    if unlike:
        return "some events are gone or stand there twice: counts may be wrong; nurserytui check tells more"
    if not ids:
        return ""
    which = (
        f"event {ids[0]} is not as it was written"
        if len(ids) == 1
        else f"{len(ids):,} events are not as they were written, the first {ids[0]}"
    )
    return f"{which}: counts may be wrong; nurserytui check tells more"


def readings_told(count: int) -> str:
    """The same of so many readings."""
    which = "1 reading is not as it was" if count == 1 else f"{count:,} readings are not as they were"
    return f"{which} written: temperatures may be wrong; nurserytui check tells more" if count else ""
