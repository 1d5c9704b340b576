"""Moments and columns: now has a column of its own, dates above are whole or not there."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.tui.calendar_scale import SPANS, ZOOMS, Scale, axis, cell_of, left_for_now, scale

NOW = datetime(2031, 7, 15, 12)
DAYS = Scale(datetime(2031, 7, 10), timedelta(days=1), 20, NOW)


@pytest.mark.parametrize(
    ("moment", "column"),
    [
        (datetime(2031, 7, 9, 23), -1),
        (datetime(2031, 7, 10), 0),
        (datetime(2031, 7, 14, 23), 4),
        (datetime(2031, 7, 15), 5),
        (NOW, 5),
        (datetime(2031, 7, 15, 13), 7),
        (datetime(2031, 7, 16), 8),
        (datetime(2031, 7, 27, 23), 19),
        (datetime(2031, 7, 28), 20),
    ],
)
def test_the_day_of_now_has_a_column_on_either_side_of_it(moment, column):
    assert DAYS.bar == 6 and DAYS.column(moment) == column


@pytest.mark.parametrize(
    ("left", "bar"), [(datetime(2031, 7, 16), None), (datetime(2031, 6, 1), None), (datetime(2031, 7, 15), 1)]
)
def test_now_may_be_out_of_sight(left, bar):
    assert DAYS._replace(left=left).bar == bar


def test_without_now_in_sight_a_day_is_a_column_throughout():
    ahead = DAYS._replace(left=datetime(2031, 7, 16))
    assert ahead.column(datetime(2031, 7, 16)) == 0 and ahead.column(datetime(2031, 7, 20)) == 4 and ahead.column(NOW) == -1
    assert ahead.end == datetime(2031, 8, 5) and DAYS.end == datetime(2031, 7, 28)


@pytest.mark.parametrize("zoom", ZOOMS)
@pytest.mark.parametrize("width", [1, 4, 20, 28, 51, 78, 118, 300])
def test_at_least_the_span_of_the_zoom_is_seen(zoom, width):
    assert cell_of(zoom, width) * max(width, 4) >= SPANS[zoom]
    of = scale(zoom, left_for_now(zoom, width, NOW), width, NOW)
    assert of.left <= NOW < of.end and (width < 4 or of.bar is not None)
    assert [len(line) for line in axis(of)[:2]] == [of.width, of.width]


@pytest.mark.parametrize(("zoom", "width", "hours"), [("week", 48, 4), ("month", 70, 12), ("month", 35, 24), ("season", 92, 48)])
def test_how_long_a_column_is(zoom, width, hours):
    assert cell_of(zoom, width) == timedelta(hours=hours)


def test_the_left_edge_is_the_start_of_a_column():
    assert scale("month", datetime(2031, 7, 3, 17, 20), 35, NOW).left == datetime(2031, 7, 3)
    assert scale("month", datetime(2031, 7, 3, 17, 20), 70, NOW).left == datetime(2031, 7, 3, 12)


def test_dates_stand_above_their_columns_and_weeks_are_told():
    """10 July 2031 is a Thursday: Mondays are 14, 21 and, behind now, two columns further right."""
    months, days, weeks = axis(DAYS)
    assert months == "July 2031           "
    assert days == "      │      21     "
    assert weeks == [4, 13]


def test_a_date_that_now_would_cut_is_left_out():
    monday = Scale(datetime(2031, 7, 10), timedelta(days=1), 20, datetime(2031, 7, 14, 12))
    assert axis(monday)[1] == "     │       21     "
    assert "now" in axis(Scale(datetime(2031, 6, 1), timedelta(days=1), 60, NOW))[0]


def test_in_hours_every_day_is_named():
    days = axis(Scale(datetime(2031, 7, 10), timedelta(hours=3), 40, datetime(2031, 8, 1)))[1]
    assert days == "Thu 10  Fri 11  Sat 12  Sun 13  Mon 14  "


def test_in_half_weeks_months_are_told_and_weeks_are_not():
    months, days, starts = axis(Scale(datetime(2031, 5, 1), timedelta(hours=84), 60, datetime(2030, 1, 1)))
    assert months.startswith("May     Jun 2031 July     August   Sep ") and days.strip() == ""
    assert starts == [0, 8, 17, 26, 35, 43, 52]
