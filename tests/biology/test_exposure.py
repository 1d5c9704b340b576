from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.biology.exposure import ByDays, ByWarmth, exit_of, spread_within, sting_of
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

ZERO = datetime(2024, 7, 1)
# Pteromalus puparum, sting to exit: 213.7 °C·d above 12.2 °C (Takagi 1976, Ecology of Pteromalus puparum on Papilio xuthus pupae).
WASP = RateCurve.from_degree_days(12.2, 213.7)


def at(days: float) -> datetime:
    return ZERO + timedelta(days=days)


# Days worked out from that line beside it.
@pytest.mark.parametrize(
    "celsius, expected", [(18, 36.8), (20, 27.4), (22, 21.8), (24, 18.1), (25, 16.7), (28, 13.5), (30, 12.0)]
)
def test_published_line(celsius, expected):
    room = Timeline.constant(celsius, ZERO)
    assert (exit_of(at(0), at(0), WASP, room).at - ZERO) / timedelta(days=1) == pytest.approx(expected, abs=0.06)
    assert (ZERO - sting_of(at(0), at(0), WASP, room).at) / timedelta(days=1) == pytest.approx(expected, abs=0.06)


def test_the_span_holds_the_window_and_the_spread():
    room = Timeline.constant(22, ZERO)
    span = exit_of(at(0), at(2), WASP, room, spread=0.1)
    assert (span.low - at(0)) / timedelta(days=1) == pytest.approx(21.806 * 0.83551, abs=0.01)
    assert span.low < span.at < span.high
    assert (span.high - at(2)) / timedelta(days=1) == pytest.approx(21.806 * 1.16449, abs=0.01)
    back = sting_of(span.at, span.at, WASP, room, spread=0.1)
    assert back.low < at(0) < back.at < at(2) < back.high


def test_back_is_the_way_there_along_a_changing_temperature():
    weather = Timeline.daily_cycle(14, 28, ZERO.date(), 60)
    there = exit_of(at(3), at(3), WASP, weather)
    assert abs(sting_of(there.at, there.at, WASP, weather).at - at(3)) < timedelta(seconds=1)


def test_never_in_the_cold():
    assert exit_of(at(0), at(1), WASP, Timeline.constant(12, ZERO)) == (None, None, None)
    assert sting_of(at(0), at(1), WASP, Timeline.constant(12, ZERO)) == (None, None, None)


@pytest.mark.parametrize("function", [exit_of, sting_of])
def test_impossible_arguments(function):
    room = Timeline.constant(20, ZERO)
    for arguments in ((at(1), at(0), WASP, room), (at(0), at(1), WASP, room, -0.1), (at(0), at(1), WASP, room, 0.1, 1.0)):
        with pytest.raises(ValueError):
            function(*arguments)


STEADY = Timeline.constant(22, ZERO)
WASPS = ByWarmth(WASP, 0.1)
DAYS = ByDays(10, 20)


@pytest.mark.parametrize("development", [WASPS, DAYS])
def test_there_and_back(development):
    there = development.exit(at(0), at(0), STEADY)
    back = development.sting(there.at, there.at, STEADY)
    assert abs(back.at - at(0)) < timedelta(seconds=1)
    assert there.low < there.at < there.high and back.low < back.at < back.high
    with pytest.raises(ValueError):
        development.exit(at(1), at(0), STEADY)
    with pytest.raises(ValueError):
        development.sting(at(1), at(0), STEADY)


def test_days_alone_are_taken_as_told():
    there = DAYS.exit(at(0), at(2), STEADY)
    assert there == (at(10), at(16), at(22))
    assert DAYS.sting(at(22), at(22), STEADY) == (at(2), at(7), at(12))


@pytest.mark.parametrize("development", [WASPS, DAYS])
def test_the_span_holds_nine_in_ten(development):
    exit_at = at(40)
    span = development.sting(exit_at, exit_at, STEADY)
    assert development.share(span.low, span.high, exit_at, STEADY) == pytest.approx(0.9, abs=1e-6)
    assert development.share(span.low, span.at, exit_at, STEADY) == pytest.approx(0.45, abs=1e-6)
    parts = [development.share(at(day), at(day + 1), exit_at, STEADY) for day in range(-20, 40)]
    assert sum(parts) == pytest.approx(1.0, abs=1e-6)


def test_no_spread_is_one_moment():
    exact = ByWarmth(WASP, 0.0)
    sting = exact.sting(at(30), at(30), STEADY).at
    assert exact.share(sting - timedelta(hours=1), sting + timedelta(hours=1), at(30), STEADY) == 1.0
    assert exact.share(sting + timedelta(hours=1), sting + timedelta(days=1), at(30), STEADY) == 0.0


def test_a_spread_told_as_a_bound():
    wide = ByWarmth(WASP, spread_within(0.15)).exit(at(0), at(0), STEADY)
    assert (wide.high - at(0)) / (wide.at - at(0)) == pytest.approx(1.15, abs=1e-6)
