"""The animals on watch: who met which outbreak, whether they are there still, and what has closed their watch."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.agents import CLEAR, PARASITOIDS
from nurserytui.answers.cases import Outbreak, outbreaks
from nurserytui.answers.contacts import GRADES, Contact, contacts
from nurserytui.answers.selection import present_label, span_of
from nurserytui.answers.stays import Group
from nurserytui.answers.vulnerable import attacked, past
from nurserytui.answers.wording import day_words

RECENT = timedelta(days=90)
"""Outbreaks older than this are only listed when their time or animals are asked for."""


class Row(NamedTuple):
    """One group that met an outbreak."""

    contact: Contact
    outbreak: Outbreak
    living: tuple
    """((stage, count), ...) of the group now."""
    closed: str = ""
    """What has closed the watch, in words; "" while it is open."""
    unseen: bool = False
    """True where only its days have passed, and nobody has looked since the last of them: that says nothing of the animals."""

    @property
    def over(self) -> bool:
        """True where there is nothing left to watch."""
        return not self.living or bool(self.closed)

    @property
    def open(self) -> bool:
        return bool(self.living) and not self.closed and self.contact.grade != "unlikely"


def rows_of(nursery, meant: list[Outbreak]) -> list[Row]:
    """Contacts of all those outbreaks, one row a group and kind, gravest and living first."""
    best: dict[tuple, Row] = {}
    living = _living(nursery)
    for outbreak in meant:
        for contact in contacts(nursery, outbreak):
            stages = {} if contact.left else living.get(contact.group, {})
            row = Row(contact, outbreak, _meant_by(contact, outbreak, stages))
            which = (contact.group, outbreak.kind, contact.young)
            held = best.get(which)
            if held is None or _weight(row) > _weight(held):
                best[which] = row
    rows = [_settled(nursery, row) for row in best.values()]
    return sorted(rows, key=lambda row: (-GRADES.index(row.contact.grade), row.over, row.contact.group))


def open_watches(nursery) -> list[Row]:
    """The watches that are open now, gravest first; kept until the records or the moment change."""
    return nursery.until_moved("open watches", lambda: [row for row in recent(nursery) if row.open])


def unseen(nursery) -> list[Row]:
    """The watches whose days have passed with nobody looking."""
    return [row for row in recent(nursery) if row.unseen]


def recent(nursery) -> list[Row]:
    """The rows of the outbreaks whose watches may still matter."""

    def found() -> list[Row]:
        return rows_of(nursery, [one for one in outbreaks(nursery) if one.last >= nursery.now - RECENT])

    return nursery.until_moved("recent watches", found)


def _living(nursery) -> dict[Group, dict[str, int]]:
    found: dict[Group, dict[str, int]] = {}
    for key, count in nursery.ledger.heads.items():
        stages = found.setdefault(Group(key.cohort, key.mark, key.enclosure), {})
        stages[key.stage] = stages.get(key.stage, 0) + count
    return found


def _meant_by(contact: Contact, outbreak: Outbreak, stages: dict[str, int]) -> tuple:
    """The living animals of a group that a contact is of: parasitoids struck none that have not come to a stage that they attack."""
    if outbreak.kind not in PARASITOIDS or contact.grade == "unlikely":
        return tuple(stages.items())
    struck = attacked(outbreak)
    return tuple((stage, count) for stage, count in stages.items() if past(stage, struck) is not contact.young)


def _weight(row: Row):
    return GRADES.index(row.contact.grade), row.contact.watch_until or datetime.min


def _settled(nursery, row: Row) -> Row:
    closed = _closed(nursery, row)
    if not closed.startswith(PASSED):
        return row._replace(closed=closed)
    group, end = row.contact.group, row.contact.watch_until.date()
    seen = max((look.date() for look in nursery.ledger.looks(group.cohort, group.enclosure)), default=None)
    if seen is not None and seen >= end:
        return row._replace(closed=closed)
    since = f"; the last look on record is of {day_words(seen, nursery.now)}" if seen is not None else ""
    return row._replace(closed=f"{closed.partition(' with ')[0]}, but nobody has looked since{since}", unseen=True)


PASSED = "it passed on"


def _closed(nursery, row: Row) -> str:
    """Why the watch on living animals is over: it has passed, all came out healthy, or they were tested clear since. "" if it is not."""
    contact, now = row.contact, nursery.now
    if not row.living or contact.grade == "unlikely":
        return ""
    if _came_through(row):
        return "all of them came through"
    clear = _tested_clear(nursery, row)
    if clear:
        return f"tested clear on {day_words(clear, now)}"
    if contact.watch_until is not None and contact.watch_until.date() < now.date():
        return f"{PASSED} {day_words(contact.watch_until, now)} with nothing recorded"
    return ""


def _came_through(row: Row) -> bool:
    """Whether every animal of the group has grown past the stages in which this parasitoid comes out of it.

    A disease may be carried on by an adult that looks well: there only time or a test closes the watch.
    """
    stages, outbreak = {stage for stage, _ in row.living}, row.outbreak
    if outbreak.kind not in PARASITOIDS:
        return False
    if set(attacked(outbreak)) == {"egg"}:
        return "egg" not in stages
    return stages == {"adult"}


def _tested_clear(nursery, row: Row) -> str:
    """The day of a clear test of the whole group since its last contact, "" if there is none."""
    if row.outbreak.kind in PARASITOIDS:
        return ""
    group, ledger = row.contact.group, nursery.ledger
    cohort = ledger.cohorts.get(group.cohort)
    since = min(row.contact.last, nursery.now)
    count = sum(count for _, count in row.living)
    clear = 0
    for event in reversed(ledger.chronicle.about(group.cohort, cohort.former_labels if cohort else ())):
        if event.what != "tested" or present_label(ledger, event.cohort) != group.cohort or span_of(event)[1] < since:
            continue
        if event.mark not in ("", group.mark) or event.enclosure not in ("", group.enclosure):
            continue
        if not CLEAR.search(event.detail.casefold()):
            return ""
        clear += event.count or (1 if event.mark else count)
        if clear >= count:
            return event.day
    return ""
