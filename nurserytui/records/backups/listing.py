"""The kept copies as a keeper reads them, and which of them is meant by a word, a number of that list or a day."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

from nurserytui.records.backups.by_itself import rule_of
from nurserytui.records.backups.choosing import chosen
from nurserytui.records.backups.kept import WHY, Kept, command, counted, keep, kept
from nurserytui.records.backups.rule import Rule, sentence
from nurserytui.records.errors import StoreError


def lines(copies: list[Kept], passed_over: dict[Path, str]) -> list[str]:
    """One numbered line a copy, in the order given, with what is wrong with those that were looked through."""
    wide = len(str(len(copies)))
    return [
        f"{number:>{wide}}  {one.said}, {_size(one.size)}, {WHY[one.why]}"
        + (f"; {passed_over[one.path]}" if not passed_over.get(one.path, "kept").startswith("kept") else "")
        for number, one in enumerate(copies, 1)
    ]


def _size(count: int) -> str:
    value, unit = float(count), "bytes"
    for unit in ("bytes", "kB", "MB", "GB"):
        if value < 1000 or unit == "GB":
            break
        value /= 1000
    return f"{value:.0f} {unit}" if value >= 10 or unit == "bytes" else f"{value:.1f} {unit}"


def listed(path: str | Path, now: datetime | None = None) -> list[str]:
    """The kept copies of the nursery at `path`, newest first, and how one is put back."""
    copies = list(kept(path, now))
    if not copies:
        return [f"No backup of {path} is kept."]
    newest, passed_over = chosen(path, now)
    number = next((at for at, one in enumerate(copies, 1) if newest and one.path == newest.path), 0)
    which = "the newest" if number == 1 else f"the newest that is sound, number {number},"
    first = (
        f"To put {which} back: {command('restore newest', path)}; another"
        if number
        else "None is sure to be sound. To put one back,"
    )
    return [
        *lines(copies, passed_over),
        f"{first} by its number or day: {command(f'restore {copies[-1].moment:%Y-%m-%d}', path)}. It is shown first what would change.",
    ]


def asked(store, now: datetime | None = None) -> list[str]:
    """Make a backup because the keeper asks for it; which are kept then, and the rule with the way to change it."""
    rule = rule_of(store)
    made = keep(store.path, "asked", now, rule=rule)
    return [
        f"{made.path}: a copy of {store.path} with {counted(made.events)}, read back"
        + (f"; but {made.doubt}, as in the nursery itself: {command('check', store.path)}" if made.doubt else ""),
        *listed(store.path, now),
        *ruled(rule, store.path),
    ]


def ruled(rule: Rule, path: str | Path) -> list[str]:
    """The rule, and how it is changed."""
    change = command('ask "backups daily, keep 10 days"', path)
    return [sentence(rule), f"Another rule: {change}; or backups off, backups on."]


def meant(which: str, path: str | Path, now: datetime | None = None) -> Path:
    """The file that is meant by `newest`, a number of the list, a day (`2026-06-17`, `2026-06-17T0730`) or a file's name.

    StoreError if there is no such copy.
    """
    stamp = which.replace(" ", "T").replace(":", "")
    if which == "newest":
        found, passed_over = chosen(path, now)
        see = f"none of the backups that are kept is sure to be sound; see them and choose a number: {command('restore', path)}"
        missing = see if passed_over else f"no backup of {path} is kept"
    elif which.isdecimal() and not Path(which).exists():
        copies = list(kept(path, now))
        found = copies[int(which) - 1] if 0 < int(which) <= len(copies) else None
        missing = f"there is no backup number {which}; there are {len(copies)}" if copies else f"no backup of {path} is kept"
    elif re.fullmatch(r"\d{4}-\d\d-\d\d(T[-\w]*)?(\.db)?", stamp) and not Path(which).exists():
        found = next((one for one in kept(path, now) if one.path.name.startswith(stamp)), None)
        missing = f"no backup of {which} is kept; say the command without it to see those that are"
    else:
        return Path(which)
    if found is None:
        raise StoreError(missing)
    return found.path
