"""The round as a list to tick off: what cannot wait, what is for today, what can wait, the days ahead, and what was done today."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.overdue import overdue
from nurserytui.answers.record_wording import told
from nurserytui.answers.round import cautions_of, sources_of
from nurserytui.answers.round_lines import CHANGES, together
from nurserytui.answers.round_lines import plain as without_dates
from nurserytui.answers.tasks import Task, rank, tasks
from nurserytui.answers.wording import Cited, cite, counted, short_day

PERIODS = {"today": 0, "3 days": 3, "week": 6}
"""How far ahead -> days beyond today."""
KINDS = {
    "feed": ("feed", "nectar", "water", "cuttings", "short"),
    "clean": ("clean", "disinfect"),
    "look": ("watch", "sign", "wasps", "late", "due", "moult", "pupae", "check", "hold"),
    "move": ("apart", "share", "crowd", "release"),
}
"""What a keeper picks out of the round -> the kinds of task."""
HEADS = {1: "Cannot wait", 2: "Today", 3: "Can wait"}
UNTOLD = ("setting", "withdrawn")
"""Records that are no work on the round."""


class Done(NamedTuple):
    """What was written down for today in one go."""

    which: str
    """What takes exactly this back: its group, or its id where it was written alone."""
    hour: str
    """`07:31`; "" for a day without a time."""
    words: str
    places: tuple[str, ...]


class Item(NamedTuple):
    """One thing to tick."""

    task: Task
    done: Done | None = None
    """The record that ticked it; None while it is open."""

    @property
    def key(self) -> str:
        """The same when the round is read again."""
        task = self.task
        return "|".join((task.kind, task.event, task.name, task.enclosure, *task.cohorts, task.due.isoformat()))


class Entry(NamedTuple):
    """One line of the round: a task, or the same act for several enclosures."""

    words: str
    items: tuple[Item, ...]

    @property
    def open(self) -> int:
        return sum(item.done is None for item in self.items)


class Section(NamedTuple):
    head: str
    entries: tuple[Entry, ...]

    @property
    def open(self) -> int:
        return sum(entry.open for entry in self.entries)


class Round(NamedTuple):
    now: datetime
    period: str
    """One of `PERIODS`."""
    sections: tuple[Section, ...]
    done: tuple[Done, ...]
    """What was written down for today beyond the items that stand ticked, the newest first."""
    overdue: int
    """Groups of animals that should have changed by now, by the judgement that the board goes by."""
    animals: bool
    """Whether there are any cohorts at all."""
    narrowed: str = ""
    """What it was narrowed to, in words."""
    settled: tuple[tuple[Task, str], ...] = ()
    """Tasks that a record settled beside the one it was made for, with that record."""

    @property
    def open(self) -> int:
        return sum(section.open for section in self.sections)

    @property
    def pressing(self) -> int:
        """Open tasks that cannot wait."""
        return sum(item.done is None and item.task.priority == 1 for item in self.items)

    @property
    def ticked(self) -> int:
        """Records of today that are shown."""
        return len(self.done) + len({item.done.which for item in self.items if item.done})

    @property
    def items(self) -> tuple[Item, ...]:
        return tuple(item for section in self.sections for entry in section.entries for item in entry.items)


def read(nursery, which: str = "") -> Round:
    """The round as `which` asks for it: `3 days` or `week`, one of `KINDS`, an enclosure; "" is today, all of it."""
    words = " ".join(which.split())
    period = next((name for name in PERIODS if f" {words} ".casefold().find(f" {name} ") >= 0), "today")
    left = " ".join(f" {words} ".replace(f" {period} ", " ", 1).split())
    kind, _, place = left.partition(" ")
    if kind not in KINDS:
        kind, place = "", left
    return narrowed(around(nursery, period), kind, place)


def around(nursery, period: str = "today", ticked: tuple[tuple[Task, str], ...] = ()) -> Round:
    """The round up to the end of a period. `ticked` are tasks with the records by which they were done: for as long as those stand,
    they keep their place among the others."""
    today = nursery.now.date()
    until = datetime.combine(today, time(23, 59, 59)) + timedelta(days=PERIODS[period])
    done = {one.which: one for one in done_today(nursery)}
    items = [Item(task) for task in tasks(nursery, until)]
    items += [Item(task, done[which]) for task, which in ticked if which in done]
    items.sort(key=lambda item: rank(item.task))
    sections: dict[str, list[Item]] = {head: [] for head in HEADS.values()}
    later: dict = {}
    for item in items:
        begins = item.task.begins or item.task.due
        if begins <= today:
            sections[HEADS[item.task.priority]].append(item)
        else:
            later.setdefault(begins, []).append(item)
    sections |= {f"{short_day(day)}": those for day, those in sorted(later.items())}
    placed = {item.done.which for item in items if item.done}
    return Round(
        nursery.now, period, tuple(Section(head, _entries(those)) for head, those in sections.items() if those),
        tuple(one for one in done.values() if one.which not in placed), len(overdue(nursery)), bool(nursery.ledger.cohorts),
    )  # fmt: skip


def around_after(
    nursery, period: str, ticked: tuple[tuple[Task, str], ...], before: Round | None, fresh: tuple[tuple[Task, str], ...]
) -> Round:
    """The same after the `fresh` ticks: what stood on the round `before` them and one of them settled as well stands ticked by it too."""
    page = around(nursery, period, ticked)
    if not fresh or before is None or (before.period, before.now.date()) != (period, page.now.date()):
        return page
    left = {_same(item.task) for item in page.items}
    settled = []
    for item in before.items:
        if item.done is None and _same(item.task) not in left:
            which = next((which for task, which in fresh if _together(task, item.task)), "")
            settled += [(item.task, which)] if which else []
    return around(nursery, period, (*ticked, *settled))._replace(settled=tuple(settled)) if settled else page


def _same(task: Task) -> tuple:
    """What makes it the same task, on whatever day it is due."""
    return task.kind, task.event, task.name, task.enclosure


def _together(one: Task, other: Task) -> bool:
    """Whether one record can be about both."""
    return bool(one.enclosure and one.enclosure == other.enclosure or set(one.cohorts) & set(other.cohorts))


def _entries(items: list[Item]) -> tuple[Entry, ...]:
    return tuple(
        Entry(words or without_dates(those[0].task.label), tuple(those))
        for words, those in together(items, lambda item: item.task)
    )


def done_today(nursery) -> list[Done]:
    """What was written down for today, the newest first; what was written in one go is one line."""
    together: dict[str, list] = {}
    for event in reversed(nursery.ledger.chronicle.on(nursery.now.date().isoformat())):
        if event.what not in UNTOLD:
            together.setdefault(event.group or event.id, []).insert(0, event)
    return [
        Done(
            which,
            events[0].when[11:16],
            "; ".join(told(event, nursery.knowledge) for event in events),
            tuple(dict.fromkeys(place for event in events for place in (event.enclosure, event.to) if place)),
        )
        for which, events in together.items()
    ]


def narrowed(page: Round, kind: str = "", place: str = "") -> Round:
    """The tasks of one of `KINDS`, or of one enclosure, or both; what was done in it."""
    if not kind and not place:
        return page
    asked = place.casefold()

    def meant(item: Item) -> bool:
        task = item.task
        return (not kind or task.kind in KINDS[kind]) and (
            not asked or asked in (task.enclosure.casefold(), task.name.casefold())
        )

    sections = []
    for section in page.sections:
        items = [item for entry in section.entries for item in entry.items if meant(item)]
        if items:
            sections.append(Section(section.head, _entries(items)))
    done = tuple(one for one in page.done if not asked or asked in (name.casefold() for name in one.places))
    words = " ".join(word for word in (f"to {kind}" if kind else "", f"in {place}" if place else "") if word)
    return page._replace(sections=tuple(sections), done=done, narrowed=words)


class Why(NamedTuple):
    """What stands behind one task."""

    label: str
    reasons: tuple[str, ...]
    record: str
    """The sentence that ticking it writes down."""
    working: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[Cited, ...]


def why(nursery, task: Task) -> Why:
    """The reasons of a task, how they were worked out, what to take care of, and where the numbers come from."""
    rule = nursery.knowledge.rule(task.rule) if task.rule else None
    steps, ids = [rule.text] if rule else [], []
    for found in _forecasts(nursery, task):
        from nurserytui.answers.forecasts import rests_on

        more, of = rests_on(nursery, found)
        steps += more
        ids += of
    sources = dict.fromkeys((*sources_of([task], nursery), *cite(nursery.knowledge, ids)))
    return Why(without_dates(task.label), reasons(task), task.record, tuple(steps), cautions_of([task]), tuple(sources))


def reasons(task: Task) -> tuple[str, ...]:
    """The reasons of a task, one by one."""
    return tuple(clause for clause in without_dates(task.reason).split("; ") if clause)


def _forecasts(nursery, task: Task):
    """The forecasts that a task rests on."""
    if task.stage:
        from nurserytui.answers.overdue import expected

        for cohort in task.cohorts:
            found = expected(nursery, cohort, task.enclosure, task.stage)
            if found:
                yield found


def plain(page: Round) -> list[str]:
    """The round in lines: the sums, each section with its tasks and the sentence that ticks them off, then what was done."""
    lines = [
        f"Round, {short_day(page.now)} {page.now.year}, {page.now:%H:%M}{f', {page.narrowed}' if page.narrowed else ''}",
        sums(page),
    ]
    for section in page.sections:
        lines += ["", f"{section.head}:"]
        for entry in section.entries:
            if len(entry.items) > 1:
                lines.append(f"- {entry.words}:")
            for item in entry.items:
                lines.append(_line(entry, item, page))
    if page.done:
        lines += ["", "Done today:", *(f"- {f'{one.hour} ' if one.hour else ''}{one.words}." for one in page.done)]
    return lines


def _line(entry: Entry, item: Item, page: Round) -> str:
    task = item.task
    single = len(entry.items) == 1
    name = without_dates(task.label) if single else task.brief
    by = f", {by_when(task, page.now)}" if by_when(task, page.now) else ""
    said = f"{'- ' if single else '  - '}{name}{by}. Why: {'; '.join(reasons(task))}."
    return f"{said} Write “{task.record}”."


def by_when(task: Task, now: datetime) -> str:
    """`from Tue 14 July`, `by Tue 14 July`; "" for what is due."""
    if task.due <= now.date():
        return ""
    return f"{'from' if task.kind in CHANGES else 'by'} {short_day(task.due)}"


def nothing(page: Round) -> str:
    """What stands where there is no task: of what was looked for, and in which days."""
    if not page.animals:
        return "No animals yet: write down the first find, and what they need appears here."
    left = "left " if page.ticked and not page.narrowed else ""
    return f"Nothing {left}{page.narrowed or 'to do'} {_ahead(page)}"


def _ahead(page: Round) -> str:
    return "today" if page.period == "today" else "in these days"


def sums(page: Round) -> str:
    """How much there is to do, how much of it cannot wait, how many groups are overdue, how much is done."""
    if not page.animals:
        return nothing(page)
    parts = [f"{page.open} to do {_ahead(page)}" if page.open else nothing(page)]
    if page.pressing:
        parts.append(f"{page.pressing} cannot wait")
    if page.overdue:
        parts.append(f"{counted(page.overdue, 'group')} of animals overdue")
    if page.ticked:
        parts.append(f"{counted(page.ticked, 'record')} made today")
    return f"{'; '.join(parts)}."
