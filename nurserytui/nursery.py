"""What an answer needs in one object: the keeper's records, the knowledge base, the settings and the moment."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Sequence
from copy import copy
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from nurserytui.records import keeping
from nurserytui.records.events import Event
from nurserytui.records.growth import TURNS_BACK, after_all, go_on_from
from nurserytui.records.lazily import Lazily
from nurserytui.records.ledger import Cohort, Key, Ledger, Posting, replay
from nurserytui.records.measured import Measured, Measurements
from nurserytui.records.order import labels_said, seen
from nurserytui.records.progress import Progress
from nurserytui.records.readings import Reading
from nurserytui.records.settings import Settings

STEPS = (timedelta(hours=6), timedelta(hours=1), timedelta(minutes=10))
"""Times of day for which forecasts hold, by how soon it is."""


class _Kept(NamedTuple):
    """What was computed of cohorts, and what it was computed from."""

    cohorts: list[Cohort | None]
    positions: list[list[int]]
    postings: list[list[Posting]]
    value: object


class Nursery:
    """The nursery as it stood at `now`: events dated later are not seen. Everything but `write` only reads."""

    def __init__(self, store, knowledge, now: datetime) -> None:
        self.store = store
        self.knowledge = knowledge
        self.now = now
        self.version = 0
        """Counts up whenever the events may have changed, so that what is derived from them can be kept until then."""
        self._measurements = Measurements(store)
        self.memo: dict[str, Any] = {}
        """What answers work out and keep, each under a name of its own with what it rests on."""
        self._moment: datetime | None = None
        self._kept: dict[tuple[tuple[str, ...], str], _Kept] = {}
        self._keep_from = keeping.LEAST
        """With so many events it is worth while to look whether the ledger should be kept."""
        self._everything: list[Event] = store.events()
        self._stamp, self._readings_stamp = store.stamp(), store.readings_stamp()
        self._replay()

    def refresh(self) -> None:
        """Take in what was written: by this nursery, or by another process."""
        before, self._everything = self._everything, self.store.events()
        self._stamp = self.store.stamp()
        known = len(before)
        if len(self._everything) < known or (known and self._everything[known - 1].id != before[-1].id):
            self._replay()
        else:
            self._go_on(self._everything[known:])
        before, self._readings_stamp = self._readings_stamp, self.store.readings_stamp()
        if self._readings_stamp != before:
            self.version += 1  # readings, too, are something written

    def at(self, now: datetime) -> None:
        """Move to another moment, and take in what other processes wrote meanwhile."""
        moved, self.now = now != self.now, now
        if self.store.stamp() != self._stamp:
            self.refresh()
        elif moved:
            self._go_on(())

    def _replay(self) -> None:
        """Build everything anew from the events that are seen by now."""
        before = self.__dict__.get("ledger")
        taken_up = keeping.taken_up(self.store, self._everything, self.now)
        self._resting = taken_up is not None
        """Whether the ledger went on from what was kept of it."""
        self.ledger: Ledger = taken_up or replay(self._everything, until=self.now)
        kept = self.store.kept if self._resting else None
        ahead, more = (kept.ahead, self._everything[kept.count :]) if kept else ([], self._everything)
        limit = self.now.isoformat(timespec="seconds")
        self._later = [event for event in (*ahead, *more) if event.when > limit]
        self._withdrawn = (kept is not None and kept.withdrawn) or any(event.what == "withdrawn" for event in more)
        self._look()
        if before is not None:
            # The two hold each other: a long history would wait for a search through all of memory before it is let go.
            before._chronicle = None

    def _go_on(self, written: Sequence[Event]) -> None:
        """Take in what was written since, and what was dated ahead and has come due."""
        due = seen(self._later, self.now)
        fresh = seen(written, self.now)
        # A withdrawal may be about something dated ahead.
        new = None if due and self._withdrawn else after_all(self.ledger, due, fresh, self.now)
        if new is None or any(event.what in TURNS_BACK for event in written):
            self._replay()
            return
        self._later = [event for event in (*self._later, *written) if event.when > self.now.isoformat(timespec="seconds")]
        if self.ledger.go_on(new, self.now):
            self._look()

    def _look(self) -> None:
        self.version += 1
        self.events: list[Event] = self.ledger.events
        self.settings: Settings = Settings.of(self.ledger.chronicle.events_of("setting"))

    def write(self, events):
        """Append events to the records, all or nothing.

        Returns the store's `Written(events, faults)`; with faults nothing was written. Raises `StoreError` if the file cannot take it:
        `Overtaken` if others have recorded something that this nursery has not taken in yet.
        """
        written = self.store.append(events, after=self._everything)
        if not written.faults:
            self.refresh()
        return written

    def ledger_at(self, until: datetime, more: Sequence[Event] = (), without: Collection[str] = ()) -> Ledger:
        """The ledger as seen at `until`, which is not later than now, with events that nobody wrote yet, and without those of some ids."""
        kept = self.store.kept if self._resting else None
        if kept is not None:
            fresh = [event for event in self._everything[kept.count :] if event.id not in without]
            if len(fresh) + len(without) == len(self._everything) - kept.count:
                ledger = go_on_from(kept, Lazily(kept.recorded, [*fresh, *more]), until)
                if ledger is not None:
                    return ledger
        return replay([*(event for event in self.events if event.id not in without), *more], until=until)

    def free_label(self, also: Sequence[Event] = ()) -> str:
        """The next letter that no cohort of any moment has or had, dated ahead or not, nor those of `also`, which nobody wrote yet."""
        return self.ledger.next_label(labels_said([*self._later, *also]))

    def keep(self, progress: Progress | None = None) -> None:
        """Keep the ledger of a long history for whoever opens this nursery next, where that is worth while. Takes a second or two."""
        known = len(self._everything)
        if known >= self._keep_from and self.store.stamp() == self._stamp:
            if keeping.keep(self.store, self.ledger, self._resting, progress):
                self._resting = True
            self._keep_from = known + keeping.GROWN

    @property
    def moment(self) -> datetime:
        """The moment that forecasts are made for: the end of the ten minutes that it is, so that they hold for the next questions too."""
        return self._moment or self.end_of(STEPS[-1])

    def end_of(self, step: timedelta) -> datetime:
        """The end of the step of the day (an hour, ten minutes) that it is; now itself, where one ends just now."""
        midnight = self.now.replace(hour=0, minute=0, second=0, microsecond=0)
        return midnight - (midnight - self.now) // step * step

    def as_of(self, moment: datetime) -> Nursery:
        """The same nursery with forecasts made for that moment, which must not lie before now."""
        seen = copy(self)
        seen._moment = moment
        return seen

    def heads(
        self, cohort: str | None = None, stage: str | None = None, enclosure: str | None = None, species: str | None = None
    ) -> list[tuple[Key, int]]:
        """The living headcount by key, narrowed by what is given."""
        return [
            (key, count)
            for key, count in self.ledger.heads.items()
            if count
            and (cohort is None or key.cohort == cohort)
            and (stage is None or key.stage == stage)
            and (enclosure is None or key.enclosure == enclosure)
            and (species is None or self.ledger.cohorts[key.cohort].species == species)
        ]

    def until_written(self, name: Hashable, compute: Callable):
        """`compute()`, kept under that name until the records change."""
        return self._until("written", self.version, name, compute)

    def until_moved(self, name: Hashable, compute: Callable):
        """`compute()`, kept under that name until the records or the moment change."""
        return self._until("moved", (self.version, self.now), name, compute)

    def _until(self, what: str, at, name: Hashable, compute: Callable):
        stamp, kept = self.memo.get(what, (None, {}))
        if stamp != at:
            kept = {}
            self.memo[what] = at, kept
        if name not in kept:
            kept[name] = compute()
        return kept[name]

    def kept_of_cohort(self, label: str, name: str, compute):
        """`compute()`, kept under that name until an animal of the cohort enters, changes, moves or leaves, or the cohort is renamed.

        What it computes must rest on the cohort and its postings alone.
        """
        return self.kept_of_cohorts((label,), name, compute)

    def kept_of_cohorts(self, labels: tuple[str, ...], name: str, compute):
        """The same of several cohorts at once, for those that gave animals to each other."""
        ledger, kept = self.ledger, self._kept.get((labels, name))
        cohorts = [ledger.cohorts.get(label) for label in labels]
        positions = [ledger.chronicle.positions((label,)) for label in labels]
        if kept is None or kept.cohorts != cohorts or not self._same(kept, labels, positions):
            postings = [ledger.chronicle.postings(numbers) for numbers in positions]
            kept = self._kept[labels, name] = _Kept(cohorts, positions, postings, compute())
        return kept.value

    def _same(self, kept: _Kept, labels: tuple[str, ...], positions: list[list[int]]) -> bool:
        """Whether the postings are those of which something was computed: those of another ledger have to be compared."""
        if any(len(was) != len(numbers) for was, numbers in zip(kept.postings, positions, strict=True)):
            return False
        if all(was is numbers for was, numbers in zip(kept.positions, positions, strict=True)):
            return True
        return kept.postings == [self.ledger.chronicle.of_cohort(label) for label in labels]

    def temperatures(self, enclosure: str) -> list[Reading]:
        """Readings of one enclosure, oldest first, from logger files and from temperature events; `""` is the room as a whole."""
        return self.measured(enclosure).readings

    def measured_places(self) -> set[str]:
        """The places of which there may be readings; `""` is the room as a whole."""
        return self._measurements.places(self.ledger.chronicle)

    def logged_places(self) -> list[str]:
        """The places of which a logger tells, whether the records name them or not."""
        return self.store.reading_places()

    def measured(self, place: str) -> Measured:
        """What was measured in a place up to now, and what of it cannot be; the same object for as long as nothing of it changes."""
        return self._measurements.of(place, self.ledger.chronicle, self.now)
