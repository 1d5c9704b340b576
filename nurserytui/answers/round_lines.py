"""The round in lines: under the head of each priority, the same act for several enclosures in one, the rest counted."""

from __future__ import annotations

from datetime import date

from nurserytui.answers.tasks import Task
from nurserytui.answers.wording import day_words, listed

SHOWN = 20
HEADS = {1: "First:", 2: "Today:", 3: "Can wait or comes soon:"}
GATHERED = {
    ("feed", ""): "Fresh leaf in {count} enclosures",
    ("nectar", ""): "Food for the adults of {count} groups, if they stay",
    ("clean", ""): "Clean {count} enclosures",
    ("check", ""): "Look at the animals of {count} enclosures",
    ("pupae", ""): "Look at pupae in {count} enclosures for wings that show through",
    ("moult", "moult"): "Do not disturb {count} groups, a moult is near",
    ("due", "hatch"): "{count} groups may hatch, have tender leaf ready",
    ("due", "pupate"): "{count} groups may pupate, do not move what hangs",
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
    alike: dict[tuple[str, str, date], list[Task]] = {}
    for task in found:
        alike.setdefault((task.kind, task.event, task.due), []).append(task)
    rows = []
    for task in found:
        those = alike[task.kind, task.event, task.due]
        due = "" if task.due <= nursery.now.date() else f", by {day_words(task.due.isoformat(), nursery.now)}"
        words = GATHERED.get((task.kind, task.event))
        if words and len(those) >= GATHER_FROM:
            if task is those[0]:
                more = f" and {len(those) - NAMED} more" if len(those) > NAMED else ""
                names = "; ".join(one.brief for one in those[:NAMED])
                rows.append((f"- {words.format(count=len(those))}{due}: {names}{more}.", those))
        else:
            rows.append((f"- {task.label}{due}{f': {task.reason}' if reasons else ''}.", [task]))
    return rows
