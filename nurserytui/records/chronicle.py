"""The events and postings of a ledger by what they are about, each list in ledger order.

A question of today is about a few animals, a few enclosures and a few days; twenty seasons lie around them. Whoever looks something
up asks here, so that a long history costs nothing.
"""

from __future__ import annotations

from nurserytui.records.events import Event
from nurserytui.records.postings import Key, Posting

Placed = tuple[int, Posting]
"""A posting and its position among all postings."""
Look = tuple[int, Event, str, str, str]
"""How many postings came before it, the event, and the cohort, the enclosure and the mark looked at ("": all)."""


class Chronicle:
    """Lists that only ever grow at their end. Callers must not change them."""

    def __init__(self) -> None:
        self._postings: dict[str, list[Placed]] = {}
        self._looks: dict[str, list[Look]] = {}
        self._whats: dict[str, list[Event]] = {}
        self._days: dict[str, list[Event]] = {}
        self._places: dict[str, list[Event]] = {}
        self._names: dict[str, list[tuple[int, Event]]] = {}
        self._into: dict[tuple[str, str], list[Posting]] = {}
        self._out_of: dict[str, list[Posting]] = {}
        self._links: dict[str, set[str]] = {}
        self._seen = self._posted = self._looked = 0

    def take_in(self, ledger) -> Chronicle:
        """Read what the ledger holds beyond what was read of it before."""
        for event in ledger.events[self._seen :]:
            self._whats.setdefault(event.what, []).append(event)
            self._days.setdefault(event.when[:10], []).append(event)
            if event.enclosure:
                self._places.setdefault(event.enclosure, []).append(event)
            if event.to and event.what == "moved" and event.to != event.enclosure:
                self._places.setdefault(event.to, []).append(event)
            if event.cohort:
                self._names.setdefault(event.cohort, []).append((self._seen, event))
            self._seen += 1
        for posting in ledger.postings[self._posted :]:
            self._post(self._posted, posting)
            self._posted += 1
        for look in ledger._looks[self._looked :]:
            self._looks.setdefault(look[2], []).append(look)
        self._looked = len(ledger._looks)
        return self

    def _post(self, at: int, posting: Posting) -> None:
        event, source, target, _ = posting
        if target is not None:
            self._postings.setdefault(target.cohort, []).append((at, posting))
            self._into.setdefault((target.enclosure, target.stage), []).append(posting)
        if source is not None:
            self._out_of.setdefault(source.enclosure, []).append(posting)
            if target is None or target.cohort != source.cohort:
                self._postings.setdefault(source.cohort, []).append((at, posting))
                if target is not None and event.what in ("split", "merged"):
                    self._links.setdefault(source.cohort, set()).add(target.cohort)
                    self._links.setdefault(target.cohort, set()).add(source.cohort)

    # Events --------------------------------------------------------------------------------------------------------------

    def events_of(self, *whats: str) -> list[Event]:
        """The standing events of a kind (of several kinds: kind by kind)."""
        if len(whats) == 1:
            return self._whats.get(whats[0], [])
        return [event for what in whats for event in self._whats.get(what, ())]

    def on(self, day: str) -> list[Event]:
        """The events of a day, written `2026-07-12`."""
        return self._days.get(day, [])

    def at(self, enclosure: str) -> list[Event]:
        """The events that name the enclosure, as it was written in them: also those that moved animals to it."""
        return self._places.get(enclosure, [])

    def about(self, label: str, former: tuple[str, ...] = ()) -> list[Event]:
        """The events that name the cohort by its label (or by one of its former labels)."""
        if not former:
            return [event for _, event in self._names.get(label, ())]
        found = [item for name in (label, *former) for item in self._names.get(name, ())]
        return [event for _, event in sorted(found, key=lambda item: item[0])]

    # Animals -------------------------------------------------------------------------------------------------------------

    def of_cohort(self, label: str) -> list[Posting]:
        """The postings that touch the cohort."""
        return [posting for _, posting in self._postings.get(label, ())]

    def placed(self, labels) -> list[Placed]:
        """The postings that touch the cohorts, each once, with their positions."""
        if len(labels) == 1:
            return self._postings.get(next(iter(labels)), [])
        return [
            (at, posting) for at, posting in sorted({at: p for one in labels for at, p in self._postings.get(one, ())}.items())
        ]

    def into(self, enclosure: str, stage: str) -> list[Posting]:
        """The postings whose animals stand in the enclosure, in that stage, after them."""
        return self._into.get((enclosure, stage), [])

    def out_of(self, enclosure: str) -> list[Posting]:
        """The postings whose animals stood in the enclosure before them."""
        return self._out_of.get(enclosure, [])

    def looks_at(self, label: str) -> list[Look]:
        """The looks at animals of the cohort."""
        return self._looks.get(label, [])

    def family(self, label: str) -> frozenset[str]:
        """The cohort with all those that animals of it came from or went to, by split or merge."""
        family, fresh = {label}, [label]
        while fresh:
            for other in self._links.get(fresh.pop(), ()):
                if other not in family:
                    family.add(other)
                    fresh.append(other)
        return frozenset(family)


def cohorts_of(postings) -> set[str]:
    """The cohorts that postings touch."""
    keys: list[Key | None] = [key for posting in postings for key in (posting.source, posting.target)]
    return {key.cohort for key in keys if key is not None}
