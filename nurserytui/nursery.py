"""What an answer needs in one object: the keeper's records, the knowledge base, the settings and the moment."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from nurserytui.records.events import Event
from nurserytui.records.ledger import Cohort, Key, Ledger, Posting, replay
from nurserytui.records.measured import Measured, Measurements
from nurserytui.records.readings import Reading
from nurserytui.records.settings import Settings


class _Kept(NamedTuple):
    """What was computed of a cohort, and what it was computed from."""

    cohort: Cohort | None
    positions: list[int]
    postings: list[Posting]
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
        self._kept: dict[tuple[str, str], _Kept] = {}
        self.refresh()

    def refresh(self) -> None:
        """Read the events again: after a write, or when another process may have written."""
        self._everything: list[Event] = self.store.events()
        self._stamp = self.store.stamp()
        self._look()

    def at(self, now: datetime) -> None:
        """Move to another moment, and take in what other processes wrote meanwhile."""
        changed = self.store.stamp() != self._stamp
        if changed:
            self.now = now
            self.refresh()
        elif now != self.now:
            passed = any(self.now.isoformat() < event.when <= now.isoformat() for event in self._everything)
            # A date without a time reaches up to now for as long as that day lasts.
            days = {self.now.date().isoformat(), now.date().isoformat()}
            self.now = now
            if passed or any(not event.timed and event.day in days for event in self._everything):
                self._look()

    def _look(self) -> None:
        self.version += 1
        self.ledger: Ledger = replay(self._everything, until=self.now)
        self.events: list[Event] = self.ledger.events
        self.settings: Settings = Settings.of(self.events)

    def write(self, events):
        """Append events to the records, all or nothing.

        Returns the store's `Written(events, faults)`; with faults nothing was written. Raises `StoreError` if the file cannot take it.
        """
        written = self.store.append(events)
        if not written.faults:
            self.refresh()
        return written

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

    def kept_of_cohort(self, label: str, name: str, compute):
        """`compute()`, kept under that name until an animal of the cohort enters, changes, moves or leaves, or the cohort is renamed.

        What it computes must rest on the cohort and its postings alone.
        """
        cohort, positions = self.ledger.cohorts.get(label), self.ledger.chronicle.positions((label,))
        kept = self._kept.get((label, name))
        if (
            kept is None
            or kept.cohort != cohort
            or len(kept.postings) != len(positions)
            or not self._same(kept, positions, label)
        ):
            postings = self.ledger.chronicle.of_cohort(label)
            kept = self._kept[label, name] = _Kept(cohort, positions, postings, compute())
        return kept.value

    def _same(self, kept: _Kept, positions: list[int], label: str) -> bool:
        """Whether the cohort's postings are those of which something was computed: those of another ledger have to be compared."""
        return kept.positions is positions or kept.postings == self.ledger.chronicle.of_cohort(label)

    def temperatures(self, enclosure: str) -> list[Reading]:
        """Readings of one enclosure, oldest first, from logger files and from temperature events; `""` is the room as a whole."""
        return self.measured(enclosure).readings

    def measured(self, place: str) -> Measured:
        """What was measured in a place up to now, and what of it cannot be; the same object for as long as nothing of it changes."""
        return self._measurements.of(place, self.events, self.now)
