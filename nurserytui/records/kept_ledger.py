"""A ledger as plain values that load fast, and the ledger made of them again: the state after the first so many events on record.

Events, postings and looks stay packed until they are asked for. Only a ledger without faults is kept: it has nothing to explain.
"""

from __future__ import annotations

import marshal
from array import array
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from itertools import repeat
from typing import Any

from nurserytui.records.chronicle import Chronicle, Numbers
from nurserytui.records.events import Event
from nurserytui.records.growth import unlabelled
from nurserytui.records.lazily import SIZE, Lazily, Packed, Picked
from nurserytui.records.ledger import Ledger, _Info
from nurserytui.records.order import seen
from nurserytui.records.postings import Key, Posting
from nurserytui.records.progress import Progress, told

_LISTS = ("_whats", "_days", "_places", "_care", "_names", "_cohorts", "_touched", "_left", "_looks")
"""What a chronicle keeps by what it is about, but for its groups: of those there is one for almost every event."""


class Kept:
    """The state after the first `count` events on record, as they were seen when the clock stood at `latest` or later."""

    def __init__(self, plain: dict[str, Any]) -> None:
        self._plain = plain
        self.count: int = plain["count"]
        self.latest: str = plain["latest"]
        """The latest time of the events that were seen."""
        self.withdrawn: bool = plain["withdrawn"]
        """Whether any of the events is a withdrawal."""
        self.correcting: frozenset[str] = plain["correcting"]
        """The groups of the withdrawals."""
        self.recorded: Packed[Event] = Packed(plain["events"], self.count, _events)
        self.ahead: list[Event] = [self.recorded[number] for number in plain["ahead"]]
        """The events that were not seen, since they are dated later."""
        self._keys = [Key._make(key) for key in plain["keys"]]
        self._standing = Picked(self.recorded, array("I", plain["order"]))
        self._postings: Packed[Posting] = Packed(plain["postings"], plain["posted"], self._posted)
        self._looks: Packed[tuple] = Packed(plain["looks"], plain["looked"], self._looked)

    def ledger(self) -> Ledger:
        """A ledger in that state, which may go on."""
        plain, keys, ledger = self._plain, self._keys, Ledger()
        ledger.events = Lazily(self._standing)
        ledger.postings = Lazily(self._postings)
        ledger._looks = Lazily(self._looks)
        ledger.heads = {keys[key]: count for key, count in plain["heads"]}
        ledger.lost = {keys[key]: count for key, count in plain["lost"]}
        ledger._groups = {name: {keys[key]: count for key, count in group} for name, group in plain["groups"]}
        ledger._inside = {place: {keys[key]: count for key, count in group} for place, group in plain["inside"]}
        ledger._infos = {name: _info(values) for name, values in plain["infos"]}
        ledger._marks = dict(plain["marks"])
        ledger.enclosures = set(plain["enclosures"])
        ledger._current, ledger._former, ledger._ahead = dict(plain["current"]), dict(plain["former"]), dict(plain["renaming"])
        ledger._places, ledger._used = dict(plain["places"]), set(plain["used"])
        ledger._finish()
        ledger._chronicle = self._chronicle(ledger)
        return ledger

    def _chronicle(self, ledger: Ledger) -> Chronicle:
        chronicle, plain = Chronicle(ledger), self._plain
        chronicle._before = array("I", plain["before"])
        chronicle._posted, chronicle._looked = plain["posted"], plain["looked"]
        for name in _LISTS:
            lists = {about: array("I", numbers) for about, numbers in plain["lists"][name].items()}
            setattr(chronicle, name, defaultdict(Numbers, lists))
        chronicle._packed_groups = plain["grouped"]
        chronicle._links = {label: set(others) for label, others in plain["links"].items()}
        chronicle.hosts = dict(plain["hosts"])
        return chronicle

    def _posted(self, block: bytes) -> list[Posting]:
        keys, events = self._keys, self._standing
        return [
            Posting(events[number], None if source < 0 else keys[source], None if target < 0 else keys[target], count)
            for number, source, target, count in marshal.loads(block)
        ]

    def _looked(self, block: bytes) -> list[tuple]:
        names, events, numbers = self._plain["looked at"], self._standing, array("I", block)
        return [
            (before, events[number], *names[name])
            for before, number, name in zip(numbers[0::3], numbers[1::3], numbers[2::3], strict=True)
        ]


def plain(
    ledger: Ledger, recorded: Sequence[Event], until: datetime | None, progress: Progress | None = None
) -> dict[str, Any] | None:
    """The ledger of the recorded events as seen at `until`, as values that `marshal` takes, none of which changes with it; None
    if it has faults, or a label that the records do not say."""
    recorded = [*recorded]
    if ledger.faults or any(map(unlabelled, recorded)):
        return None
    ids = {event.id: number for number, event in enumerate(recorded)}
    events, chronicle = [*ledger.events], ledger.chronicle
    numbers = {event.id: number for number, event in enumerate(events)}
    keys, names = _Numbered(), _Numbered()
    counted = lambda group: [(keys[key], count) for key, count in group.items()]  # noqa: E731
    ledger.next_label()  # which gathers the labels that were said
    shown = seen(recorded, until)
    withdrawals = [event for event in recorded if event.what == "withdrawn"]
    found: dict[str, Any] = {
        "count": len(recorded),
        "latest": max((event.when for event in shown), default=""),
        "ahead": [] if len(shown) == len(recorded) else sorted({*range(len(recorded))} - {ids[event.id] for event in shown}),
        "withdrawn": bool(withdrawals),
        "correcting": frozenset(event.group for event in withdrawals if event.group),
        "events": _blocks(recorded, _packed, progress),
        "order": Numbers([ids[event.id] for event in events]).tobytes(),
        "posted": len(ledger.postings),
        "postings": _blocks(
            [
                (numbers[event.id], -1 if source is None else keys[source], -1 if target is None else keys[target], count)
                for event, source, target, count in ledger.postings
            ],
            marshal.dumps,
            progress,
        ),
        "looked": len(ledger._looks),
        "looks": _blocks(
            [(before, numbers[event.id], names[about]) for before, event, *about_ in ledger._looks for about in (tuple(about_),)],
            lambda rows: Numbers([number for row in rows for number in row]).tobytes(),
            progress,
        ),
        "heads": counted(ledger.heads),
        "lost": counted(ledger.lost),
        "groups": [(name, counted(group)) for name, group in ledger._groups.items()],
        "inside": [(place, counted(group)) for place, group in ledger._inside.items()],
        "infos": [(name, tuple(getattr(info, part) for part in _Info.__slots__)) for name, info in ledger._infos.items()],
        "marks": dict(ledger._marks),
        "enclosures": list(ledger.enclosures),
        "current": dict(ledger._current),
        "former": dict(ledger._former),
        "renaming": dict(ledger._ahead),
        "places": dict(ledger._places),
        "used": list(ledger._used or ()),
        "before": chronicle._before.tobytes(),
        "lists": {name: _bytes(getattr(chronicle, name)) for name in _LISTS},
        "grouped": marshal.dumps(_bytes(chronicle.groups)),
        "links": {label: tuple(others) for label, others in chronicle._links.items()},
        "hosts": dict(chronicle.hosts),
    }
    found["keys"], found["looked at"] = [tuple(key) for key in keys], list(names)
    return found


class _Numbered(dict):
    """Things by the number that each gets when it is first asked for."""

    def __missing__(self, thing) -> int:
        number = self[thing] = len(self)
        return number


def _bytes(lists: dict) -> dict:
    return {about: numbers.tobytes() for about, numbers in lists.items() if numbers}


def _blocks(rows: list, pack, progress: Progress | None) -> list[bytes]:
    starts = range(0, len(rows), SIZE)
    return [pack(rows[at : at + SIZE]) for at in told(progress, starts, len(starts), "blocks packed", every=20)]


def _packed(events: Sequence[Event]) -> bytes:
    """Column by column, one that says the same throughout said once."""
    columns = zip(*events, strict=True)
    return marshal.dumps((len(events), tuple(_once(column) for column in columns)))


def _once(column: tuple) -> object:
    same = not isinstance(column[0], float) and column.count(column[0]) == len(column)
    return column[0] if same else column


def _events(block: bytes) -> list[Event]:
    count, columns = marshal.loads(block)
    whole = (column if isinstance(column, tuple) else repeat(column, count) for column in columns)
    return list(map(tuple.__new__, repeat(Event, count), zip(*whole, strict=True)))


def _info(values: tuple) -> _Info:
    info = _Info.__new__(_Info)
    for part, value in zip(_Info.__slots__, values, strict=True):
        setattr(info, part, value)
    return info
