"""The clock of the app: the nursery's own wall time, and what happens when the clock is moved."""

from __future__ import annotations

from datetime import datetime

from screens.clocks import MovableClock

from nurserytui.tui.clock import Clock


def read(clock: Clock) -> str:
    return f"{clock.now():%Y-%m-%d %H:%M}"


def test_the_zone_of_the_nursery_counts_and_not_the_computers():
    clock = Clock(None, MovableClock("2026-07-12T23:30Z"))
    for zone, wall in (
        ("Pacific/Auckland", "2026-07-13 11:30"),
        ("America/New_York", "2026-07-12 19:30"),
        ("UTC", "2026-07-12 23:30"),
    ):
        clock.zone = zone
        assert read(clock) == wall


def test_a_clock_that_runs_on_from_a_moment_goes_through_spring_and_autumn():
    """23:50 the evening before and half an hour to midnight; then the hour that is not there (01:59 to 03:00)."""
    instant = MovableClock("2030-05-05T12:00Z")
    clock = Clock(datetime(2026, 3, 28, 23, 50), instant)
    clock.zone = "Europe/Paris"
    assert read(clock) == "2026-03-28 23:50"
    instant.on(minutes=30)
    assert read(clock) == "2026-03-29 00:20"
    instant.on(hours=2)
    assert read(clock) == "2026-03-29 03:20"
    autumn = Clock(datetime(2026, 10, 25, 2, 10), instant)
    autumn.zone = "Europe/Paris"
    assert read(autumn) == "2026-10-25 02:10"
    instant.on(hours=1)
    assert read(autumn) == "2026-10-25 02:59"
    instant.on(hours=1)
    assert read(autumn) == "2026-10-25 03:10" and autumn.put_back() is None


def test_a_small_step_back_is_waited_for_and_a_large_one_is_followed_and_told_once():
    instant = MovableClock("2026-07-12T08:00Z")
    clock = Clock(None, instant)
    clock.zone = "UTC"
    assert read(clock) == "2026-07-12 08:00"
    instant.on(minutes=-20)
    assert read(clock) == "2026-07-12 08:00"
    instant.on(minutes=30)
    assert read(clock) == "2026-07-12 08:10" and clock.put_back() is None
    instant.on(days=-1)
    assert read(clock) == "2026-07-11 08:10"
    assert clock.put_back() == (datetime(2026, 7, 12, 8, 10), datetime(2026, 7, 11, 8, 10)) and clock.put_back() is None


def test_a_start_with_an_offset_is_an_instant():
    clock = Clock(datetime.fromisoformat("2026-07-12T08:00+02:00"), MovableClock("2030-01-01T00:00Z"))
    clock.zone = "America/New_York"
    assert read(clock) == "2026-07-12 02:00"
