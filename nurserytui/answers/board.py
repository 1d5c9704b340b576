"""The board: one row per group of animals that live together at one stage, with the change to expect next."""

from datetime import datetime
from math import inf, log
from time import thread_time
from typing import NamedTuple

from nurserytui.answers.outlook import EVENT_AFTER, outlook
from nurserytui.answers.overdue import is_overdue, resting


class Row(NamedTuple):
    cohort: str
    species: str
    """Scientific name, or `unknown`."""
    common: str
    stage: str
    count: int
    enclosure: str
    next_event: str = ""
    """`hatch`, `moult`, `pupate` …, "" for adults."""
    first: datetime | None = None
    median: datetime | None = None
    last: datetime | None = None
    overdue: bool = False
    """By the one judgement of `answers/overdue.py`."""
    estimate: bool = False
    resting: bool = False
    """Pupae for months: nothing is expected of them on a day, a look now and then will do."""
    pending: bool = False
    """Not worked out yet: what comes next is not known to be nothing."""
    late: float = 0.0
    """Of what is overdue, how small the chance is to be unchanged by now (its logarithm): the smaller, the longer overdue."""


def board(nursery) -> list[Row]:
    """Rows in the order of what comes first: overdue, then by expected date, then what rests, then adults; each is worked out once for a state of the records
    and a moment."""
    return board_so_far(nursery)


def board_so_far(nursery, seconds: float = inf) -> list[Row]:
    """The same rows after so much processor time of work on them, at least one row's: those that are not worked out by then are `pending`. Calling it again
    goes on where it stopped."""
    kept, done = nursery.until_moved("board", lambda: (_groups(nursery)[::-1], []))
    end = thread_time() + seconds
    while kept:
        done.append(_row(nursery, *kept.pop()))
        if thread_time() > end:
            break
    rows = [*done, *(_named(nursery, *group)._replace(pending=True) for group in kept)]
    return sorted(rows, key=lambda row: (not row.overdue, row.late, row.median or datetime.max, not row.resting, row.cohort))


def _groups(nursery):
    counts: dict[tuple[str, str, str], int] = {}
    for key, count in nursery.heads():
        group = (key.cohort, key.stage, key.enclosure)
        counts[group] = counts.get(group, 0) + count
    return [(*group, count) for group, count in counts.items()]


def _named(nursery, cohort: str, stage: str, enclosure: str, count: int) -> Row:
    known = nursery.ledger.cohorts[cohort]
    common = nursery.knowledge.common(known.species) if known.species not in ("", "unknown") else ""
    return Row(cohort, known.species, common, stage, count, enclosure, estimate=known.estimate)


def _row(nursery, cohort: str, stage: str, enclosure: str, count: int) -> Row:
    row = _named(nursery, cohort, stage, enclosure, count)
    if stage not in EVENT_AFTER:
        return row
    found = outlook(nursery, cohort, EVENT_AFTER[stage], enclosure, stages=(stage,))
    if found is None:
        return row._replace(next_event=EVENT_AFTER[stage])
    if found.overdue and resting(nursery, cohort, stage):
        return row._replace(next_event=found.event, resting=True)
    overdue = is_overdue(nursery, cohort, stage, found)
    return row._replace(
        next_event=found.event,
        first=found.first.at,
        median=found.median.at,
        last=found.last.at,
        overdue=overdue,
        late=log(max(found.overdue_chance, 1e-300)) if overdue else 0.0,
    )
