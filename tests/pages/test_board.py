"""The board as text: one line a group, and what is next in words."""

from __future__ import annotations

from datetime import datetime

from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.pages.show import show
from nurserytui.records.events import Event
from nurserytui.records.store import Store

EVENTS = (
    Event("2031-03-01", "found", "R", species="Papilio polyxenes", stage="pupa", count=2, enclosure="cold box"),
    Event(
        "2031-07-01T12:00", "laid", "W", species="Pieris rapae", stage="egg", count=1, enclosure="jar", host="Brassica oleracea"
    ),
    Event("2031-07-19", "found", "M", species="unknown", stage="larva", count=3, estimate=True),
)


def test_overdue_resting_and_unknown_are_told_in_words():
    store = Store.memory()
    assert not store.append(EVENTS).faults
    head, *lines = show("board", Nursery(store, load(), datetime(2031, 7, 20, 12)))
    assert head == "Sun 20 July 2031, 12:00"
    assert lines[0] == "W: 1 egg, small white in jar; overdue to hatch"
    assert "R: 2 pupae, eastern black swallowtail in cold box; resting, a look now and then will do" in lines
    assert "M: about 3 larvae, unknown; pupate: cannot say yet" in lines


def test_a_nursery_without_animals_says_so():
    assert show("board", Nursery(Store.memory(), load(), datetime(2031, 7, 20, 12)))[1:] == ["No animals yet."]
