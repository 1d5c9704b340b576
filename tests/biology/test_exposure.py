from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.biology.exposure import exit_of, sting_of
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
