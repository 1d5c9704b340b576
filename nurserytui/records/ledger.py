"""The ledger of living things: events replayed into a headcount, in double entry.

Every event moves animals from one group to another, or from or to outside, so that no animal is made or lost by arithmetic
and no headcount is ever negative. What cannot have happened becomes a Fault and moves nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import datetime

from nurserytui.records import rules, stocktake
from nurserytui.records.chronicle import Chronicle
from nurserytui.records.events import Event
from nurserytui.records.order import in_order, labels_said, seen, standing, withdrawn_ids
from nurserytui.records.postings import Cohort, Entry, Fault, Key, Posting, Refused, cohorts_of
from nurserytui.records.progress import Progress, told

__all__ = ["Cohort", "Entry", "Fault", "Key", "Ledger", "Posting", "in_order", "replay", "standing"]

RULES = {
    "laid": rules.entered, "found": rules.entered, "returned": rules.returned, "identified": rules.identified,
    "hatched": rules.changed, "moulted": rules.moulted, "prepupated": rules.changed, "pupated": rules.changed, "emerged": rules.changed,
    "checked": rules.looked, "sign": rules.looked, "counted": stocktake.counted,
    "moved": rules.moved, "split": rules.split, "merged": rules.merged, "renamed": rules.renamed,
    "died": rules.left, "released": rules.left, "escaped": rules.left, "given": rules.left, "missing": rules.left,
    "tested": rules.cared, "cleaned": rules.cared, "fed": rules.cared, "cut": rules.cared, "watered": rules.cared,
    "stocked": rules.cared, "temperature": rules.cared, "note": rules.cared,
    "setting": rules.cared, "withdrawn": rules.nothing,
}  # fmt: skip

UNKNOWN = "unknown"


class _Info:
    """What is known of a cohort while the events are replayed."""

    __slots__ = (
        "label",
        "species",
        "host",
        "parent",
        "origin",
        "origin_stage",
        "first_when",
        "estimate",
        "former",
        "split_from",
        "merged",
    )

    def __init__(self, label: str, species: str, host: str, parent: str, origin: str, origin_stage: str, first_when: str) -> None:
        self.label, self.species, self.host, self.parent = label, species, host, parent
        self.origin, self.origin_stage, self.first_when = origin, origin_stage, first_when
        self.estimate, self.former, self.split_from, self.merged = False, (), "", ""


class Ledger:
    """Headcounts and how they came about. Build it with `replay`; everything public is read-only.

    `heads` maps each group of animals that is there to its number (never zero or less); `postings` has every movement in
    order, withdrawn events left out; `cohorts` every cohort that ever was, by its label of today; `events` the standing events
    that were seen, in ledger order; `missing` the animals of unknown fate by cohort; `lost` the same by group;
    `enclosures` every enclosure named so far. After a `renamed`, all keys carry the new label.
    """

    def __init__(self) -> None:
        self.heads: dict[Key, int] = {}
        self.postings: list[Posting] = []
        self.cohorts: dict[str, Cohort] = {}
        self.faults: list[Fault] = []
        self.missing: dict[str, int] = {}
        self.lost: dict[Key, int] = {}
        self.enclosures: set[str] = set()
        self.events: list[Event] = []
        self.until: datetime | None = None
        self._lost_before: dict[Key, int] | None = None
        self._infos: dict[str, _Info] = {}
        self._groups: dict[str, dict[Key, int]] = {}
        self._inside: dict[str, dict[Key, int]] = {}
        self._current: dict[str, str] = {}
        self._former: dict[str, str] = {}
        self._ahead: dict[str, str] = {}
        self._places: dict[str, str] = {"": ""}
        self._marks: dict[tuple[str, str], tuple[str, str]] = {}
        self._looks: list[tuple[int, Event, str, str, str]] = []
        self._given: list[Event] = []
        self._used: set[str] | None = None
        self._entries: dict | None = None
        self._chronicle: Chronicle | None = None
        self.kept: dict[str, object] = {}
        """What others worked out from this ledger, dropped when it grows."""
        self.growing: dict[str, object] = {}
        """What others follow it with, and read on with when it grows."""

    # What readers ask ------------------------------------------------------------------------------------------------

    def label(self, text: str) -> str | None:
        """The cohort of that current or former label, whatever its case; None if there is none."""
        found = self._current.get(text) or self._current.get(text.casefold()) or self._former.get(text.casefold())
        return self._infos[found].label if found else None

    def living(self, cohort: str) -> bool:
        """Whether the cohort has animals now."""
        return any(key.cohort == cohort for key in self.heads)

    def animal(self, text: str) -> tuple[str, str] | None:
        """(cohort, mark) for `C4`, `c4`, `kale-26 4` or `kale-26/4`: the cohort of that label first, else a mark of a cohort."""
        whole = self.label(text)
        if whole:
            return whole, ""
        head = text.rstrip("0123456789")
        tail = text[len(head) :]
        cohort = self.label(head.rstrip(" /#"))
        return (cohort, tail) if cohort and tail and head.rstrip(" /#") else None

    def key_species(self, key: Key) -> str:
        """The scientific name of those animals, or `unknown`."""
        return self.cohorts[key.cohort].species

    def entries(self, cohort: str, stage: str, instar: int | None = None, mark: str | None = None) -> list[Entry]:
        """When the animals of the cohort came into the stage (or into that instar): see records.windows."""
        from nurserytui.records import windows

        return windows.entries(self, cohort, stage, instar, mark)

    def changes(self, cohort: str, stage: str, mark: str | None = None) -> list[Entry]:
        """When animals of the cohort were seen to go on from the stage to a later one: see records.windows."""
        from nurserytui.records import windows

        return windows.changes(self, cohort, stage, mark)

    def looks(self, cohort: str, enclosure: str | None = None) -> list[datetime]:
        """When the cohort's animals were looked at (in that enclosure, if one is named), oldest first; entering counts."""
        from nurserytui.records import windows

        return windows.looks(self, cohort, enclosure)

    def settings(self) -> list[Event]:
        """The standing settings; the lists of all else are not made for them."""
        return (
            self._chronicle.events_of("setting")
            if self._chronicle is not None
            else [event for event in self.events if event.what == "setting"]
        )

    @property
    def chronicle(self) -> Chronicle:
        """The events and postings by what they are about."""
        if self._chronicle is None:
            self._chronicle = Chronicle(self).take_in()
        return self._chronicle

    def next_label(self, taken: Collection[str] = ()) -> str:
        """The next free capital letter, none of `taken` (in lower case); after Z, AA and so on. I is left out: a line could not tell the
        cohort from the keeper. A letter is free again where all that ever named it was taken back."""
        if self._used is None:
            self._used = labels_said(self._given)
            self._used.update(self._current, self._former)
        number = 0
        while True:
            label, rest = "", number
            while True:
                label = chr(65 + rest % 26) + label
                rest = rest // 26 - 1
                if rest < 0:
                    break
            if label != "I" and label.casefold() not in self._used and label.casefold() not in taken:
                return label
            number += 1

    # What the rules use ----------------------------------------------------------------------------------------------

    def post(self, event: Event, source: Key | None, target: Key | None, count: int) -> None:
        """Move `count` animals; the caller has made sure that they are there."""
        if source is not None:
            self._add(source, -count)
            if source.mark:
                self._marks[source.cohort, source.mark] = event.what, event.day
            if event.estimate:
                self._infos[source.cohort].estimate = True
        if target is not None:
            self._add(target, count)
            if target.mark:
                self._marks[target.cohort, target.mark] = event.what, event.day
            if event.estimate:
                self._infos[target.cohort].estimate = True
        self.postings.append(Posting(event, source, target, count))

    def _add(self, key: Key, count: int) -> None:
        left = self.heads.get(key, 0) + count
        group, place = self._groups[key.cohort], self._inside.get(key.enclosure)
        if place is None:
            place = self._inside[key.enclosure] = {}
        if left > 0:
            self.heads[key] = group[key] = place[key] = left
        elif left == 0:
            del self.heads[key], group[key], place[key]
        else:
            raise AssertionError(f"{key} would have {left} animals")  # a rule took more than choose() gave it

    def of_cohort(self, cohort: str) -> dict[Key, int]:
        return self._groups[cohort]

    def inside(self, enclosure: str) -> dict[Key, int]:
        return self._inside.get(enclosure) or {}

    def info(self, cohort: str) -> _Info:
        return self._infos[cohort]

    def shown(self, cohort: str) -> str:
        return self._infos[cohort].label

    def look(self, event: Event, cohort: str, enclosure: str, mark: str) -> None:
        """The animals of the cohort (in the enclosure, unless "", and of the mark, unless "") were looked at."""
        self._looks.append((len(self.postings), event, cohort, enclosure, mark))

    def lose(self, key: Key, count: int) -> None:
        self._keep_lost()
        self.lost[key] = self.lost.get(key, 0) + count

    def give_back(self, event: Event, lost: Key, key: Key, count: int) -> None:
        """Missing animals come back as `key`."""
        self._keep_lost()
        left = self.lost[lost] - count
        if left:
            self.lost[lost] = left
        else:
            del self.lost[lost]
        self.post(event, None, key, count)

    def _keep_lost(self) -> None:
        """For an event that is refused in the end: the missing as they were before it."""
        if self._lost_before is None:
            self._lost_before = dict(self.lost)

    def last_of_mark(self, cohort: str, mark: str) -> tuple[str, str] | None:
        """Kind and day of the last event that moved the animal of that mark; None if the mark was never seen."""
        return self._marks.get((cohort, mark))

    def place(self, enclosure: str) -> str:
        """The enclosure as it was first written."""
        found = self._places.get(enclosure)
        if found is None:
            found = self._places.setdefault(enclosure.casefold(), enclosure)
            self._places[enclosure] = found
            self.enclosures.add(found)
        return found

    def known(self, text: str) -> str:
        """The cohort that has that label at this moment, or ""."""
        return self._current.get(text) or self._current.get(text.casefold(), "")

    def resolve(self, text: str, lacking: str = "the cohort is not said") -> str:
        """The cohort of that label: current, former, or one that it is going to get; Refused if there is none."""
        if not text:
            raise Refused(lacking)
        found = self._current.get(text)
        if found is None:
            folded = text.casefold()
            found = self._current.get(folded) or self._former.get(folded) or self._going_to_be(folded)
            if found is None:
                raise Refused(f"there is no cohort {text}")
        return found

    def _going_to_be(self, label: str) -> str | None:
        """The cohort that is going to get that label, by one `renamed` or by several."""
        passed = set()
        while label in self._ahead and label not in passed:
            passed.add(label)
            label = self._ahead[label]
            if label in self._current:
                return self._current[label]
        return None

    def same_species(self, cohort: str, species: str) -> bool:
        return self._infos[cohort].species.casefold() == species.casefold()

    def check_species(self, cohort: str, species: str, *, exact: bool = False) -> None:
        """Refused if the row's species is another than the cohort's; `exact` also where one of them is unknown."""
        own = self._infos[cohort].species
        if species and species.casefold() != own.casefold() and (exact or UNKNOWN not in (own, species)):
            raise Refused(f"cohort {self.shown(cohort)} is {own}, not {species}")

    def found_cohort(self, event: Event, stage: str) -> str:
        label = event.cohort or self.next_label()
        return self._new(label, _Info(label, event.species, event.host, event.parent, event.what, stage, event.when))

    def split_cohort(self, event: Event, cohort: str, stage: str) -> str:
        old = self._infos[cohort]
        info = _Info(event.to, old.species, old.host, old.parent, old.origin, stage, event.when)
        info.estimate, info.split_from = old.estimate or event.estimate, cohort
        return self._new(event.to, info)

    def _new(self, label: str, info: _Info) -> str:
        # A label may be used again after its cohort was renamed: the replay tells the two apart by a longer name.
        cohort = label
        while cohort in self._infos:
            cohort += "\0"
        self._infos[cohort] = info
        self._groups[cohort] = {}
        self._current[label] = self._current[label.casefold()] = cohort
        if self._used is not None:
            self._used.add(label.casefold())
        return cohort

    def merge_cohort(self, cohort: str, to: str) -> None:
        self._infos[cohort].merged = to
        self._infos[to].estimate = self._infos[to].estimate or self._infos[cohort].estimate

    def rename_cohort(self, cohort: str, label: str) -> None:
        info = self._infos[cohort]
        for name in (info.label, info.label.casefold()):
            self._current.pop(name, None)
            self._former[name] = cohort
        info.former += (info.label,)
        info.label = label
        self._current[label] = self._current[label.casefold()] = cohort

    # Replay ----------------------------------------------------------------------------------------------------------

    def go_on(self, events: Sequence[Event], until: datetime | None, progress: Progress | None = None) -> bool:
        """Take in events that come after all that were seen, in ledger order; whether anything changed by them or by the time.

        `records.growth` knows when this may be done.
        """
        touched = self._still_open()
        start, looks = len(self.postings), len(self._looks)
        self.until = until
        if events:
            if self._used is None:
                self._given = self._given + [*events]
            else:
                self._used.update(name.casefold() for event in events for name in (event.cohort, event.to) if name)
            for event in told(progress, events, len(events), "events checked"):
                self.events.append(event)
                self._apply(event)
            self._finish()
            if self._chronicle is not None:
                self._chronicle.take_in()
            touched |= cohorts_of(self.postings[start:]) | {look[2] for look in self._looks[looks:]}
        if events or touched:
            self.kept.clear()
        for family in [family for family in self._entries or () if not touched.isdisjoint(family)]:
            del self._entries[family]
        return bool(events or touched)

    def _still_open(self) -> set[str]:
        """The cohorts with changes on the last day seen of which no clock time is known: each may have happened up to `until`."""
        if self.until is None:
            return set()
        chronicle = self.chronicle
        numbers = chronicle.numbers(days=(self.until.date().isoformat(),))
        return {
            cohort for number in numbers if not self.events[number].timed for cohort in cohorts_of(chronicle.postings_of(number))
        }

    def _apply(self, event: Event) -> bool:
        """True if the event could happen; else nothing is changed and a fault is added."""
        start, looks = len(self.postings), len(self._looks)
        self._lost_before = None
        try:
            rule = RULES.get(event.what)
            if rule is None:
                raise Refused(f"there is no event called {event.what}")
            rule(self, event)
            return True
        except Refused as refused:
            for _, source, target, count in reversed(self.postings[start:]):
                if target is not None:
                    self._add(target, -count)
                if source is not None:
                    self._add(source, count)
                    if target is not None and target.mark and not source.mark:
                        self._marks.pop((target.cohort, target.mark), None)
            del self.postings[start:], self._looks[looks:]
            if self._lost_before is not None:
                self.lost = self._lost_before
            blocker = self._taken_before(refused, event.count or 1) if refused.wanted and len(self.faults) < 50 else None
            self.faults.append(Fault(event, event.id, refused.reason, refused.available, blocker))
            return False

    def _taken_before(self, refused: Refused, count: int) -> Event | None:
        """The last event that took animals out of what was asked for, if they would be enough without such events."""
        cohort, stages, enclosure = refused.wanted
        if not cohort:
            return None
        last, there = None, sum(held for key, held in refused.available if not stages or key.stage in stages)
        for event, source, target, taken in reversed(self.postings):
            if source is None or source.cohort != cohort or (stages and source.stage not in stages):
                continue
            if enclosure and source.enclosure != enclosure:
                continue
            stays = (
                target is not None and (not stages or target.stage in stages) and (not enclosure or target.enclosure == enclosure)
            )
            if not stays or target.cohort != cohort:
                last, there = last or event, there + taken
                if there >= count:
                    return last
        return None

    def _finish(self) -> None:
        """Give every key the label of today and sum up the missing. The replay may go on from here."""
        renamed = {cohort: info.label for cohort, info in self._infos.items() if cohort != info.label}
        if renamed:

            def now(key: Key | None) -> Key | None:
                return key if key is None or key.cohort not in renamed else key._replace(cohort=renamed[key.cohort])

            self._groups = {
                renamed.get(cohort, cohort): {now(key): count for key, count in group.items()}
                for cohort, group in self._groups.items()
            }
            self._inside = {place: {now(key): count for key, count in group.items()} for place, group in self._inside.items()}
            self.heads = {now(key): count for key, count in self.heads.items()}
            self.lost = {now(key): count for key, count in self.lost.items()}
            self.postings = [Posting(event, now(source), now(target), count) for event, source, target, count in self.postings]
            self._chronicle, self.growing = None, {}
            self._looks = [
                (at, event, renamed.get(cohort, cohort), place, mark) for at, event, cohort, place, mark in self._looks
            ]
            self.faults = [
                fault._replace(available=tuple((now(key), count) for key, count in fault.available)) for fault in self.faults
            ]
            self._infos = {renamed.get(cohort, cohort): info for cohort, info in self._infos.items()}
            self._marks = {(renamed.get(cohort, cohort), mark): last for (cohort, mark), last in self._marks.items()}
            for labels in (self._current, self._former):
                labels.update({text: renamed[cohort] for text, cohort in labels.items() if cohort in renamed})
            for info in self._infos.values():
                info.split_from, info.merged = (renamed.get(name, name) for name in (info.split_from, info.merged))
        self.cohorts = {
            label: Cohort(
                label,
                info.species,
                info.host,
                info.parent,
                info.origin,
                info.origin_stage,
                info.first_when,
                info.estimate,
                info.former,
                info.split_from,
                info.merged,
            )  # fmt: skip
            for label, info in self._infos.items()
        }
        self.missing = {}
        for key, count in self.lost.items():
            self.missing[key.cohort] = self.missing.get(key.cohort, 0) + count


def replay(
    events: Iterable[Event],
    until: datetime | None = None,
    assume: Callable[[Ledger, Event], None] | None = None,
    progress: Progress | None = None,
) -> Ledger:
    """The ledger after those events (given in the order in which they were recorded), as seen at `until` (local wall time).

    `assume` is called with every event that was refused and may post what follows from it, to find the faults behind a fault.
    """
    ledger = Ledger()
    given = seen(list(events), until)
    gone = withdrawn_ids(given)
    ledger._given, ledger.until = given, until
    ordered = in_order(given)
    if gone:
        ordered = [event for event in ordered if event.id not in gone]
    ledger.events = [event for event in ordered if event.what != "withdrawn"]
    ledger._ahead = {
        event.to.casefold(): event.cohort.casefold() for event in ledger.events if event.what == "renamed" and event.to
    }
    apply = ledger._apply
    for event in told(progress, ledger.events, len(ledger.events), "events checked") if progress else ledger.events:
        if not apply(event) and assume is not None:
            assume(ledger, event)
    ledger._finish()
    return ledger
