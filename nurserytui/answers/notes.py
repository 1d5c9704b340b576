"""Which of the notes and deaths found a question is about, by the words that they share."""

from __future__ import annotations

import re

from nurserytui.answers.agents import alike, cause_words, same_cause
from nurserytui.answers.told import Row


def holding(rows: list[Row], plain: str) -> list[Row]:
    """The notes that hold a word of what they are asked to be `about`; all of them where nothing is said."""
    about = re.search(r"\b(?:about|regarding|concerning|on|mention\w*|with)\b(.*)$", plain)
    words = (
        [word.rstrip("s") for word in re.findall(r"[a-z]{3,}", about[1]) if word not in ("the", "and", "that")] if about else []
    )
    if not words:
        return rows
    return [row for row in rows if any(word in f"{row.event.note} {row.event.detail}".casefold() for word in words)]


def noted(rows: list[Row], plain: str) -> list[Row]:
    """The notes that share most words with the line (`did I ever order that mesh`); none where no note shares any."""
    asked = re.findall(r"[a-z]{4,}", plain)
    shared = [
        (sum(alike(word, other) for word in asked for other in re.findall(r"[a-z]{4,}", row.event.note.casefold())), row)
        for row in rows
        if row.event.what == "note"
    ]
    most = max((count for count, _ in shared), default=0)
    return [row for count, row in shared if count == most] if most else []


def caused(rows: list[Row], request, nursery) -> list[Row]:
    """Of deaths those of the cause that the line names (`the first npv death`); all of them where it names none."""
    agents = [name for named in request.agents for name in named.names]
    named = cause_words(request, nursery)
    if not agents and not named:
        return rows
    return [row for row in rows if row.event.what != "died" or same_cause(row.event.detail, agents, named, nursery)]
