"""What can be wrong with an event by itself, before anything is known of the nursery."""

from __future__ import annotations

import re
from datetime import datetime
from functools import lru_cache
from operator import itemgetter

from nurserytui.records import readings, settings
from nurserytui.records.events import CHANGING, STAGES, WHATS, Event

NEEDS: dict[str, tuple[tuple[str, ...], ...]] = {
    "laid": (("count", "mark"),), "found": (("stage", "instar"), ("count", "mark")), "identified": (("cohort",), ("species",)),
    **{what: (("cohort",),) for what in CHANGING},
    "checked": (("cohort", "enclosure"),), "counted": (("cohort", "enclosure"), ("count",)), "moved": (("cohort", "enclosure"), ("to",)),
    **{what: (("cohort",), ("to",)) for what in ("split", "merged", "renamed")},
    **{what: (("cohort",), ("count", "mark")) for what in ("died", "released", "escaped", "given", "missing", "returned")},
    "sign": (("cohort", "mark", "enclosure"), ("detail",)), "tested": (("cohort",),),
    **{what: (("enclosure", "cohort", "host"),) for what in ("cleaned", "fed", "cut", "watered")},
    "stocked": (("host",), ("count",), ("detail",)), "temperature": (("detail",),), "setting": (("detail",),),
    "withdrawn": (("withdraws",),), "note": (("note",),),
}  # fmt: skip
"""What a row of the table needs: of each tuple, one. The ledger fills in more for a typed line than for a row."""
_NEEDED = {what: tuple((columns, tuple(map(Event._fields.index, columns))) for columns in needs) for what, needs in NEEDS.items()}
_NOTHING = ("", None)
NEEDS_ALWAYS = ("cleaned", "fed", "cut", "watered", "note")
"""Events of which the ledger fills in nothing: without what they need they would say nothing, and no export of them would read back."""
ONLY_PLAIN = ("identified", "merged", "renamed", "withdrawn", "setting", "temperature", "note")
MOST_INSTARS = 12
YEARS = (1800, 2999)
"""Years that a record may be dated in; what is reckoned from one stays within the calendar."""
MOST = 9_999_999
"""Animals, stems or grams of one event: as many as a table's cell is read for, so that every export reads back."""
_WHEN = re.compile(r"\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d(\.\d+)?)?)?")
_texts = itemgetter(*(at for at, value in enumerate(Event("", "")) if isinstance(value, str)))
_UNWRITABLE = re.compile("[\0\ud800-\udfff]")

Finding = tuple[str, str]
"""(column, reason)"""


def findings(event: Event, *, as_row: bool = False) -> list[Finding]:
    """Everything that is wrong with the event by itself; `as_row` adds the columns that a row of a table must fill."""
    what, stage, count = event.what, event.stage, event.count
    found = [] if _is_when(event.when) else when_findings(event.when)
    if what not in WHATS:
        return found + [("what", _no_event(what) if what else "what happened is not said")]
    if as_row or what in NEEDS_ALWAYS:
        for columns, places in _NEEDED[what]:
            for at in places:
                if event[at] not in _NOTHING:
                    break
            else:
                found.append((columns[0], f"{what} needs {' or '.join(columns)}"))
    if stage:
        if stage not in STAGES:
            found.append(("stage", f"{stage!r} is no stage: {', '.join(STAGES)}"))
        if what == "laid" and stage != "egg":
            found.append(("stage", f"what is laid is eggs, not {stage}"))
    if event.instar is not None:
        if not 1 <= event.instar <= MOST_INSTARS:
            found.append(("instar", f"there is no instar {event.instar}"))
        elif stage in STAGES and stage != "larva" and what not in CHANGING:
            found.append(("instar", f"only a larva has an instar, not {stage}"))
    if count is not None:
        least = 0 if what in ("counted", "stocked") else 1
        if count < least:
            found.append(("count", f"{count} is too few for {what}"))
        elif count > MOST:
            found.append(("count", f"{count} is more than any nursery has: {MOST:,} at most"))
        elif event.mark and count != 1 and what not in ONLY_PLAIN:
            found.append(("count", f"a mark names one animal, not {count}"))
    for column, value, most in (("latitude", event.latitude, 90), ("longitude", event.longitude, 180)):
        if value is not None and not abs(value) <= most:
            found.append((column, f"{value:g} is no {column}"))
    if not "".join(_texts(event)).isprintable():
        for column, value in zip(event._fields, event, strict=True):
            if isinstance(value, str) and _UNWRITABLE.search(value):
                found.append((column, "there is a character that no file can hold"))
    if event.withdraws and what != "withdrawn":
        found.append(("withdraws", "only a withdrawn event withdraws another"))
    if event.detail and what in ("temperature", "setting"):
        found += _detail_findings(event)
    return found


@lru_cache(maxsize=10_000)
def _no_event(what: str) -> str:
    from nurserytui.records.events_meant import no_such_event

    return no_such_event(what)


@lru_cache(maxsize=10_000)
def _is_when(when: str) -> bool:
    return not when_findings(when)


def when_findings(when: str) -> list[Finding]:
    try:
        if not _WHEN.fullmatch(when):
            raise ValueError
        if not YEARS[0] <= datetime.fromisoformat(when).year <= YEARS[1]:
            return [("when", f"{when!r} is no date of a nursery: the years {YEARS[0]} to {YEARS[1]} are")]
    except ValueError:
        said = f"{when!r} is no date" if when else "when it happened is not said"
        return [("when", f"{said}: write 2026-07-12, or 2026-07-12T08:00")]
    return []


def _detail_findings(event: Event) -> list[Finding]:
    try:
        settings.read(event) if event.what == "setting" else readings.read(event.detail)
    except ValueError as wrong:
        return [("detail", str(wrong))]
    return []
