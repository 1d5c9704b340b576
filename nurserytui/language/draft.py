"""A record as one clause of a typed line gives it: an event with holes, before the ledger fills them."""

from typing import NamedTuple

from nurserytui.language.request import Named, Period


class Draft(NamedTuple):
    """Parts that were not said are "" or None. `what` is a `what` of the events table."""

    what: str
    cohort: str = ""
    """A label of the records, or the label that the keeper gives to new animals."""
    mark: str = ""
    species: Named | None = None
    stage: str = ""
    instar: int | None = None
    count: int | str | None = None
    """A number, or `all`, `rest`, `both`, `half`."""
    less: int = 0
    """`all but 2`: how many `all` leaves out."""
    estimate: bool = False
    total: bool = False
    """True where the number is how many there are now, not how many changed (`that's 22 now`)."""
    enclosure: str = ""
    to: str = ""
    """The enclosure moved to, or the cohort that animals become."""
    host: Named | None = None
    detail: str = ""
    note: str = ""
    when: Period | None = None
    impossible: str = ""
    """A date that no calendar has, as typed."""
    unknown: str = ""
    """A label that the records do not have, as typed."""
    parent: str = ""
    place: str = ""
    """Where a find was made."""
    latitude: float | None = None
    longitude: float | None = None
    by: str = ""
    """Who made it."""
    refers: bool = False
    """True where the clause points back (`him`, `another`, `there`, `the rest`): what was spoken of before may fill it."""
    other: bool = False
    """True for `the other one`, `the rest`: not those that the clause before was about."""
    follows: bool = False
    """True where the animals are those that the clause before brought in."""
    inherits: bool = False
    """True where the enclosure is only that of the clause before: one that is named after all stands instead."""
    kind: str = ""
    """The noun of the enclosures meant where `all the tubs` are cared for or looked at."""
    left: tuple = ()
    """Those that `all` leaves out by stage or label, as `record_exclusions.Left`."""
    lead: str = ""
    """The verb as typed, for wording a question about the draft."""
