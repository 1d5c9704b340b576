"""A nursery that grew line by line and day by day is the nursery read anew."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.answers.cases import outbreaks
from nurserytui.answers.stays import trace
from nurserytui.nursery import Nursery
from nurserytui.records.about import about
from nurserytui.records.events import STAGES, Event
from nurserytui.records.order import seen

from .oracle.nurseries import random_events


class Shelf:
    """A store that holds events alone."""

    def __init__(self, events=()) -> None:
        self.held: list[Event] = list(events)

    def events(self) -> list[Event]:
        return list(self.held)

    def stamp(self) -> int:
        return len(self.held)

    def readings_stamp(self) -> int:
        return 0

    def readings(self, place) -> list:
        return []


class NoKnowledge:
    """Nothing is known, so that no words of a cause are traced."""

    def all_agents(self) -> tuple:
        return ()

    def agent(self, name: str) -> None:
        return None

    def signs(self, stage=None) -> tuple:
        return ()


def state(nursery: Nursery) -> dict:
    """All that can be asked of a nursery's records."""
    ledger = nursery.ledger
    cohorts = list(ledger.cohorts)
    return {
        "heads": ledger.heads,
        "cohorts": ledger.cohorts,
        "postings": ledger.postings,
        "events": nursery.events,
        "faults": ledger.faults,
        "missing": ledger.missing,
        "lost": ledger.lost,
        "enclosures": ledger.enclosures,
        "next": ledger.next_label(),
        "labels": {name: ledger.label(name) for name in {e.cohort for e in nursery.events} | {e.to for e in nursery.events}},
        "entries": {(label, stage): ledger.entries(label, stage) for label in cohorts for stage in STAGES},
        "looks": {label: ledger.looks(label) for label in cohorts},
        "about": {label: about(ledger, label) for label in cohorts},
        "moves": trace(ledger)[1],
        "stays": sorted(trace(ledger)[0], key=repr),
        "settings": nursery.settings,
        "measured": {place: nursery.temperatures(place) for place in ledger.enclosures},
        "by day": {event.day: ledger.chronicle.on(event.day) for event in nursery.events},
        "inside": [ledger.chronicle.inside(e.enclosure, number) for number, e in enumerate(nursery.events) if e.enclosure],
        "outbreaks": len(outbreaks(nursery)),
    }


def assert_same(grown: Nursery, anew: Nursery) -> None:
    one, other = state(grown), state(anew)
    for name in one:
        assert one[name] == other[name], name


def numbered(events: list[Event]) -> list[Event]:
    return [event if event.id else event._replace(id=f"n{at}") for at, event in enumerate(events)]


@given(seed=st.integers(0, 10_000), data=st.data())
@settings(max_examples=12, deadline=None)
def test_growing_line_by_line_is_reading_anew(seed, data):
    events = numbered(random_events(seed, seasons=1, cohorts_per_season=4, looks_per_day=0.5))
    shelf = Shelf(events[: data.draw(st.integers(0, len(events)))])
    moment = datetime.fromisoformat(shelf.held[-1].day if shelf.held else events[0].day) + timedelta(hours=12)
    nursery = Nursery(shelf, NoKnowledge(), moment)
    while len(shelf.held) < len(events):
        there = len(shelf.held)
        shelf.held += events[there : there + data.draw(st.integers(1, 40))]
        # The clock may stand before what was written, so that some of it is ahead and comes due by and by.
        step = timedelta(hours=data.draw(st.sampled_from((0, 1, 13, 24, 24 * 9))))
        moment = max(
            moment + step, datetime.fromisoformat(shelf.held[-1].day) - timedelta(days=data.draw(st.sampled_from((0, 2))))
        )
        nursery.at(moment)
        if data.draw(st.booleans()):
            moment += timedelta(hours=data.draw(st.sampled_from((3, 24))))
            nursery.at(moment)
        if data.draw(st.integers(0, 3)) == 0:
            assert_same(nursery, Nursery(shelf, NoKnowledge(), moment))
    assert_same(nursery, Nursery(shelf, NoKnowledge(), moment))


LAID = Event("2031-06-01T09:00", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar", id="1")
FOUND = Event("2031-06-02", "found", "B", species="Pieris rapae", stage="larva", count=4, enclosure="tub", id="2")


@pytest.mark.parametrize(
    "later",
    [
        pytest.param([Event("2031-06-03", "fed", enclosure="tub")], id="plain"),
        pytest.param([Event("2031-05-30", "temperature", detail="20 C")], id="backdated"),
        pytest.param([Event("2031-06-01", "died", "A", count=1)], id="a date alone on an earlier day"),
        pytest.param([Event("2031-06-02T08:00", "checked", "B")], id="timed after a date alone on the same day"),
        pytest.param([Event("2031-06-03T18:00", "fed", enclosure="tub"), Event("2031-06-03", "died", "B", count=1)], id="ahead, then a date alone"),
        pytest.param([Event("2031-06-05", "hatched", "A", count=9)], id="ahead by two days"),
        pytest.param([Event("2031-06-03", "renamed", "A", to="kale"), Event("2031-06-04", "checked", "kale")], id="renamed"),
        pytest.param([Event("2031-06-03T05:00", "checked", "kale"), Event("2031-06-03T06:00", "renamed", "A", to="kale")], id="named by the label to come"),
        pytest.param([Event("2031-06-03", "withdrawn", withdraws="2")], id="withdrawn"),
        pytest.param([Event("2031-06-06", "died", "B", count=1, id="9"), Event("2031-06-03", "withdrawn", withdraws="9")], id="withdrawn before it came due"),
        pytest.param([Event("2031-06-03", "died", "B", count=40)], id="impossible"),
        pytest.param([Event("2031-06-03", "split", "A", count=2, to="C"), Event("2031-06-04", "merged", "C", to="A")], id="split and merged"),
        pytest.param([Event("2031-06-03", "setting", detail="units=F"), Event("2031-06-03", "temperature", enclosure="tub", detail="70 F")], id="settings"),
        pytest.param([Event("2031-06-03", "missing", "B", count=1), Event("2031-06-04", "returned", "B", count=1)], id="missing and back"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("at_once", [False, True])
def test_each_kind_of_growth_is_reading_anew(later, at_once):
    shelf = Shelf([LAID, FOUND])
    moment = datetime(2031, 6, 3, 7)
    nursery = Nursery(shelf, NoKnowledge(), moment)
    state(nursery)  # whatever is kept is there to be stale
    written = numbered([LAID, FOUND, *later])[2:]
    for events in [written] if at_once else [[event] for event in written]:
        shelf.held += events
        nursery.refresh()
        assert_same(nursery, Nursery(shelf, NoKnowledge(), moment))
    for hours in (5, 12, 24, 72):
        moment += timedelta(hours=hours)
        nursery.at(moment)
        assert_same(nursery, Nursery(shelf, NoKnowledge(), moment))


def test_another_file_in_the_place_of_the_first_is_read_anew():
    shelf = Shelf([LAID, FOUND])
    nursery = Nursery(shelf, NoKnowledge(), datetime(2031, 6, 3, 7))
    shelf.held = [FOUND]
    nursery.refresh()
    assert list(nursery.ledger.cohorts) == ["B"]


def test_what_is_ahead_is_not_seen_and_what_is_kept_of_a_cohort_goes_with_it():
    shelf = Shelf([LAID, FOUND, Event("2031-06-09", "died", "B", count=1, id="3")])
    nursery = Nursery(shelf, NoKnowledge(), datetime(2031, 6, 3, 7))
    assert seen(shelf.held, nursery.now) == [LAID, FOUND] == nursery.events
    asked = []
    count = lambda label: nursery.kept_of_cohort(label, "n", lambda: asked.append(label) or len(asked))  # noqa: E731
    assert (count("A"), count("B"), count("A"), count("B")) == (1, 2, 1, 2)
    nursery.at(datetime(2031, 6, 9, 7))
    assert (count("A"), count("B")) == (1, 3)
    shelf.held.append(Event("2031-06-01", "died", "A", count=1, id="4"))
    nursery.refresh()
    assert (count("A"), count("B")) == (4, 3)


def test_what_is_kept_until_the_records_or_the_moment_change():
    shelf = Shelf([LAID, FOUND])
    nursery = Nursery(shelf, NoKnowledge(), datetime(2031, 6, 3, 7))
    asked = []

    def count(keep) -> int:
        return keep("n", lambda: asked.append(keep) or len(asked))

    assert (count(nursery.until_written), count(nursery.until_moved)) == (1, 2) == (1, count(nursery.until_moved))
    nursery.at(datetime(2031, 6, 3, 8))
    assert (count(nursery.until_written), count(nursery.until_moved)) == (1, 3)
    shelf.held.append(Event("2031-06-03", "died", "A", count=1, id="3"))
    nursery.refresh()
    assert (count(nursery.until_written), count(nursery.until_moved)) == (4, 5)
