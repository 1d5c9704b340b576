"""Days as typed, seen from Monday 22 June 2026, 09:00."""

from __future__ import annotations

from datetime import date, datetime

import pytest

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
