"""Which of the kept copies `newest` means, and what is passed over on the way to it and why."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from nurserytui.records.backups.kept import WHY, Kept, command, kept
from nurserytui.records.backups.trust import doubt_of

NOT_TO_GO_BACK_TO = ("before-restore", "before-mending")
"""Copies of what was given up: going back to one would undo the last way back, or bring back what was mended."""


class Chosen(NamedTuple):
    newest: Kept | None
    """The newest copy that can be gone back to; None where there is none."""
    passed_over: dict[Path, str]
    """Newer copies -> why it is none of them."""


def chosen(path: str | Path, now: datetime | None = None) -> Chosen:
    """The copy that `newest` means: whole, as it was written, no safeguard, and not an empty one where another has events.

    Copies are looked through one by one, the newest first, until one is found.
    """
    passed_over: dict[Path, str] = {}
    empty = None
    for one in kept(path, now):
        if one.why in NOT_TO_GO_BACK_TO:
            passed_over[one.path] = f"kept {WHY[one.why]}"
        elif wrong := doubt_of(one.path):
            passed_over[one.path] = f"not sound: {wrong}"
        elif not one.events:
            empty = empty or one
            passed_over[one.path] = "it is empty"
        else:
            return Chosen(one, passed_over)
    if empty is not None:
        del passed_over[empty.path]
    return Chosen(empty, passed_over)


def way_back(path: str | Path) -> str:
    """For whoever tells a keeper that the nursery at `path` cannot be used: the newest sound copy and the command; "" if none is kept."""
    found = chosen(path)
    if found.newest is not None:
        sound = "newest sound" if found.passed_over else "newest"
        return f"the {sound} backup is of {found.newest.said}: {command('restore newest', path)}"
    if found.passed_over:
        return f"see the backups that are kept, none of them sure to be sound: {command('restore', path)}"
    return ""
