"""The events and postings of a ledger by what they are about, each list in ledger order.

A question of today is about a few animals, a few enclosures and a few days; twenty seasons lie around them. Whoever looks something
up asks here, so that a long history costs nothing.
"""

from __future__ import annotations

from array import array
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import partial

from nurserytui.records.events import Event
from nurserytui.records.postings import Key, Posting

Look = tuple[int, Event, str, str, str]
"""How many postings came before it, the event, and the cohort, the enclosure and the mark looked at ("": all)."""
Numbers = partial(array, "I")
"""Places in a list of the ledger: kept close together, since there are several of them for each event."""


class Chronicle:
    """Lists that only ever grow at their end. Events and postings are numbered by their place in the ledger's lists."""

    def __init__(self, ledger) -> None:
        self._ledger = ledger
        self._before = Numbers()
        """For each event, how many postings came before it."""
        self._posted = 0
        self._looked = 0
        self._whats: dict[str, array] = defaultdict(Numbers)
        self._days: dict[str, array] = defaultdict(Numbers)
        self._places: dict[str, array] = defaultdict(Numbers)
        self._care: dict[tuple[str, str], array] = defaultdict(Numbers)
        self._groups: dict[str, array] = defaultdict(Numbers)
        self._packed_groups = b""
        """Those of a ledger that was kept, as marshal packs them, until a group is asked for."""
        self._names: dict[str, array] = defaultdict(Numbers)
        self._cohorts: dict[str, array] = defaultdict(Numbers)
        self._touched: dict[str, array] = defaultdict(Numbers)
        self._left: dict[str, array] = defaultdict(Numbers)
        self._stood: dict[str, list[tuple[int, dict[Key, int]]]] = {}
        self._looks: dict[str, array] = defaultdict(Numbers)
        self._links: dict[str, set[str]] = {}
        self.hosts: dict[str, int] = {}
        """How many events name each plant."""

    def take_in(self) -> Chronicle:
        """Read what the ledger holds beyond what was read of it before."""
        events, postings = self._ledger.events, self._ledger.postings
        for number in range(len(self._before), len(events)):
            event = events[number]
            self._before.append(self._posted)
            self._file(number, event)
            while self._posted < len(postings) and postings[self._posted].event is event:
                self._post(self._posted, postings[self._posted])
                self._posted += 1
        looks = self._ledger._looks
        for number in range(self._looked, len(looks)):
            self._looks[looks[number][2]].append(number)
        self._looked = len(looks)
        return self

    def _file(self, number: int, event: Event) -> None:
        self._whats[event.what].append(number)
        self._days[event.when[:10]].append(number)
        if event.enclosure:
            self._places[event.enclosure].append(number)
            self._care[event.what, event.enclosure].append(number)
        if event.what == "moved" and event.to and event.to != event.enclosure:
            self._places[event.to].append(number)
        if event.cohort:
            self._names[event.cohort].append(number)
        if event.group:
            self._groups[event.group].append(number)
        if event.host:
            self.hosts[event.host] = self.hosts.get(event.host, 0) + 1

    def _post(self, number: int, posting: Posting) -> None:
        event, source, target, _ = posting
        if target is not None:
            self._cohorts[target.cohort].append(number)
            self._touched[target.enclosure].append(number)
        if source is not None:
            if target is None:
                self._left[event.what].append(number)
            if target is None or target.enclosure != source.enclosure:
                self._touched[source.enclosure].append(number)
            if target is None or target.cohort != source.cohort:
                self._cohorts[source.cohort].append(number)
                if target is not None and event.what in ("split", "merged"):
                    self._links.setdefault(source.cohort, set()).add(target.cohort)
                    self._links.setdefault(target.cohort, set()).add(source.cohort)

    # Events --------------------------------------------------------------------------------------------------------------

    def events_of(self, *whats: str, after: int = 0, since: str = "") -> list[Event]:
        """The standing events of a kind, or of several kinds; without the first `after` of them, or those before the day `since`."""
        numbers = self._whats.get(whats[0], ()) if len(whats) == 1 else self.numbers(whats=whats)
        return self.events(self._since(numbers, since)[after:])

    def care(self, what: str, enclosure: str, since: str = "") -> list[Event]:
        """The events of a kind that name the enclosure: when it was cleaned, when fed; without those before the day `since`."""
        return self.events(self.care_numbers(what, enclosure, since))

    def care_numbers(self, what: str, enclosure: str, since: str = "") -> Sequence[int]:
        """The numbers of those events."""
        return self._since(self._care.get((what, enclosure), ()), since)

    def _since(self, numbers: Sequence[int], day: str) -> Sequence[int]:
        """Those of that day and later ones; "" for all."""
        if not day:
            return numbers
        events = self._ledger.events
        return numbers[bisect_left(numbers, day, key=lambda number: events[number].day) :]

    def on(self, day: str) -> list[Event]:
        """The events of a day, written `2026-07-12`."""
        return self.events(self._days.get(day, ()))

    def at(self, enclosure: str) -> list[Event]:
        """The events that name the enclosure, as it was written in them: also those that moved animals to it."""
        return self.events(self._places.get(enclosure, ()))

    def about(self, label: str, former: Iterable[str] = ()) -> list[Event]:
        """The events that name the cohort by its label (or by one of its former labels)."""
        return self.events(self.numbers(names=(label, *former)))

    def newest(self, *, what: str = "", enclosure: str = "", names: Iterable[str] = ()) -> Iterator[Event]:
        """The events of a kind, or that name the enclosure, or one of those labels: one by one, the newest first."""
        found = self._whats.get(what, ()) if what else self._places.get(enclosure, ()) if enclosure else self.numbers(names=names)
        for number in reversed(found):
            yield self._ledger.events[number]

    def together(self, group: str) -> list[Event]:
        """The standing events that were written in one group."""
        return self.events(self.groups.get(group, ()))

    @property
    def groups(self) -> dict[str, array]:
        """The numbers of the standing events by the group that they were written in."""
        if self._packed_groups:
            import marshal

            added = self._groups
            known = {group: Numbers(numbers) for group, numbers in marshal.loads(self._packed_groups).items()}
            self._groups, self._packed_groups = defaultdict(Numbers, known), b""
            for group, numbers in added.items():
                self._groups[group] += numbers
        return self._groups

    def places(self) -> set[str]:
        """Every enclosure that an event names, as written."""
        return set(self._places)

    def numbers(self, *, whats=(), names=(), places=(), days=(), touching=()) -> list[int]:
        """The numbers of the events of any of those kinds, that name a cohort by any of those labels, name any of those enclosures, or
        are of any of those days; and of those by which animals of the cohorts `touching` came, changed or left."""
        lists = [
            *(self._whats.get(what, ()) for what in whats),
            *(self._names.get(name, ()) for name in names),
            *(self._places.get(place, ()) for place in places),
            *(self._days.get(day, ()) for day in days),
        ]
        for label in touching:
            lists.append([bisect_right(self._before, at) - 1 for at in self._cohorts.get(label, ())])
        return list(lists[0]) if len(lists) == 1 else sorted(set().union(*lists))

    def events(self, numbers: Iterable[int]) -> list[Event]:
        """The events of those numbers."""
        events = self._ledger.events
        return [events[number] for number in numbers]

    def days(self, first: str, last: str) -> list[str]:
        """The days with events from the first to the last, both included."""
        return [day for day in self._days if first <= day <= last]

    def postings_of(self, number: int) -> list[Posting]:
        """The postings of an event."""
        end = self._before[number + 1] if number + 1 < len(self._before) else self._posted
        return self._ledger.postings[self._before[number] : end]

    # Animals -------------------------------------------------------------------------------------------------------------

    def of_cohort(self, label: str) -> list[Posting]:
        """The postings that touch the cohort."""
        return self.postings(self.positions((label,)))

    def positions(self, labels) -> Sequence[int]:
        """The numbers of the postings that touch any of the cohorts; of one cohort the same object for as long as the ledger lives."""
        if len(labels) == 1:
            return self._cohorts[next(iter(labels))]
        return sorted({number for label in labels for number in self._cohorts.get(label, ())})

    def postings(self, numbers: Iterable[int]) -> list[Posting]:
        """The postings of those numbers."""
        postings = self._ledger.postings
        return [postings[number] for number in numbers]

    def touching(self, enclosure: str) -> list[Posting]:
        """The postings whose animals stood in the enclosure before or after them."""
        return self.postings(self._touched.get(enclosure, ()))

    def left(self, what: str, after: int = 0) -> list[Posting]:
        """The postings by which animals left the nursery in an event of that kind; without the first `after` of them."""
        return self.postings(self._left.get(what, [])[after:])

    def inside(self, enclosure: str, number: int) -> dict[Key, int]:
        """Which animals stood in the enclosure just before the event of that number."""
        stood, touched = self._stood.setdefault(enclosure, []), self._touched.get(enclosure, ())
        for at in touched[len(stood) :]:
            _, source, target, count = self._ledger.postings[at]
            now = dict(stood[-1][1]) if stood else {}
            for key, change in ((source, -count), (target, count)):
                if key is not None and key.enclosure == enclosure:
                    now[key] = now.get(key, 0) + change
            stood.append((at, {key: held for key, held in now.items() if held}))
        before = bisect_left(stood, self._before[number], key=lambda item: item[0])
        return stood[before - 1][1] if before else {}

    def looks_at(self, label: str) -> list[Look]:
        """The looks at animals of the cohort."""
        looks = self._ledger._looks
        return [looks[number] for number in self._looks.get(label, ())]

    def family(self, label: str) -> frozenset[str]:
        """The cohort with all those that animals of it came from or went to, by split or merge."""
        family, fresh = {label}, [label]
        while fresh:
            for other in self._links.get(fresh.pop(), ()):
                if other not in family:
                    family.add(other)
                    fresh.append(other)
        return frozenset(family)
