"""Answers and board rows as styled text. Everything typed or imported becomes plain characters here: nothing is parsed as markup."""

from __future__ import annotations

import re
import unicodedata
from datetime import datetime

from textual.content import Content

from nurserytui.answers.answer import Answer
from nurserytui.answers.wording import stage_count

NOTED = {"answered": "", "recorded": "noted", "clarify": "which?", "unknown": "unsure", "refused": "no"}
"""The word in the margin beside what the assistant says, by status."""
MARGIN = 7
LONGEST_NAME = 24
NUMBERS = re.compile(r"\d{4}-\d\d-\d\d|\d[\d.,:]*")


def plain(text: str) -> str:
    """Text that cannot steer a terminal: control characters, escapes and direction marks are shown as their replacement sign."""
    return "".join(one if one in "\n\t" or unicodedata.category(one) not in ("Cc", "Cf", "Cs") else "\ufffd" for one in text)


def short(text: str, longest: int = LONGEST_NAME) -> str:
    """A name that cannot break a row."""
    text = plain(text).replace("\n", " ")
    return text if len(text) <= longest else text[: longest - 1] + "…"


def asked(text: str) -> Content:
    """The keeper's own line."""
    return Content.styled(plain(text), "bold")


def said(answer: Answer, open_: bool) -> Content:
    """An answer: its first line set off, numbers underlined by weight, then what is folded or unfolded beneath."""
    first, _, rest = plain(answer.text).partition("\n")
    parts: list[Content] = [_with_numbers(first)]
    if rest:
        parts.append(Content(rest))
    for number, option in enumerate(answer.options, 1):
        parts.append(Content.assemble((f"{number} ", "bold $secondary"), (plain(option), "")))
    for caution in answer.cautions:
        parts.append(Content.assemble(("Take care: ", "bold $warning"), (plain(caution), "")))
    parts += _unfolded(answer) if open_ else _folded(answer)
    return Content("\n").join(parts)


def _with_numbers(line: str) -> Content:
    """The line with its numbers set off, so that the eye finds them."""
    parts, at = [], 0
    for match in NUMBERS.finditer(line):
        parts += [(line[at : match.start()], ""), (match.group(), "bold $accent")]
        at = match.end()
    return Content.assemble(*parts, (line[at:], ""))


def _folded(answer: Answer) -> list[Content]:
    held = []
    if answer.working:
        held.append(f"{len(answer.working)} steps of working")
    if answer.sources:
        held.append(f"{len(answer.sources)} {'source' if len(answer.sources) == 1 else 'sources'}")
    return [Content.styled(f"▸ {', '.join(held)}", "$text-muted")] if held else []


def _unfolded(answer: Answer) -> list[Content]:
    parts = [Content.styled("▾ working", "$text-muted")] if answer.working else []
    parts += [Content(f"  {number}. {plain(step)}") for number, step in enumerate(answer.working, 1)]
    if answer.sources:
        parts.append(Content.styled("▾ from", "$text-muted"))
        parts += [Content(f"  · {plain(source.citation)} ({source.kind})") for source in answer.sources]
    return parts


def board_lines(rows, now: datetime, width: int) -> Content:
    """The board: two lines a group, what is next under who it is."""
    if not rows:
        return Content("No animals yet.\nWrite down the first find, for example:\nfound 3 monarch eggs on milkweed, jar 1")
    lines = []
    for row in rows:
        who = short(row.common or row.species or "unknown", width - 2)
        count = f"{'~' if row.estimate else ''}{stage_count(row.count, row.stage)}"
        lines.append(
            Content.assemble(
                (short(row.cohort, 12), "bold $primary"), (f"  {count}", ""), (f"  {short(row.enclosure, 16)}", "$text-muted")
            )
        )
        lines.append(Content.assemble((f"  {who}", "")))
        lines.append(Content.assemble(("  ", ""), *_next(row, now)))
    return Content("\n").join(lines)


def _next(row, now: datetime):
    if not row.next_event:
        return [("out: release when fit", "$accent")] if row.stage == "adult" else [("nothing to expect", "$text-muted")]
    if row.median is None:
        return [(f"{row.next_event}: cannot say yet", "$text-muted")]
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
    text = f"{total} animals" + (f", {late} overdue" if late else "")
    if coming:
        what = f"{short(coming.cohort, 10)} {coming.next_event}"
        # A date cut in the middle is another date: the shorter form, or none.
        for ahead in (f" · {what} {coming.median:%a} {coming.median.day}", f" · {what} {coming.median:%a}"):
            if len(text + ahead) <= width:
                return Content(text + ahead)
    return Content(short(text, width))
