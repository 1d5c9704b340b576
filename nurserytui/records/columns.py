"""Which of our columns a file's columns are: by name, by what the keeper says, and a near miss is asked about instead of guessed."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from nurserytui.records.file_text import RowFault

_FILLING = re.compile(r"[\s_\-.:\ufeff]+")
_BOM_MISREAD = "ï»¿"
"""A byte order mark of UTF-8 that was read as Windows-1252."""


class Columns(NamedTuple):
    """What each column of the file is."""

    names: tuple[str, ...]
    """One of ours, or the file's own name in lower case."""
    spare: tuple[int, ...]
    """Positions of the columns that are none of ours."""
    faults: tuple[RowFault, ...]


def plain(name: str) -> str:
    """A column's name without what people write differently: case, spaces, underscores, the remains of a byte order mark."""
    return _FILLING.sub("", name.removeprefix(_BOM_MISREAD).casefold())


def matched(
    header: Sequence[str],
    ours: Sequence[str],
    asked: Mapping[str, str],
    line: int,
    *,
    collecting: str = "",
    near: bool = True,
    shown: Sequence[str] = (),
) -> Columns:
    """Match a header with our columns. `asked` maps names of the file to ours, as the keeper said; `collecting` is the column of ours that
    takes what no other does, under its name; `near` looks for near misses; `shown` are the
    names as they stand in the file. Faults: a column that is there twice, an order that fits nothing,
    a near miss."""
    faults: list[RowFault] = []
    wanted = {plain(theirs): (theirs, plain(name)) for theirs, name in asked.items()}
    known = {plain(name): name for name in ours}
    there = {plain(name) for name in header}
    for theirs, name in wanted.values():
        if plain(theirs) not in there:
            faults.append(no_such(theirs, line, shown or header))
        if name not in known:
            guess = near_miss(name, tuple(known))
            also = f"; did you mean {known[guess]}?" if guess else f"; there are {', '.join(ours)}"
            faults.append(RowFault(line, theirs, f"{name} is none of our columns{also}"))
    collected = [theirs for theirs, name in wanted.values() if known.get(name) == collecting]
    if collecting and (len(collected) > 1 or collecting in there - set(wanted)):
        # It has a column of its own: what else goes there goes under its own name.
        wanted = {theirs: pair for theirs, pair in wanted.items() if known.get(pair[1]) != collecting}
    names = [known.get(wanted[plain(name)][1] if plain(name) in wanted else plain(name), name) for name in header]
    for at, name in enumerate(names):
        if name and name in names[:at]:
            faults.append(RowFault(line, "", f"column {name} is there twice"))
    spare = tuple(at for at, name in enumerate(names) if name and name not in ours)
    if near:
        free = [plain(name) for name in ours if name not in names]
        told = {plain(theirs) for theirs in asked}
        for at in spare:
            guess = near_miss(plain(names[at]), free) if plain(names[at]) not in told else ""
            if guess:
                keep = (
                    f", or --column {_said(names[at])}={collecting} to keep it in the {collecting}"
                    if collecting and known[guess] != collecting
                    else ""
                )
                ask = f"did you mean {known[guess]}? import again with --column {_said(names[at])}={known[guess]}{keep}"
                faults.append(RowFault(line, names[at], f"this is none of our columns: {ask}"))
    return Columns(tuple(names), spare, tuple(faults))


def no_such(asked: str, line: int, shown: Sequence[str]) -> RowFault:
    """That the file has no column that the keeper names; `shown` are those that it has."""
    return RowFault(line, asked, f"there is no such column in the file; it has {', '.join(filter(None, shown))[:200]}")


def near_miss(name: str, ours: Sequence[str]) -> str:
    """The one of ours that a name is clearly a misspelling of; "" if none. One letter in a short word, two in a long one."""
    from rapidfuzz.distance import OSA

    best, least = "", 3
    for own in ours:
        longest = max(len(own), len(name))
        if longest < 4 or min(len(own), len(name)) < 3 or (longest < 7 and own[0] != name[0]):
            continue
        away = OSA.distance(own, name)
        if away < least and away <= (1 if longest < 7 else 2):
            best, least = own, away
    return best


def _said(name: str) -> str:
    """A name as it is typed on a command line."""
    return f"'{name}'" if re.search(r"\s", name) else name
