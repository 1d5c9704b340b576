"""The round in lines: under the head of each priority, the same act for several enclosures in one, the rest counted."""

from __future__ import annotations

import re

from nurserytui.answers.tasks import Task
from nurserytui.answers.wording import listed, short_day

SHOWN = 20
WIDTH = 110
"""Characters that a line of the round has room for: further reasons stand in the items and in the working."""
ISO = re.compile(r" \(\d{4}-\d{2}-\d{2}\)")
HEADS = {1: "First:", 2: "Today:", 3: "Can wait or comes soon:"}
GATHERED = {
    ("feed", ""): "Fresh leaf in {count} enclosures",
    ("nectar", ""): "Food for the adults of {count} groups, if they stay",
    ("clean", ""): "Clean {count} enclosures",
    ("check", ""): "Look at the animals of {count} enclosures",
    ("pupae", ""): "Look at pupae in {count} enclosures for wings that show through",
    ("moult", "moult"): "Do not disturb {count} groups, a moult is near",
    ("due", "hatch"): "{count} groups may hatch, have tender leaf ready",
    ("due", "pupate"): "{count} groups may pupate, do not move what hangs or spins",
    ("due", "emerge"): "{count} groups may come out, look for wings through the shell and clear the space below",
    ("late", "hatch"): "Check {count} groups overdue to hatch: look for dark tips, dents and pinholes",
    ("late", "pupate"): "Check {count} groups overdue to pupate: one that eats is alive, one that is limp or dark is not well",
    (
        "late",
        "emerge",
    ): "Check {count} groups overdue to come out: a wriggle, weight and colour mean life, holes and soft dark spots do not",
}
"""Acts, by kind and event, that are one line where several enclosures want the same."""
GATHER_FROM = 3
NAMED = 12
"""Enclosures that a gathered line names."""
WORDS = {
    "feed": "to feed", "nectar": "to feed", "clean": "to clean", "check": "to look at", "pupae": "to look at for darkening",
    "moult": "to leave alone", "due": "due to change", "late": "overdue", "release": "to release", "watch": "on watch", "sign": "with a sign",
    "water": "to water", "cuttings": "to cut", "short": "to cut", "disinfect": "to disinfect", "hold": "to keep back",
    "share": "to take apart", "apart": "to take out", "crowd": "too full", "wasps": "with wasps or flies loose",
}  # fmt: skip


def shown(found: list[Task], nursery, room: int = SHOWN) -> list[str]:
    """The tasks under their heads, at most `room` lines of them; what is left out is counted by its kind."""
    lines: list[str] = []
    left: dict[str, int] = {}
    for priority, head in HEADS.items():
        rows = gathered([task for task in found if task.priority == priority], nursery)
        if rows and room:
            lines.append(head)
        for words, those in rows:
            if room:
                lines.append(words)
                room -= 1
            else:
                for task in those:
                    left[WORDS[task.kind]] = left.get(WORDS[task.kind], 0) + 1
    if left:
        lines.append(f"And {sum(left.values())} more: {listed(f'{count} {words}' for words, count in left.items())}.")
    return lines


def gathered(found: list[Task], nursery, reasons: bool = True) -> list[tuple[str, list[Task]]]:
    """(line, its tasks) in the order of the tasks."""
    today = nursery.now.date()
    return [
        ("\n".join(_list(words, those, today)) if words else bullet(those[0], today, reasons), those)
        for words, those in together(found)
    ]


def together(found: list, task_of=lambda one: one) -> list[tuple[str, list]]:
    """What is one line, in the order given: (the act, those for whom it is) where several enclosures want the same, else ("", [one])."""
    alike: dict[tuple, list] = {}
    for one in found:
        alike.setdefault(_kin(task_of(one)), []).append(one)
    rows = []
    for one in found:
        task = task_of(one)
        those, words = alike[_kin(task)], GATHERED.get((task.kind, task.event))
        if not words or len(those) < GATHER_FROM:
            rows.append(("", [one]))
        elif one is those[0]:
            rows.append((words.format(count=len(those)), those))
    return rows


CHANGES = ("due", "moult")


def _kin(task: Task) -> tuple:
    """What is one line: the same act on one day; changes that lie ahead whatever their day, which is told of each."""
    return (task.kind, task.event, None if task.kind in CHANGES else task.due)


def _list(words: str, those: list[Task], today) -> list[str]:
    """The act, and whom it is for, in as many lines as they take."""
    each = task_day = those[0].due if those[0].due > today else None
    if those[0].kind in CHANGES:
        task_day = None
        each = any(one.due > today for one in those)
    names = [one.brief + (f" ({short_day(one.due)})" if each and task_day is None else "") for one in those[:NAMED]]
    if len(those) > NAMED:
        names.append(f"{len(those) - NAMED} more")
    lines = [f"- {words}{f', by {short_day(task_day)}' if task_day else ''}:"]
    for at, name in enumerate(names):
        end = "." if at == len(names) - 1 else ";"
        if len(lines[-1]) + len(name) + 2 > WIDTH:
            lines.append(" ")
        lines[-1] += f" {name}{end}"
    return lines


def bullet(task: Task, today, reasons: bool = True) -> str:
    """One task in a line: what to do, by when, and as many of its reasons as there is room for."""
    line = f"- {plain(task.label)}{_by(task, today, reasons)}"
    told = parted(task, today)[0] if reasons else []
    return f"{line}{'; ' if ':' in line and told else ': ' if told else ''}{'; '.join(told)}."


def _by(task: Task, today, reasons: bool) -> str:
    """By when work is due; the reason of a change says when it is expected."""
    if task.due <= today or (task.kind in CHANGES and reasons):
        return ""
    return f", {'from' if task.kind in CHANGES else 'by'} {short_day(task.due)}"


def parted(task: Task, today) -> tuple[list[str], list[str]]:
    """The reasons of a task that its line has room for, and the others."""
    length = len(plain(task.label)) + 2 + len(_by(task, today, True))
    told: list[str] = []
    clauses = plain(task.reason).split("; ")
    while clauses and length + 2 + len(clauses[0]) < WIDTH:
        length += 2 + len(clauses[0])
        told.append(clauses.pop(0))
    return told, clauses


def plain(text: str) -> str:
    """Days in one form: without the figures beside the words."""
    return ISO.sub("", text)


def gravest(found: list[Task]) -> str:
    """How many tasks may cost animals today, of which kinds, and where to begin; "" where none may."""
    grave = [task for task in found if task.priority == 1]
    if not grave:
        return ""
    tally: dict[str, int] = {}
    for task in grave:
        tally[WORDS[task.kind]] = tally.get(WORDS[task.kind], 0) + 1
    return f"{len(grave)} cannot wait ({listed(f'{count} {words}' for words, count in tally.items())}); begin with {grave[0].enclosure or grave[0].name}"
