"""Names and board rows as styled text. Everything typed or imported becomes plain characters here: nothing is parsed as markup."""

from __future__ import annotations

import re
from datetime import datetime

from textual.content import Content

from nurserytui.visible import visible

LONGEST_NAME = 24
DAY_AGAIN = re.compile(r"(\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]+(?: \d{4})?(?:, \d\d:\d\d)?) \(\d{4}-\d\d-\d\d\)")
"""A day in words with the same day in figures behind it."""
MOST_GROUPS = 100
"""Groups that the board draws: more would hold up the screen, and nobody reads them there."""


def days_once(text: str) -> str:
    """The text without figures behind a day in words: on a screen the words are enough."""
    return DAY_AGAIN.sub(r"\1", text)


def short(text: str, longest: int = LONGEST_NAME) -> str:
    """A name that cannot break a row."""
    text = visible(text).replace("\n", " ")
    return text if len(text) <= longest else text[: longest - 1] + "…"


def board_lines(rows, now: datetime, width: int) -> Content:
    """The board: two lines a group, what is next under who it is."""
    if not rows:
        return Content("No animals yet.\nWrite down the first find, for example:\nfound 3 monarch eggs on milkweed, jar 1")
    from nurserytui.answers.wording import stage_count

    lines = []
    for row in rows[:MOST_GROUPS]:
        who = short(row.common or row.species or "unknown", width - 2)
        count = f"{'~' if row.estimate else ''}{stage_count(row.count, row.stage)}"
        lines.append(
            Content.assemble(
                (short(row.cohort, 12), "bold $primary"),
                (f"  {count}", ""),
                (f"  {short(row.enclosure, 16)}", "$foreground-muted"),
            )
        )
        lines.append(Content.assemble((f"  {who}", "")))
        lines.append(Content.assemble(("  ", ""), *_next(row, now)))
    if len(rows) > MOST_GROUPS:
        lines.append(Content(f"and {len(rows) - MOST_GROUPS} groups more: F5 lists all cohorts"))
    return Content("\n").join(lines)


def _next(row, now: datetime):
    if row.pending:
        return [("being worked out", "$foreground-muted")]
    if not row.next_event:
        return [("out: release when fit", "$accent")] if row.stage == "adult" else [("nothing to expect", "$foreground-muted")]
    if row.resting:
        return [("resting: a look now and then", "$foreground-muted")]
    if row.median is None:
        return [(f"{row.next_event}: cannot say yet", "$foreground-muted")]
    if row.overdue:
        return [("OVERDUE ", "bold $error"), (f"to {row.next_event}", "")]
    days = (row.median.date() - now.date()).days
    soon = "today" if days <= 0 else "tomorrow" if days == 1 else f"in {days} days"
    return [(f"{row.next_event} ", ""), (f"{row.median:%a} {row.median.day} {row.median:%b}", "bold $accent"), (f", {soon}", "")]


def strip_line(rows, now: datetime, width: int) -> Content:
    """The board in one line, for narrow screens: how many animals, how many groups are overdue, and what is next."""
    total = sum(row.count for row in rows)
    late = sum(1 for row in rows if row.overdue)
    coming = next((row for row in rows if row.median and not row.overdue), None)
    waits = any(row.pending for row in rows)
    text = f"{total} animals" + (f", {late} overdue" if late else "") + (", being worked out" if waits else "")
    if coming:
        what = f"{short(coming.cohort, 10)} {coming.next_event}"
        # A date cut in the middle is another date: the shorter form, or none.
        for ahead in (f" · {what} {coming.median:%a} {coming.median.day}", f" · {what} {coming.median:%a}"):
            if len(text + ahead) <= width:
                return Content(text + ahead)
    return Content(short(text, width))
