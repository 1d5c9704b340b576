"""The board as text: one paragraph a group of animals, with the change to expect next."""

from __future__ import annotations

from datetime import datetime

from nurserytui.answers.board import Row, board
from nurserytui.answers.wording import short_day, stage_count


def read(nursery) -> tuple[list[Row], datetime]:
    """The rows of the board, what comes first on top, and the moment they are of."""
    return board(nursery), nursery.now


def plain(page: tuple[list[Row], datetime]) -> list[str]:
    """One line a row: who, how many, where, and what is next."""
    rows, now = page
    head = f"{short_day(now)} {now.year}, {now:%H:%M}"
    return [head, *(_line(row) for row in rows)] if rows else [head, "No animals yet."]


def _line(row: Row) -> str:
    who = row.common or row.species or "unknown"
    count = f"{'about ' if row.estimate else ''}{stage_count(row.count, row.stage)}"
    where = f" in {row.enclosure}" if row.enclosure else ""
    return f"{row.cohort}: {count}, {who}{where}; {_next(row)}"


def _next(row: Row) -> str:
    if not row.next_event:
        return "to be released when fit" if row.stage == "adult" else "nothing to expect"
    if row.resting:
        return "resting, a look now and then will do"
    if row.median is None:
        return f"{row.next_event}: cannot say yet"
    if row.overdue:
        return f"overdue to {row.next_event}"
    first, last = short_day(row.first), short_day(row.last)
    between = f", between {first} and {last}" if first != last else ""
    return f"{row.next_event} about {short_day(row.median)}{between}"
