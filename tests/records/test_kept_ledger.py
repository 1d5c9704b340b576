"""A ledger that was kept is the ledger that was replayed, in every part that it has, and goes on as that one does."""

from __future__ import annotations

import marshal
import os
from datetime import datetime, timedelta
from random import Random

import hypothesis
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.growing import written
from oracle.sequences import lively

from nurserytui.records.events import Event
from nurserytui.records.growth import go_on_from
from nurserytui.records.kept_ledger import Kept, plain
from nurserytui.records.ledger import Ledger, replay
from nurserytui.records.store import Store

MORE = float(os.environ.get("NURSERY_EXAMPLES", "1"))
DERIVED = {"_entries", "kept", "growing", "_given", "_lost_before"}
"""What is worked out from the rest when it is asked for, and what is noted while an event is taken in and forgotten at the next; labels that
were given are compared as `_used`."""
OWN = {"_ledger", "_stood", "_groups", "_packed_groups"}


def parts(ledger: Ledger) -> dict:
    """Everything that a ledger and its chronicle hold, so that a part that is new is compared too."""
    ledger.next_label()
    chronicle = ledger.chronicle
    found = {name: value for name, value in vars(ledger).items() if name not in DERIVED | {"_chronicle", "_infos"}}
    found["_infos"] = [(name, [getattr(info, part) for part in info.__slots__]) for name, info in ledger._infos.items()]
    found["_used"] = {name for name in found["_used"] if name == name.casefold()}  # of the others nobody asks
    for name in ("heads", "lost", "cohorts", "missing"):
        found[f"order of {name}"] = list(found[name].items())
    for name in ("_groups", "_inside"):
        found[f"order of {name}"] = [(about, list(group.items())) for about, group in found[name].items() if group]
    for name, value in vars(chronicle).items():
        if name not in OWN:
            there = value.items() if isinstance(value, dict) else ()
            found[f"chronicle {name}"] = {key: one for key, one in there if one} if isinstance(value, dict) else value
            found[f"order of {name}"] = [key for key, one in there if one]
    found["chronicle groups"] = {group: numbers for group, numbers in chronicle.groups.items() if numbers}
    del found["order of _links"]
    return found


def assert_same(one: Ledger, other: Ledger) -> None:
    kept, read = parts(one), parts(other)
    assert kept.keys() == read.keys()
    for name in read:
        assert kept[name] == read[name], name
    assert one.next_label() == other.next_label()
    # What follows the postings compares events by being the same one.
    for number, event in enumerate(one.events):
        assert all(posting.event is event for posting in one.chronicle.postings_of(number))


def through_the_file(ledger: Ledger, events: list[Event], until: datetime | None) -> Kept:
    return Kept(marshal.loads(marshal.dumps(plain(ledger, events, until))))


def recorded(groups: list[list[Event]]) -> list[Event]:
    """Events with ids, in groups of their own, as the store has them."""
    found = []
    for number, group in enumerate(groups):
        for at, event in enumerate(group):
            found.append(event._replace(id=event.id or f"e{number}-{at}", group=event.group or f"g{number}"))
    return found


def check(events: list[Event], count: int, moments: list[datetime | None]) -> int:
    """Keep the ledger after `count` events, go on from it at each of the moments; how often that was possible."""
    moment = moments[0]
    before = replay(events[:count], moment)
    if before.faults:
        assert plain(before, events[:count], moment) is None
        return 0
    kept, went = through_the_file(before, events[:count], moment), 0
    assert_same(go_on_from(kept, events[:count], moment), before)
    for until in moments:
        gone_on = go_on_from(kept, events, until)
        if gone_on is not None:
            went += 1
            assert_same(gone_on, replay(events, until))
    return went


@given(st.integers(0, 10_000), st.data())
@settings(max_examples=int(25 * MORE), deadline=None)
def test_seasons_go_on_from_wherever_they_were_kept(seed, data):
    events = recorded(written(Random(seed), cohorts=2, animals=(1, 4)))
    count = data.draw(st.integers(1, len(events)))
    upto = min(len(events), count + data.draw(st.sampled_from((0, 1, 5, 40, 400))))
    day = datetime.fromisoformat(max(event.day for event in events[:count]))
    moments = [day + timedelta(hours=data.draw(st.sampled_from((-60, 7, 12, 23)))), None]
    moments += [day + timedelta(hours=hours) for hours in (-200, -30, 0, 23, 50, 24 * 30)]
    check(events[:upto], count, moments)


def taking_back(draw, events: list[Event], number: int) -> list[Event]:
    """Something of what was written is taken back, perhaps with another thing in its place, in a group of its own or in an older one."""
    event = draw(st.sampled_from(events))
    group = draw(st.sampled_from((f"w{number}", event.group, events[0].group)))
    gone = Event(event.when, "withdrawn", withdraws=event.id, id=f"w{number}", group=group)
    return [gone, event._replace(id=f"c{number}", group=group)] if event.what != "withdrawn" and draw(st.booleans()) else [gone]


@given(lively(24), st.data())
@settings(max_examples=int(80 * MORE), deadline=None)
def test_a_lively_day_book_goes_on_from_wherever_it_was_kept(groups, data):
    """As a store admits it, and then some more that nobody asked whether it can be."""
    with Store.memory() as store:
        for number, group in enumerate(recorded(groups)):
            store.append([group])
            if store.events() and data.draw(st.integers(0, 4)) == 0:
                store.append(taking_back(data.draw, store.events(), number))
        events = store.events()
    hypothesis.assume(events)
    count = data.draw(st.integers(1, len(events)))
    events += data.draw(st.lists(st.sampled_from(recorded(groups)), max_size=3, unique=True).map(lambda more: [
        event._replace(id=f"x{at}", group=f"x{at}") for at, event in enumerate(more)
    ]))  # fmt: skip
    if data.draw(st.booleans()):
        events += taking_back(data.draw, events, len(groups))
    day = datetime.fromisoformat(max(event.day for event in events))
    check(
        events,
        count,
        [data.draw(st.sampled_from((None, day))), *(day + timedelta(hours=hours) for hours in (-100, -30, 0, 12, 100))],
    )


EGGS = Event("2031-06-01T09:00", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar", id="1", group="g1")
FOUND = Event("2031-06-02", "found", "B", species="Pieris rapae", stage="larva", count=4, enclosure="tub", id="2", group="g2")
DIED = Event("2031-06-03", "died", "B", count=1, id="3", group="g3")
NOW = datetime(2031, 6, 4, 7)


def taken_back(event: Event, group: str = "g9") -> Event:
    return Event("2031-06-04", "withdrawn", withdraws=event.id, id=f"w{event.id}", group=group)


@pytest.mark.parametrize(
    ("later", "goes_on"),
    [
        pytest.param([DIED], True, id="a line more"),
        pytest.param([DIED, taken_back(DIED)], True, id="taken back at once"),
        pytest.param([DIED, taken_back(DIED), DIED._replace(id="5", count=2, group="g9")], True, id="put right"),
        pytest.param([DIED, taken_back(DIED), taken_back(taken_back(DIED))], True, id="taken back and written again"),
        pytest.param([DIED._replace(id="4", when="2031-06-04"), DIED], True, id="told late, after all that was kept"),
        pytest.param([taken_back(FOUND)], False, id="something older is taken back"),
        pytest.param([DIED, taken_back(FOUND), taken_back(DIED)], False, id="and something newer too"),
        pytest.param([DIED._replace(when="2031-06-01")], False, id="told late, before what was kept"),
        pytest.param([Event("2031-06-03", "renamed", "A", to="kale", id="5")], False, id="renamed"),
    ],
)  # fmt: skip
def test_what_may_be_added_to_a_kept_ledger(later, goes_on):
    assert check([EGGS, FOUND, *later], 2, [NOW, None]) == 2 * goes_on


def test_a_label_is_free_again_when_what_was_added_is_taken_back():
    found = FOUND._replace(cohort="C", id="7", group="g7")
    kept = through_the_file(replay([EGGS, FOUND], NOW), [EGGS, FOUND], NOW)
    assert go_on_from(kept, [EGGS, FOUND, found], NOW).next_label() == "D"
    assert go_on_from(kept, [EGGS, FOUND, found, taken_back(found)], NOW).next_label() == "C"


def test_what_is_dated_ahead_comes_due():
    ahead = DIED._replace(when="2031-06-09")
    assert check([EGGS, FOUND, ahead, DIED._replace(id="5")], 3, [NOW, None, datetime(2031, 6, 8), datetime(2031, 6, 9)]) == 4


def test_a_correction_of_something_kept_is_not_taken_for_a_line_more():
    """It was written in one group with the withdrawal, and takes the place of what was withdrawn."""
    right = DIED._replace(id="5", count=2, group="g9")
    assert check([EGGS, FOUND, DIED, taken_back(DIED), right], 4, [NOW]) == 0


def test_other_records_of_the_same_number_are_not_gone_on_with():
    kept = through_the_file(replay([EGGS, FOUND], NOW), [EGGS, FOUND], NOW)
    assert go_on_from(kept, [EGGS, DIED, FOUND], NOW) is None
    assert go_on_from(kept, [EGGS], NOW) is None
