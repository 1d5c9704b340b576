"""Dates are ISO 8601, or in an order that was stated; none is guessed."""

from __future__ import annotations

import pytest

from nurserytui.records.events import Event
from nurserytui.records.written_dates import Undated, iso


@pytest.mark.parametrize(
    ("text", "day", "month"),
    [
        ("4/6/2031", "2031-06-04", "2031-04-06"),
        ("04.06.2031", "2031-06-04", "2031-04-06"),
        ("04.06.2031 7:30", "2031-06-04T07:30", "2031-04-06T07:30"),
        ("4-6-2031 07:30:15", "2031-06-04T07:30:15", "2031-04-06T07:30:15"),
        ("4/6/2031 7:30 pm", "2031-06-04T19:30", "2031-04-06T19:30"),
        ("4/6/2031 12:05 AM", "2031-06-04T00:05", "2031-04-06T00:05"),
        ("4/6/2031, 12 p.m.", "2031-06-04T12:00", "2031-04-06T12:00"),
        ("4/6/2031 24:00", "2031-06-05T00:00", "2031-04-07T00:00"),
        ("4/6/31", "2031-06-04", "2031-04-06"),
        ("4-Jun-31", "2031-06-04", "2031-06-04"),
        ("29.2.2032", "2032-02-29", None),
        ("14/6/2031", "2031-06-14", None),
        ("6/14/2031", None, "2031-06-14"),
        ("31/6/2031", None, None),
        ("29/2/2031", None, None),
        ("4/6.2031", None, None),
        ("4/6/2031 13:00 pm", None, None),
        ("4/6/2031 25:00", None, None),
        ("4/6/2031 7", None, None),
        ("4/6/98", None, None),
        ("4/6/203", None, None),
        ("4-Ju-2031", None, None),
        ("4 foo 2031", None, None),
        ("tomorrow", None, None),
        ("", None, None),
    ],
)
def test_a_date_is_read_in_the_stated_order_and_in_no_other(text, day, month):
    for order, expected in (("day", day), ("month", month)):
        if expected:
            assert iso(text, order) == expected
        else:
            with pytest.raises(Undated):
                iso(text, order)
    with pytest.raises(Undated):
        iso(text)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("2031-06-04", "2031-06-04"),
        ("2031-06-04T07:30", "2031-06-04T07:30"),
        ("2031-06-04T24:00", "2031-06-05T00:00"),
        ("2031-12-31 24:00:00", "2032-01-01T00:00"),
        ("2031-06-04T07:30+02:00", "2031-06-04T07:30+02:00"),
        ("2031-02-30", "2031-02-30"),
        ("2031/06/04", "2031-06-04"),
        ("2031/6/4 7:30", "2031-06-04T07:30"),
        ("4. June 2031", "2031-06-04"),
        ("June 4th, 2031 9:00", "2031-06-04T09:00"),
    ],
)
def test_what_can_be_one_date_only_needs_no_order(text, found):
    assert iso(text) == iso(text, "day") == iso(text, "month") == found


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("48002", "'48002' is the number by which a spreadsheet keeps a day, probably 2031-06-03"),
        ("48002.3125", "probably 2031-06-03"),
        ("31/6/2031", "'31/6/2031' is no date (no calendar has it)"),
        ("4/6/98", "(1998 or 2098? write the year with four digits)"),
        ("4/6/2031", "'4/6/2031' is no date as it stands (2031-06-04 with the day first, 2031-04-06 with the month first): import again with --dates"),
        ("6-May-31", "'6-May-31' is no date as it stands (2031-05-06, if the year is its last number): import again with --dates"),
        ("14/6/2031", "'14/6/2031' is no date as it stands: here only day first fits; import again with --dates day-first"),
    ],
)  # fmt: skip
def test_what_is_no_date_as_it_stands_is_told_with_what_to_do(load, text, words):
    report = load(f"when,what,enclosure\n{text},fed,jar\n")
    assert [(fault.line, fault.column) for fault in report.faults] == [(2, "when")] and words in report.faults[0].reason


def test_one_date_that_fits_one_order_only_decides_what_is_offered(load):
    rows = ["when,what,enclosure", "4/6/2031,fed,jar", "5/6/2031,fed,jar", "14/6/2031,fed,jar"]
    report = load("\n".join(rows) + "\n")
    assert [fault.line for fault in report.faults] == [2, 3, 4]
    assert report.faults[0].reason.endswith("in line 4 only day first fits; import again with --dates day-first")
    both = load("\n".join([*rows, "6/14/2031,fed,jar"]) + "\n")
    assert "line 4 has the day first and line 5 the month" in both.faults[0].reason


def test_the_order_is_that_of_the_command_or_else_of_the_nursery(load):
    table = "when,what,enclosure\n4/6/2031,fed,jar\n"
    assert load(table, dates="month").added == 1
    load.store.append([Event("2031-01-01", "setting", detail="dates=day first")])
    assert load(table).added == 1
    assert [event.when for event in load.store.events() if event.what == "fed"] == ["2031-04-06", "2031-06-04"]
    assert "with the month first it is one: --dates month-first" in load(table.replace("4/6", "6/14")).faults[0].reason


def test_years_of_two_digits_are_said(load):
    report = load("when,what,enclosure\n4/6/31,fed,jar\n", dates="day")
    assert report.warnings == ("years of two digits were read as 20..: 4/6/31 is 2031-06-04",)
