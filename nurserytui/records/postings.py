"""What the ledger is made of: groups of like animals, the postings between them, cohorts, and faults."""

from collections.abc import Iterable
from datetime import datetime
from typing import NamedTuple

from nurserytui.records.events import Event


class Key(NamedTuple):
    """Animals that the records cannot tell apart. `instar` is None where it is not known or not a larva."""

    cohort: str
    mark: str
    stage: str
    instar: int | None
    enclosure: str


class Posting(NamedTuple):
    """`count` animals went from `source` to `target`; None stands for outside the nursery."""

    event: Event
    source: Key | None
    target: Key | None
    count: int


def cohorts_of(postings: Iterable[Posting]) -> set[str]:
    """The cohorts whose animals the postings moved."""
    return {key.cohort for _, source, target, _ in postings for key in (source, target) if key is not None}


class Cohort(NamedTuple):
    """What is known of a cohort as a whole. `species` is a scientific name or `unknown`."""

    label: str
    species: str
    host: str
    parent: str
    origin: str
    """`laid` or `found`."""
    origin_stage: str
    first_when: str
    """Local wall time of the first event, as in the records: a date, or a date and time."""
    estimate: bool
    """True while the headcount rests on a number that was only estimated."""
    former_labels: tuple[str, ...]
    split_from: str = ""
    joined: str = ""
    """The cohort that all its animals were merged into."""


class Fault(NamedTuple):
    """An event that cannot have happened as told."""

    event: Event
    place: str
    """Where the event stands: its id, or "" if it has none yet."""
    reason: str
    available: tuple[tuple[Key, int], ...] = ()
    """The groups that the event could have meant, with their headcounts."""
    standing_in_the_way: Event | None = None


class Entry(NamedTuple):
    """`count` animals came into a stage at an unknown moment between `earliest` and `latest` (local wall time)."""

    count: int
    left: int
    """How many of them are in that stage still (first in, first out)."""
    earliest: datetime
    latest: datetime
    how: str
    """`laid`, `found` (age within the stage unknown) or `changed`."""
    stage: str
    instar: int | None
    """The instar on entering, None where not known."""
    enclosure: str
    """Where they entered, which need not be where they are."""
    mark: str
    event: Event
    now: tuple[tuple[Key, int], ...] = ()
    """The groups that hold those who are in the stage still."""


class Refused(Exception):
    """Raised by a rule of the ledger; becomes a Fault."""

    def __init__(self, reason: str, available: list[tuple[Key, int]] | tuple = (), wanted: tuple = ()) -> None:
        super().__init__(reason)
        self.reason = reason
        self.available = tuple(available)
        self.wanted = wanted
        """(cohort or "", stages or (), enclosure or ""): the animals asked for, to find who took them before."""
