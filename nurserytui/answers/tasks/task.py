"""One thing to do: why, by when, how gravely, and the sentence that records it as done."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple


class Task(NamedTuple):
    """Priority 1 is for what may cost animals today, 2 for today's work, 3 for what can wait a day."""

    kind: str
    """`watch`, `apart`, `sign`, `wasps`, `disinfect`, `hold`, `release`, `due`, `late`, `moult`, `feed`, `water`, `cuttings`, `short`,
    `share`, `crowd`, `clean`, `pupae`, `check`."""
    name: str
    """Cohort, enclosure or host."""
    label: str
    enclosure: str
    due: date
    reason: str
    priority: int
    record: str
    """A sentence that, sent, is recorded and takes the task off the round."""
    event: str = ""
    """For `due`, `late` and `moult`: hatch, moult, prepupate, pupate or emerge."""
    span: str = ""
    """For `due`: the dates between which the first is expected, in words."""
    every: int = 0
    """Days after which it comes again once done; 0 where it does not."""
    rule: str = ""
    """The rule of the knowledge base that its rhythm or limit comes from."""
    brief: str = ""
    """Whom or what it is about in a few words, for a line that gathers the same act for several enclosures."""
    cohorts: tuple[str, ...] = ()
    host: str = ""
    begins: date | None = None
    """For `due`: the day on which it may begin at the earliest, where that is before the day on which the first is expected (`due`)."""
    last: date | None = None
    """For `due` and `moult`: by when the last of them is expected."""
    stage: str = ""
    """For `due` and `late`: the stage in which the animals stand."""


def days_of(nursery, rule: str) -> int:
    """A rhythm of the round in whole days, as the knowledge base has it."""
    return round(nursery.knowledge.rule(rule).value)


def inside(place: str) -> str:
    """` in tub 1`, or nothing for animals without an enclosure."""
    return f" in {place}" if place else ""
