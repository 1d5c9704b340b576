"""Days as typed, seen from Monday 22 June 2026, 09:00."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from nurserytui.language.clock import read_clock
from nurserytui.language.dates import read

NOW = datetime(2026, 6, 22, 9)


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("laid today", "2026-06-22", "2026-06-22"),
        ("died yesterday", "2026-06-21", "2026-06-21"),
        ("3 died overnight", "2026-06-21", "2026-06-21"),
        ("the day before yesterday", "2026-06-20", "2026-06-20"),
        ("hatched 3 days ago", "2026-06-19", "2026-06-19"),
        ("died on 4 June", "2026-06-04", "2026-06-04"),
        ("died June 4th", "2026-06-04", "2026-06-04"),
        ("died on 4/6", "2026-06-04", "2026-06-04"),
        ("died on 4/6/2025", "2025-06-04", "2025-06-04"),
        ("2026-06-01", "2026-06-01", "2026-06-01"),
        ("what died last week", "2026-06-15", "2026-06-21"),
        ("between 1 June and 5 June", "2026-06-01", "2026-06-05"),
        ("from 1 to 5 June", "2026-06-01", "2026-06-05"),
        ("died on friday", "2026-06-19", "2026-06-19"),
        ("what died in May", "2026-05-01", "2026-05-31"),
        ("hatched a fortnight ago", "2026-06-08", "2026-06-08"),
        ("in the last fortnight", "2026-06-08", "2026-06-22"),
        ("died a few days ago", "2026-06-15", "2026-06-20"),
        ("died the other day", "2026-06-15", "2026-06-21"),
        ("when will it hatch in two weeks", "2026-07-06", "2026-07-06"),
        ("due over the next three days", "2026-06-22", "2026-06-25"),
        ("died last Tuesday evening", "2026-06-16", "2026-06-16"),
        ("fri 2 died", "2026-06-19", "2026-06-19"),
        ("sat, one died", "2026-06-20", "2026-06-20"),
        ("last summer", "2025-06-01", "2025-08-31"),
        ("since 8 June", "2026-06-08", "2026-06-22"),
        ("on the 4th", "2026-06-04", "2026-06-04"),
        ("4.6.2026", "2026-06-04", "2026-06-04"),
        ("causes of death 2024", "2024-01-01", "2024-12-31"),
        ("2025 season", "2025-01-01", "2025-12-31"),
    ],
)
def test_days(text, first, last):
    (period,) = read(text, NOW)
    assert (period.start.date(), period.end.date()) == (date.fromisoformat(first), date.fromisoformat(last))


def test_month_first_where_the_keeper_says_so():
    assert read("died on 6/4", NOW, month_first=True)[0].start.date() == date(2026, 6, 4)


@pytest.mark.parametrize("text", ["31 June", "soak overnight", "it may die", "30 February 2026", "the sun is out"])
def test_no_day(text):
    assert read(text, NOW) == ()


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("at 5pm yesterday", "2026-06-21T17:00"),
        ("at 9 last night", "2026-06-21T21:00"),
        ("at 2 last night", "2026-06-22T02:00"),
        ("6.30 this morning", "2026-06-22T06:30"),
        ("7:40 am", "2026-06-22T07:40"),
        ("fed at 9pm", "2026-06-21T21:00"),
        ("at 9 in the evening yesterday", "2026-06-21T21:00"),
        ("half past nine yesterday", "2026-06-21T09:30"),
        ("on Friday at 17:30", "2026-06-19T17:30"),
        ("at noon on Friday", "2026-06-19T12:00"),
        ("2 hours ago", "2026-06-22T07:00"),
        ("2026-06-04T10:30", "2026-06-04T10:30"),
    ],
)
def test_moments(text, moment):
    (period,) = read(text, NOW)
    assert period.exact and period.start == period.end == datetime.fromisoformat(moment)


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("hatched on Friday", "2026-06-19"),
        ("will it hatch on Friday", "2026-06-26"),
        ("when will it hatch, 4 July", "2026-07-04"),
    ],
)
def test_tense_tells_on_which_side_of_now_a_day_lies(text, first):
    assert read(text, NOW)[0].start.date() == date.fromisoformat(first)


@pytest.mark.parametrize(
    "text",
    [
        "it sat on a leaf",
        "put in the sun",
        "they march on",
        "30 seconds",
        "1:10 bleach 250 ml",
        "lost 3 eggs",
        "a long-tailed skipper",
    ],
)
def test_words_that_are_no_days(text):
    assert read(text, NOW) == ()


@pytest.mark.parametrize(
    ("line", "direction"),
    [
        ("any eggs hatching by tuesday", "ahead"),
        ("anything pupating before friday", "ahead"),
        ("were any hatching by tuesday", "past"),
        ("2 hatched by tuesday", "past"),
        ("hatching on tuesday", "past"),
    ],
)
def test_what_is_under_way_by_a_day_is_to_come(line, direction):
    from nurserytui.language.calendar import direction_of

    assert direction_of(line.split()) == direction


@pytest.mark.parametrize(
    ("line", "part", "hour"),
    [
        ("about 3 this afternoon", "afternoon", 15),
        ("about 7 in the morning", "morning", 7),
        ("about 3 on the dill", "", None),
        ("10 past 7 this morning", "morning", 7),
        ("at ten to 8", "", 7),
        ("10 to 7", "", None),
    ],
)
def test_about_an_hour_is_a_time_before_a_part_of_the_day(line, part, hour):
    clock = read_clock(line.split(), 0)
    assert (clock.time(part).hour if clock and clock.sure else None) == hour
