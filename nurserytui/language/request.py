"""What a typed line was understood to ask for: the topic and its parts, before anything is looked up or computed."""

from datetime import datetime
from typing import Any, NamedTuple


class Named(NamedTuple):
    """A name found in the line, with everything it may mean."""

    said: str
    """The words as typed."""
    names: tuple[str, ...]
    """Canonical names it may mean, the usual one first."""
    usual: bool = True
    """True when the first name is the only or the usual meaning; False when someone must be asked."""
    sure: float = 1.0
    """1 for an exact match, less for a match that needed a typo mended."""

    @property
    def name(self) -> str:
        return self.names[0]


class Amount(NamedTuple):
    """A number with a unit, or a ratio. `unit` is a pint unit name from our own table, never the typed text."""

    value: float
    unit: str
    """`milliliter`, `US_cup` …, `degC`, `degF`, `percent`, `ppm`, `ratio` (value = the share 1/N), `day` …"""
    kind: str
    """`volume`, `length`, `mass`, `temperature`, `percent`, `ppm`, `ratio`, `time`, `area`."""
    said: str
    high: float | None = None
    """The upper end where a range was typed (`68..79 F`)."""

    @property
    def celsius(self) -> float:
        """A temperature in °C, whichever scale it was said in."""
        return (self.value - 32) / 1.8 if self.unit == "degF" else self.value


class Period(NamedTuple):
    """A span of local wall time. `exact` is True when a clock time was said: otherwise it stands for whole days."""

    start: datetime
    end: datetime
    said: str
    exact: bool = False
    other: datetime | None = None
    """The start of the day that the same figures name with day and month the other way round, where nothing tells which is meant."""


DANGLING = "dangling"
"""The layer of a question about `them`, or `the jar`, that nothing tells: it is left open until the keeper says which is meant."""


class Request(NamedTuple):
    """One understood line. Slots that the line did not fill are empty; a follow-up replaces some and keeps the rest."""

    text: str
    """The line as typed (cut if too long)."""
    topic: str = ""
    """A topic of the contract, or "" when nothing was understood."""
    cohorts: tuple[str, ...] = ()
    mark: str = ""
    marks: tuple[tuple[str, str], ...] = ()
    """Cohort and mark of each, where several animals are named of which one at least is a single one (`H1 and H3`)."""
    species: tuple[Named, ...] = ()
    hosts: tuple[Named, ...] = ()
    agents: tuple[Named, ...] = ()
    """Parasitoids and disease agents by canonical name."""
    enclosures: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    """`egg`, `larva`, `prepupa`, `pupa`, `adult`."""
    instar: int | None = None
    event: str = ""
    """For forecasts: `hatch`, `moult`, `prepupate`, `pupate`, `emerge`; for history: a `what` of the events table."""
    count: int | None = None
    without: tuple[str, ...] = ()
    """Cohorts, species and enclosures that are left out (`not counting lunas`)."""
    amounts: tuple[Amount, ...] = ()
    period: Period | None = None
    target_unit: str = ""
    """For conversions: the pint unit asked for."""
    cues: frozenset[str] = frozenset()
    """Small words that steer an answer: `where`, `when`, `who`, `why`, `last`, `first`, `most`, `mean`, `highest`, `lowest`,
    `latest`, `each`, `compare`, `cause`, `sex:female`, `sex:male`, `not` …"""
    unknown_names: tuple[str, ...] = ()
    """Words that stand where a name should stand and match nothing known (`cohort zulu-9`)."""
    drafts: tuple[Any, ...] = ()
    """For records: the partly filled events, in the order of the line."""
    group: str = ""
    """For an undo or a correction: the group of events it means; "" is the newest in the records."""
    previous: Any = None
    """The answer before this one in the conversation, for `explain`."""
    plain: str = ""
    """The line normalised (language.normalise), for answers that weigh its words, such as signs and eggs."""
    layer: str = ""
    """Which layer understood it: `exact`, `grammar`, `weighed`, `fuzzy`, `follow-up`, `reply`, `fallback`; `signs` for a line that
    none understood and that only the signs may yet tell."""
    score: float = 0.0
    near: tuple[str, ...] = ()
    """For a line that no layer was sure of: the topics that it may be about, the likeliest first."""

    @property
    def celsius(self) -> float | None:
        """The temperature that the line states, in °C; None where it states none."""
        return next((amount.celsius for amount in self.amounts if amount.kind == "temperature"), None)
