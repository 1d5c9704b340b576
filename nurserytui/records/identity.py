"""Ids of events, and the groups of those that were written from one line.

An id that was given here is its group (`g` and twelve hexadecimal digits) and a number, so a group survives an export.
"""

from __future__ import annotations

import os
import re
from collections.abc import Container, Iterable

from nurserytui.records.events import Event

_GROUP = re.compile(r"g[0-9a-f]{12}")
_OURS = re.compile(rf"({_GROUP.pattern})-\d+")


def group_of(id: str) -> str:
    """The group that an id was given in, or "" for an id from elsewhere."""
    found = _OURS.fullmatch(id)
    return found[1] if found else ""


def with_ids(events: Iterable[Event], known: Container[str]) -> list[Event]:
    """The events, each with an id and a group; `known` are the ids on record.

    Events of one call that carry the same `group` text (or none) are one group; a text that is a group of ours already is kept.
    """
    fresh: dict[str, str] = {}
    taken: dict[str, int] = {}
    found = []
    for event in events:
        if event.id:
            group = event.group or group_of(event.id)
            found.append(event if group == event.group else event._replace(group=group))
            continue
        group = fresh.get(event.group)
        if group is None:
            group = fresh[event.group] = event.group if _GROUP.fullmatch(event.group) else f"g{os.urandom(6).hex()}"
        number = taken.get(group, 0) + 1
        while f"{group}-{number}" in known:
            number += 1
        taken[group] = number
        found.append(event._replace(id=f"{group}-{number}", group=group))
    return found
