"""When animals came into a stage, and when they were looked at."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.records.events import Event
from nurserytui.records.ledger import replay


def at(text):
    return datetime.fromisoformat(text)


def told(entries):
    return [(entry.count, entry.left, entry.earliest, entry.latest, entry.how) for entry in entries]


LAID = Event("2031-06-01T10:00", "laid", "A", species="Pieris rapae", stage="egg", count=12, enclosure="jar")


@pytest.mark.parametrize(
    ("events", "stage", "expected"),
    [
        ([LAID], "egg", [(12, 12, "2031-06-01T10:00", "2031-06-01T10:00", "laid")]),
        # a day alone may have been any moment of it
        ([LAID._replace(when="2031-06-01")], "egg", [(12, 12, "2031-06-01", "2031-06-02", "laid")]),
        # a change lies between the look before it and itself; entering was a look
        ([LAID, Event("2031-06-05", "hatched", "A", count=5)], "larva", [(5, 5, "2031-06-01T10:00", "2031-06-06", "changed")]),
        ([LAID, Event("2031-06-04T18:00", "checked", "A"), Event("2031-06-05T08:00", "hatched", "A", count=5)], "larva",
         [(5, 5, "2031-06-04T18:00", "2031-06-05T08:00", "changed")]),
        # those that hatched first are the look for those that hatched later
        ([LAID, Event("2031-06-05T08:00", "hatched", "A", count=5), Event("2031-06-05T20:00", "hatched", "A")], "larva",
         [(5, 5, "2031-06-01T10:00", "2031-06-05T08:00", "changed"), (7, 7, "2031-06-05T08:00", "2031-06-05T20:00", "changed")]),
        # a look in another enclosure is no look at these
        ([LAID, Event("2031-06-02", "moved", "A", count=4, to="box"), Event("2031-06-04", "checked", "A", enclosure="box"),
          Event("2031-06-05T08:00", "hatched", "A", count=3, enclosure="jar")], "larva",
         [(3, 3, "2031-06-01T10:00", "2031-06-05T08:00", "changed")]),
        # a look at the whole enclosure is one, and it goes with the animals that move on
        ([LAID, Event("2031-06-03T09:00", "checked", enclosure="jar"), Event("2031-06-04", "moved", "A", to="box"),
          Event("2031-06-05T08:00", "hatched", "A", count=3)], "larva", [(3, 3, "2031-06-03T09:00", "2031-06-05T08:00", "changed")]),
        # care is no look
        ([LAID, Event("2031-06-04", "cleaned", enclosure="jar"), Event("2031-06-05T08:00", "hatched", "A", count=3)], "larva",
         [(3, 3, "2031-06-01T10:00", "2031-06-05T08:00", "changed")]),
        # deaths and changes take from those that came first
        ([LAID, LAID._replace(when="2031-06-03T10:00", count=4), Event("2031-06-07", "died", "A", count=13)], "egg",
         [(12, 0, "2031-06-01T10:00", "2031-06-01T10:00", "laid"), (4, 3, "2031-06-03T10:00", "2031-06-03T10:00", "laid")]),
        ([Event("2031-06-01", "found", "A", species="x", stage="larva", instar=3, count=2)], "larva",
         [(2, 2, "2031-06-01", "2031-06-02", "found")]),
        # animals that come back are of unknown age again
        ([LAID, Event("2031-06-02", "missing", "A", count=2), Event("2031-06-03T07:00", "returned", "A", count=1)], "egg",
         [(12, 10, "2031-06-01T10:00", "2031-06-01T10:00", "laid"), (1, 1, "2031-06-03T07:00", "2031-06-03T07:00", "found")]),
        # a corrected estimate were there all along
        ([LAID._replace(estimate=True), Event("2031-06-02", "counted", "A", count=15)], "egg",
         [(15, 15, "2031-06-01T10:00", "2031-06-01T10:00", "laid")]),
    ],
)  # fmt: skip
def test_entry_windows(events, stage, expected):
    ledger = replay(events)
    assert not ledger.faults
    assert told(ledger.entries("A", stage)) == [(count, left, at(low), at(high), how) for count, left, low, high, how in expected]


def test_a_change_of_today_is_not_later_than_now():
    ledger = replay([LAID, Event("2031-06-05", "hatched", "A", count=5)], until=at("2031-06-05T09:30"))
    assert ledger.entries("A", "larva")[0].latest == at("2031-06-05T09:30")


def test_entries_into_an_instar_and_changes_out_of_a_stage():
    ledger = replay([
        LAID,
        Event("2031-06-05T08:00", "hatched", "A"),
        Event("2031-06-08T08:00", "moulted", "A", instar=2, count=7),
        Event("2031-06-20T08:00", "pupated", "A", count=2),
    ])  # fmt: skip
    assert told(ledger.entries("A", "larva", 2)) == [(7, 5, at("2031-06-05T08:00"), at("2031-06-08T08:00"), "changed")]
    assert told(ledger.entries("A", "larva")) == [(12, 10, at("2031-06-01T10:00"), at("2031-06-05T08:00"), "changed")]
    assert [(one.count, one.stage, one.earliest, one.latest) for one in ledger.changes("A", "larva")] == [
        (2, "pupa", at("2031-06-08T08:00"), at("2031-06-20T08:00"))
    ]


def test_a_split_takes_its_entries_along():
    ledger = replay([LAID, Event("2031-06-02", "split", "A", count=4, to="B")])
    assert told(ledger.entries("B", "egg")) == [(4, 4, at("2031-06-01T10:00"), at("2031-06-01T10:00"), "laid")]
    assert told(ledger.entries("A", "egg")) == [(8, 8, at("2031-06-01T10:00"), at("2031-06-01T10:00"), "laid")]


def test_a_marked_animal_has_its_own_entries():
    ledger = replay([LAID, Event("2031-06-05T08:00", "hatched", "A"), Event("2031-06-20T08:00", "pupated", "A", mark="3")])
    assert told(ledger.entries("A", "pupa", mark="3")) == [(1, 1, at("2031-06-05T08:00"), at("2031-06-20T08:00"), "changed")]
    assert ledger.entries("A", "pupa", mark="4") == []


def test_looks_by_enclosure():
    ledger = replay([
        LAID,
        Event("2031-06-02T07:00", "moved", "A", count=4, to="box"),
        Event("2031-06-03", "checked", "A", enclosure="box"),
        Event("2031-06-04T12:00", "sign", "A", enclosure="jar", detail="dented"),
        Event("2031-06-05T12:00", "checked", "A"),
        Event("2031-06-06T12:00", "checked", enclosure="box"),
    ])  # fmt: skip
    assert ledger.looks("A") == [at(text) for text in ("2031-06-01T10:00", "2031-06-03", "2031-06-04T12:00", "2031-06-05T12:00", "2031-06-06T12:00")]  # fmt: skip
    assert ledger.looks("A", "box") == [at(text) for text in ("2031-06-03", "2031-06-05T12:00", "2031-06-06T12:00")]
