"""The nursery's wall time at an instant. The changes of the clocks are those of the law: Paris 2026-03-29 and 2026-10-25 at 01:00 UTC."""

from __future__ import annotations

import os
import time
from datetime import UTC, datetime, timedelta

import pytest

from nurserytui.records import moments


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("zone", "instant", "wall"),
    [
        ("UTC", "2026-07-12T08:00:59", "2026-07-12T08:00"),
        ("Europe/Paris", "2026-03-29T00:59", "2026-03-29T01:59"),
        ("Europe/Paris", "2026-03-29T01:00", "2026-03-29T03:00"),
        ("Europe/Paris", "2026-10-25T00:10", "2026-10-25T02:10"),
        ("Europe/Paris", "2026-10-25T00:59", "2026-10-25T02:59"),
        ("Europe/Paris", "2026-10-25T01:00", "2026-10-25T02:59"),
        ("Europe/Paris", "2026-10-25T01:58", "2026-10-25T02:59"),
        ("Europe/Paris", "2026-10-25T02:00", "2026-10-25T03:00"),
        ("Pacific/Auckland", "2026-07-12T12:30", "2026-07-13T00:30"),
        # Cairo goes back from midnight to 23:00: the day must not come twice.
        ("Africa/Cairo", "2026-10-29T20:30", "2026-10-29T23:30"),
        ("Africa/Cairo", "2026-10-29T21:30", "2026-10-29T23:59"),
        ("Africa/Cairo", "2026-10-29T22:00", "2026-10-30T00:00"),
        # Lord Howe Island goes back by half an hour.
        ("Australia/Lord_Howe", "2026-04-04T14:45", "2026-04-05T01:45"),
        ("Australia/Lord_Howe", "2026-04-04T15:05", "2026-04-05T01:59"),
        ("Australia/Lord_Howe", "2026-04-04T15:30", "2026-04-05T02:00"),
    ],
)
def test_the_wall_time_of_an_instant(zone, instant, wall):
    assert moments.wall(at(instant), moments.zone(zone)).isoformat(timespec="minutes") == wall


@pytest.mark.parametrize("zone", ["Europe/Paris", "America/New_York", "Africa/Cairo", "Australia/Lord_Howe", "America/St_Johns"])
def test_through_a_whole_year_the_wall_time_never_goes_back_and_no_day_is_missed(zone):
    where, moment, before, days = moments.zone(zone), at("2026-01-01T12:00"), datetime(2025, 1, 1), set()
    while moment < at("2026-12-31T12:00"):
        wall = moments.wall(moment, where)
        assert wall >= before
        days.add(wall.date())
        before, moment = wall, moment + timedelta(minutes=10)
    assert len(days) == 365


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the zone of the process cannot be changed here")
def test_without_a_zone_the_computers_own_counts_and_its_autumn_too(monkeypatch):
    monkeypatch.setenv("TZ", "Europe/Paris")
    time.tzset()
    try:
        for instant, wall in (("2026-10-25T00:10", "02:10"), ("2026-10-25T01:10", "02:59"), ("2026-10-25T02:10", "03:10")):
            assert f"{moments.wall(at(instant), None):%H:%M}" == wall
    finally:
        monkeypatch.undo()
        time.tzset()
        assert "TZ" not in os.environ or os.environ["TZ"] != "Europe/Paris"


def test_a_moment_with_an_offset_is_turned_into_the_nurserys_time_and_one_without_is_left():
    paris = moments.zone("Europe/Paris")
    assert moments.at_place(datetime.fromisoformat("2026-07-12T08:00-04:00"), paris) == datetime(2026, 7, 12, 14)
    assert moments.at_place(datetime(2026, 7, 12, 8), paris) == datetime(2026, 7, 12, 8)
