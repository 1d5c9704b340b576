"""What stands in the calendar: changes to expect, changes that are not to be expected any more, and what is to be done."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from hashlib import sha256
from itertools import chain
from typing import NamedTuple

from nurserytui.answers.board import Row, board_so_far
from nurserytui.answers.outlook import EVENT_AFTER
from nurserytui.answers.tasks import tasks
from nurserytui.answers.wording import capital, stage_count
from nurserytui.nursery import Nursery
from nurserytui.records.events import ENTERING, STAGES, Event
from nurserytui.records.postings import Posting
from nurserytui.records.progress import Progress, told

AHEAD = 8
"""Days for which tasks that come again are told: what was done today stands on its next day, so that its entry moves there."""
BACK = 30
"""Days for which a change that is settled is still told, so that a calendar that was given it before can drop it."""
MOST_REPLAYED = 200_000
"""Events that are replayed to see what was to be done on the days before: of a long history fewer days are looked at, the last ones."""
STEP = 0.05
"""Seconds of work between two looks at whether to go on."""
DONE = {"hatch": "hatched", "pupate": "pupated", "emerge": "came out"}
LEFT = {
    "died": "died", "released": "were released", "escaped": "escaped", "given": "were given away", "missing": "are missing",
}  # fmt: skip


class Entry(NamedTuple):
    """An entry of one whole day."""

    name: tuple[str, ...]
    """What it is about: the same as long as it is the same thing, whatever day it is moved to. No two entries share it."""
    day: date
    summary: str
    description: str
    status: str
    """`TENTATIVE` for what is forecast, `CONFIRMED` for what is to be done, `CANCELLED` for what is settled."""

    @property
    def identifier(self) -> str:
        return f"{sha256(repr(self.name).encode('utf-8')).hexdigest()[:32]}@nurserytui.invalid"


def entries(nursery, progress: Progress | None = None) -> list[Entry]:
    """All entries, each thing once."""
    found: dict[tuple[str, ...], Entry] = {}
    for entry in chain(_expected(nursery, progress), _settled(nursery, progress), _tasks(nursery, progress)):
        name, number = entry.name, 1
        while name in found:  # two tasks of one kind about the same animals
            number += 1
            name = (*entry.name, str(number))
        found[name] = entry._replace(name=name)
    for entry in _fallen_away(nursery, progress):
        found.setdefault(entry.name, entry)
    return list(found.values())


def origin(nursery, label: str) -> str:
    """The event by which the cohort began, as it was first written down: it stays when the label is changed or the event is corrected."""
    postings = nursery.ledger.chronicle.of_cohort(label)
    began = next((posting.event for posting in postings if posting.target is not None and posting.target.cohort == label), None)
    if began is None:
        return label
    first = nursery.until_written("first versions", lambda: _first_versions(nursery))
    return first.get(began.id, began.id)


def _first_versions(nursery) -> dict[str, str]:
    """Events by which animals came in, and the ones that they correct: those that were withdrawn together with writing them."""
    events = nursery.store.events()
    came = {event.id: event for event in events if event.what in ENTERING}
    corrected: dict[str, list[Event]] = {}
    for event in events:
        if event.what == "withdrawn" and event.group and event.withdraws in came:
            corrected.setdefault(event.group, []).append(came[event.withdraws])
    first: dict[str, str] = {}
    for event in came.values():
        before = [one for one in corrected.get(event.group, ()) if one.id != event.id and one.cohort == event.cohort]
        if before:
            first[event.id] = first.get(before[0].id, before[0].id)
    return first


def _change(nursery, cohort: str, stage: str, enclosure: str) -> tuple[str, ...]:
    return "change", origin(nursery, cohort), stage, enclosure, EVENT_AFTER[stage]


def _board(nursery, progress: Progress | None) -> list[Row]:
    if progress is None:
        return board_so_far(nursery)
    while True:
        rows = board_so_far(nursery, STEP)
        pending = sum(row.pending for row in rows)
        progress(len(rows) - pending, len(rows), "forecasts made")
        if not pending:
            return rows


def _expected(nursery, progress: Progress | None) -> Iterator[Entry]:
    for row in _board(nursery, progress):
        if row.next_event and row.median:
            place = f" in {row.enclosure}" if row.enclosure else ""
            late = " They are overdue: look at them." if row.overdue else ""
            yield Entry(
                _change(nursery, row.cohort, row.stage, row.enclosure),
                row.median.date(),
                f"{row.cohort}: {stage_count(row.count, row.stage)} expected to {row.next_event}{place}",
                f"First {row.first:%Y-%m-%d}, middle {row.median:%Y-%m-%d}, last {row.last:%Y-%m-%d}, by the forecast of "
                f"{nursery.now:%Y-%m-%d}.{late}",
                "TENTATIVE",
            )


def _settled(nursery, progress: Progress | None) -> Iterator[Entry]:
    """Groups of which nobody is left: they changed, were moved or left the nursery within the last days."""
    ledger = nursery.ledger
    today = nursery.now.date()
    days = ledger.chronicle.days((today - timedelta(days=BACK)).isoformat(), today.isoformat())
    numbers = ledger.chronicle.numbers(days=days)
    gone: dict[tuple[str, str, str], list[Posting]] = {}
    for number in told(progress, numbers, len(numbers), "events looked through"):
        for posting in ledger.chronicle.postings_of(number):
            source = posting.source
            if source is not None and source.stage in EVENT_AFTER and not _same_group(source, posting.target):
                gone.setdefault((source.cohort, source.stage, source.enclosure), []).append(posting)
    there = {(key.cohort, key.stage, key.enclosure) for key, _ in nursery.heads()}
    for group, postings in gone.items():
        if group not in there:
            changed = [posting for posting in postings if _grew(posting)]
            last = max(posting.event.day for posting in changed or postings)
            summary = _what_became(group, changed) if changed else _whereto_all(group, postings)
            yield Entry(_change(nursery, *group), date.fromisoformat(last), summary, f"{_whereto(postings)}.", "CANCELLED")


def _same_group(source, target) -> bool:
    return target is not None and (source.cohort, source.stage, source.enclosure) == (
        target.cohort,
        target.stage,
        target.enclosure,
    )


def _grew(posting: Posting) -> bool:
    return posting.target is not None and STAGES.index(posting.target.stage) > STAGES.index(posting.source.stage)


def _what_became(group: tuple[str, str, str], changed: list[Posting]) -> str:
    cohort, stage, _ = group
    verb = "hung up to pupate" if changed[-1].target.stage == "prepupa" else DONE[EVENT_AFTER[stage]]
    return f"{cohort}: {stage_count(sum(posting.count for posting in changed), stage)} {verb}"


def _whereto_all(group: tuple[str, str, str], postings: list[Posting]) -> str:
    """Of a group of which nobody changed: where those went that are still expected to, else that nobody is."""
    cohort, stage, enclosure = group
    went: dict[str, int] = {}
    for posting in postings:
        target = posting.target
        if target is not None:
            place = (
                f"went to cohort {target.cohort}" if target.cohort != cohort else f"moved to {target.enclosure or 'no enclosure'}"
            )
            went[place] = went.get(place, 0) + posting.count
    if not went:
        return f"{cohort}: nobody{f' in {enclosure}' if enclosure else ''} is expected to {EVENT_AFTER[stage]} any more"
    return f"{cohort}: {', '.join(f'{stage_count(count, stage)} {place}' for place, count in went.items())}"


def _whereto(postings: list[Posting]) -> str:
    """What became of the animals of a group, in the order in which it did."""
    counts: dict[str, int] = {}
    for posting in postings:
        target = posting.target
        if target is None:
            words = LEFT.get(posting.event.what, posting.event.what)
        elif _grew(posting):
            words = f"became {target.stage}"
        elif target.cohort != posting.source.cohort:
            words = f"went to cohort {target.cohort}"
        else:
            words = f"were moved to {target.enclosure or 'no enclosure'}"
        counts[words] = counts.get(words, 0) + posting.count
    return capital(", ".join(f"{count} {words}" for words, count in counts.items()))


def _tasks(nursery, progress: Progress | None) -> Iterator[Entry]:
    """What is due today, and of what comes again its next day."""
    if not nursery.ledger.cohorts:
        return
    tonight = datetime.combine(nursery.now.date(), time(23, 59, 59))
    for until in told(progress, (tonight, tonight + timedelta(days=AHEAD)), 2, "days looked at for tasks", every=1):
        for task in tasks(nursery, until, progress):
            if until == tonight or (task.every and task.due > tonight.date()):
                who = origin(nursery, task.name) if task.name in nursery.ledger.cohorts else task.name
                name = ("task", task.kind, who, task.enclosure, task.host, task.event, task.rule)
                yield Entry(name, task.due, task.label, task.reason, "CONFIRMED")


def _fallen_away(nursery, progress: Progress | None) -> Iterator[Entry]:
    """What a calendar that was given the file on one of the days before may still show ahead: done since, or of animals that are gone."""
    today = nursery.now.date()
    for moment in _moments_before(nursery):
        for entry in _tasks(Nursery(nursery.store, nursery.knowledge, moment), progress):
            if entry.day >= today:
                yield entry._replace(
                    summary=f"Not to be done any more: {entry.summary}",
                    description=f"As of {moment:%Y-%m-%d} it was to be done; by the records of {today} it is not.",
                    status="CANCELLED",
                )


def _moments_before(nursery) -> list[datetime]:
    """The moments just before the first events of each of the last days, and before the very last one, the newest first."""
    chronicle, today = nursery.ledger.chronicle, nursery.now.date()
    days = chronicle.days((today - timedelta(days=AHEAD)).isoformat(), today.isoformat())
    begun = {min(event.when for event in chronicle.on(day)) for day in days}
    last = {max(event.when for event in chronicle.on(day)) for day in days[-1:]}
    most = max(1, MOST_REPLAYED // max(len(nursery.ledger.events), 1))
    return [datetime.fromisoformat(when) - timedelta(seconds=1) for when in sorted(begun | last, reverse=True)[:most]]
