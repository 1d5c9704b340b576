"""The order of events within a day, and corrections in their place."""

from __future__ import annotations

import pytest

from nurserytui.records.events import Event
from nurserytui.records.order import in_order, standing


def order(*whens):
    return [event.note for event in in_order([Event(when, "note", note=str(at)) for at, when in enumerate(whens)])]


@pytest.mark.parametrize(
    ("whens", "expected"),
    [
        (("2031-06-02", "2031-06-01"), "10"),
        (("2031-06-01T09:00", "2031-06-01T08:00"), "10"),
        # a day alone is some time that day, as in the file
        (("2031-06-01", "2031-06-01T08:00"), "01"),
        (("2031-06-01T08:00", "2031-06-01", "2031-06-01T07:00"), "201"),
        (("2031-06-01T08:00", "2031-06-01", "2031-06-01T09:00", "2031-06-01"), "0123"),
        (("2031-06-01T08:00", "2031-06-01", "2031-06-02", "2031-06-01T07:00"), "3012"),
        (("2031-06-01", "2031-06-01", "2031-06-01"), "012"),
        # no later than its midnight
        (("2031-06-02T00:00", "2031-06-01"), "10"),
    ],
)
def test_a_date_without_a_time_keeps_its_place_in_the_file(whens, expected):
    assert order(*whens) == list(expected)


def test_a_correction_of_a_correction_stands_where_the_first_one_stood():
    events = [
        Event("2031-06-01", "note", note="a", id="1"),
        Event("2031-06-01", "note", note="b", id="2"),
        Event("2031-06-01", "withdrawn", withdraws="1", id="3", group="g1"),
        Event("2031-06-01", "note", note="A", id="4", group="g1"),
        Event("2031-06-01", "withdrawn", withdraws="4", id="5", group="g2"),
        Event("2031-06-01", "note", note="AA", id="6", group="g2"),
    ]
    notes = [event.note for event in in_order(events) if event in standing(events)]
    assert notes == ["AA", "b"]


def test_a_correction_to_another_day_goes_to_that_day():
    events = [
        Event("2031-06-01", "note", note="a", id="1"),
        Event("2031-06-02", "note", note="b", id="2"),
        Event("2031-06-05", "withdrawn", withdraws="1", id="3", group="g"),
        Event("2031-06-02", "note", note="A", id="4", group="g"),
    ]
    assert [event.note for event in in_order(events) if event in standing(events)] == ["b", "A"]
