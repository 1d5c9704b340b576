"""One dated fact in the keeper's records, and the words such facts are made of."""

from typing import NamedTuple

STAGES = ("egg", "larva", "prepupa", "pupa", "adult")

WHATS = (
    "laid", "found", "identified",
    "hatched", "moulted", "prepupated", "pupated", "emerged",
    "checked", "counted", "moved", "split", "merged", "renamed",
    "died", "released", "escaped", "given", "missing", "returned",
    "sign", "tested", "cleaned", "fed", "cut", "watered", "stocked",
    "temperature", "setting", "withdrawn", "note",
)  # fmt: skip
ENTERING = ("laid", "found", "returned")
CHANGING = ("hatched", "moulted", "prepupated", "pupated", "emerged")
LEAVING = ("died", "released", "escaped", "given", "missing")
LOOKS = ("checked", "counted", "sign") + CHANGING


class Event(NamedTuple):
    """A row of the events table. Text that was not given is "", a number that was not given is None."""

    when: str
    """Local wall time, ISO 8601: a date, or a date and time. A date alone is some time that day."""
    what: str
    cohort: str = ""
    mark: str = ""
    species: str = ""
    """Scientific name, or `unknown`."""
    stage: str = ""
    instar: int | None = None
    count: int | None = None
    estimate: bool = False
    """True for a count written `~80`."""
    enclosure: str = ""
    to: str = ""
    host: str = ""
    detail: str = ""
    note: str = ""
    id: str = ""
    withdraws: str = ""
    by: str = ""
    place: str = ""
    latitude: float | None = None
    longitude: float | None = None
    parent: str = ""
    group: str = ""
    """Events written from one line share it: undo takes them back together."""

    @property
    def day(self) -> str:
        return self.when[:10]

    @property
    def timed(self) -> bool:
        return len(self.when) > 10
