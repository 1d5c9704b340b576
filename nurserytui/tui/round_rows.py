"""The round as rows of a list, and the few lines around it: no widgets here, only words."""

from __future__ import annotations

from collections.abc import Sequence, Set
from typing import NamedTuple

from rich.cells import cell_len
from textual.content import Content
from textual.style import Style

from nurserytui.answers.round_lines import CHANGES
from nurserytui.answers.round_lines import plain as without_dates
from nurserytui.answers.tasks import Task
from nurserytui.answers.wording import counted
from nurserytui.pages.round import KINDS, PERIODS, Done, Entry, Item, Round, Why, by_when, nothing, reasons
from nurserytui.tui.tick_list import Row
from nurserytui.tui.words import short
from nurserytui.visible import visible

LONGEST = 300
"""Characters of a task that a row looks at; it shows fewer."""
NAMED = 3
"""Records that are read back by name."""
LISTED = 30
"""Tasks of a gathered line that are listed beside it."""
FOLDED_FROM = 9
"""Alike tasks from which a gathered line is folded until it is opened."""
ALL = "all|"
DONE = "done|"


class Laid(NamedTuple):
    """The rows, and what each of those that can be ticked is."""

    rows: list[Row]
    entries: dict[str, Entry]
    """Gathered lines by key."""
    items: dict[str, Item]
    done: dict[str, Done]


def lay_out(page: Round, turned: Set[str], writing: Set[str]) -> Laid:
    """Every row, from the gravest to what was done. `turned` are gathered lines that were folded or unfolded by hand, `writing` the items
    whose record is on its way."""
    laid = Laid([], {}, {}, {})
    open_ = {item.key for item in page.items if item.done is None}
    for section in page.sections:
        laid.rows.append(Row("", f"{section.head}  {section.open or 'all done'}", kind="head"))
        for entry in section.entries:
            if len(entry.items) == 1:
                _add(laid, entry.items[0], page, writing, open_, without_dates(entry.items[0].task.label))
                continue
            task = entry.items[0].task
            key = f"{ALL}{section.head}|{task.kind}|{task.event}|{task.due if task.kind not in CHANGES else ''}"
            laid.entries[key] = entry
            folded = is_folded(key, entry, turned)
            laid.rows.append(_gathered(key, entry, folded, writing))
            for item in entry.items if not folded else ():
                _add(laid, item, page, writing, open_, item.task.brief or item.task.name, 4)
    if not page.sections:
        laid.rows.append(Row("", _line(nothing(page)), kind="told", most=4))
    if page.done:
        laid.rows.append(Row("", f"Done today  {len(page.done)}", kind="head"))
        for one in page.done:
            laid.done[f"{DONE}{one.which}"] = one
            laid.rows.append(Row(f"{DONE}{one.which}", _line(one.words), one.hour, "[x]", kind="done"))
    return laid


def is_folded(key: str, entry: Entry, turned: Set[str]) -> bool:
    """Whether the single tasks of a gathered line are out of sight."""
    return (len(entry.items) >= FOLDED_FROM) != (key in turned)


def _gathered(key: str, entry: Entry, folded: bool, writing: Set[str]) -> Row:
    done = len(entry.items) - entry.open
    mark = "[x]" if not entry.open else "[-]" if done else "[ ]"
    if any(item.key in writing for item in entry.items):
        mark = "[~]"
    said = "done · " if not entry.open else f"{done} of {len(entry.items)} done · " if done else ""
    return Row(key, f"{'▸' if folded else '▾'} {said}{_line(entry.words)}", "", mark, kind="open" if entry.open else "done")


def _add(laid: Laid, item: Item, page: Round, writing: Set[str], open_: Set[str], words: str, indent: int = 0) -> None:
    """The row of one item. What is ticked keeps its key, so that the cursor stays on it, unless the same task has come up again."""
    words, key = _line(words), item.key
    if item.done and (key in open_ or key in laid.items):
        key = f"{key}|{item.done.which}"
    margin = "" if item.task.due <= page.now.date() else f"{item.task.due:%a} {item.task.due.day}"
    row = Row(key, words, margin, "[ ]", indent)
    if item.done:
        row = Row(key, f"done · {words}", item.done.hour, "[x]", indent, "done")
    elif key in writing:
        row = row._replace(words=f"being written · {words}", mark="[~]")
    laid.items[key] = item
    laid.rows.append(row)


def _line(text: str) -> str:
    return short(text, LONGEST).replace("\t", " ")


# Around the list ----------------------------------------------------------------------------------------------------------


def heading(page: Round, width: int) -> str:
    """Beside the heading: the moment and the sums, as much of them as there is room for."""
    moment = f"{page.now:%a} {page.now.day} {page.now:%b}, {page.now:%H:%M}"
    open_ = f"{page.open} to do" if page.open else "nothing to do"
    parts = [open_]
    parts += [f"{page.pressing} cannot wait"] if page.pressing else []
    parts += [f"{page.overdue} overdue"] if page.overdue else []
    parts += [f"{page.ticked} done"] if page.ticked else []
    for words in (f"{moment}  {' · '.join(parts)}", " · ".join(parts), " · ".join(parts[:-1]), " · ".join(parts[:2]), open_):
        if words and len(words) <= width:
            return words
    return open_


def choosing(period: str, kind: str, place: str, width: int) -> Content:
    """The line that says what is shown: how many days, what kind of work, which place; what holds stands in brackets."""
    for room in (width, 0):
        where = f"[{short(place, max(width - 62, 12) if room else max(width - 24, 6)) if place else 'everywhere'}]"
        groups = [
            [_choice(name, name == period, "period") for name in PERIODS if room or name == period],
            [_choice(name, name == (kind or "all"), "kind") for name in ("all", *KINDS) if room or name == (kind or "all")],
            [_linked(where, "place", "", "bold $secondary")],
        ]
        line = Content("   " if room else " ").join(Content("").join(group) for group in groups)
        if line.cell_length <= width:
            break
    return line


def _choice(name: str, holds: bool, what: str) -> Content:
    shown = f"[{name}] " if holds else f" {name}  "
    return _linked(shown, what, name, "bold $secondary" if holds else "$text-muted")


def _linked(words: str, what: str, name: str, style: str) -> Content:
    """Words that set what is shown when they are clicked; the name is one of ours."""
    return Content.styled(words, style).stylize(Style.from_meta({"@click": f"screen.choose({what!r}, {name!r})"}))


def read_back(answers: Sequence) -> str:
    """What so many answers wrote or took back, the first of it by name."""
    labels = [item["label"] for answer in answers for item in answer.items]
    more = f" and {len(labels) - NAMED} more" if len(labels) > NAMED else ""
    return f"{'; '.join(labels[:NAMED])}{more}"


def settling(tasks: Sequence[Task]) -> str:
    """The tasks that a record settled beside its own, as the end of a sentence."""
    names = [without_dates(task.label) for task in tasks]
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return f", which settles as well: {'; '.join(names[:NAMED])}{more}" if names else ""


def behind(item: Item, page: Round, why: Why | None, width: int, folded: bool = True) -> Content:
    """What stands behind a task: its reasons, what ticking it writes, the cautions, and where it is folded, how much more there is."""
    task = item.task
    by = by_when(task, page.now)
    parts = [Content.styled(_line(without_dates(task.label)) + (f", {by}" if by else ""), "bold")]
    parts += [hung("· ", reason, width) for reason in reasons(task)]
    if item.done:
        parts.append(
            Content.assemble(("done  ", "bold $success"), (f"{item.done.hour} {_line(item.done.words)}. u takes it back.", ""))
        )
    else:
        parts.append(Content.assemble(("Space writes  ", "$text-muted"), (_line(task.record), "$accent")))
    if why is None:
        return Content("\n").join(parts)
    parts += [Content.assemble(("Take care: ", "bold $warning"), (visible(caution), "")) for caution in why.cautions]
    if folded:
        steps = f"{counted(len(why.working), 'step')} of working, " if why.working else ""
        parts.append(Content.styled(f"▸ w: {steps}{counted(len(why.sources), 'source')}", "$text-muted"))
    return Content("\n").join(parts)


def worked_out(why: Why, width: int) -> Content:
    """How the reasons of a task were worked out, and where the numbers come from."""
    parts = []
    if why.working:
        parts.append(Content.styled("▾ working", "$text-muted"))
        parts += [hung(f"{number}. ", step, width) for number, step in enumerate(why.working, 1)]
    parts.append(Content.styled("▾ from", "$text-muted"))
    parts += [hung("· ", f"{source.citation} ({source.kind})", width) for source in why.sources]
    parts.append(Content.styled("w folds it", "$text-muted"))
    return Content("\n").join(parts)


def behind_all(entry: Entry, width: int) -> Content:
    """What stands behind a gathered line: each of its tasks with what ticking writes."""
    parts = [
        Content.styled(_line(entry.words), "bold"),
        Content.styled("Space ticks all that are open, one record each.", "$text-muted"),
    ]
    for item in entry.items[:LISTED]:
        said = f"done {item.done.hour}" if item.done else f"writes {_line(item.task.record)}"
        parts.append(hung("· ", f"{_line(item.task.brief or item.task.name)}: {said}", width))
    if len(entry.items) > LISTED:
        parts.append(Content(f"· {len(entry.items) - LISTED} more"))
    return Content("\n").join(parts)


def behind_done(one: Done) -> Content:
    """What stands behind a record of today."""
    return Content(f"{one.hour}  {visible(one.words)}\nu takes it back.".strip())


def hung(sign: str, text: str, width: int) -> Content:
    """A text under its sign: further lines begin below its first word."""
    pieces = Content(visible(text)).wrap(max(width - cell_len(sign), 8))
    lead = Content.styled(sign, "$secondary")
    return Content("\n").join(
        Content("").join([lead if not at else Content(" " * cell_len(sign)), Content(piece.plain.rstrip())])
        for at, piece in enumerate(pieces)
    )
