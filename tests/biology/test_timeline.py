from __future__ import annotations

from datetime import date, datetime, timedelta
from math import nan
from time import perf_counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology import degree_days_of_readings
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

ZERO = datetime(2024, 6, 1)
CURVE = RateCurve.from_degree_days(10, 50, 30)
PEAKED = RateCurve.from_degree_days(10, 50, 28, 36)


def at(days: float) -> datetime:
    return ZERO + timedelta(days=days)


readings = st.lists(st.tuples(st.integers(0, 240), st.floats(-5, 45)), min_size=1, max_size=25)
moments = st.floats(-3, 13)


def of(pairs: list[tuple[int, float]]) -> Timeline:
    return Timeline([(ZERO + timedelta(hours=hour), celsius) for hour, celsius in pairs])


def test_a_steady_room():
    room = Timeline.constant(20, ZERO)
    assert room.progress(CURVE, at(0), at(2.5)) == pytest.approx(0.5)
    assert room.when(CURVE, at(1), 1) == at(6)
    assert room.before(CURVE, at(6), 1) == at(1)
    assert room.mean(at(0), at(9)) == 20
    assert room.celsius(at(100)) == 20


def test_flat_outside_and_straight_between():
    line = Timeline([(at(0), 10), (at(1), 30)])
    assert [line.celsius(at(day)) for day in (-1, 0, 0.25, 1, 2)] == pytest.approx([10, 10, 15, 30, 30])
    assert line.mean(at(-1), at(1)) == pytest.approx(15)


def test_points_in_any_order_and_twice():
    tidy = Timeline([(at(0), 12), (at(1), 20), (at(2), 16)])
    mixed = Timeline([(at(2), 16), (at(1), 24), (at(0), 12), (at(1), 16)])
    assert mixed.progress(CURVE, at(-1), at(3)) == pytest.approx(tidy.progress(CURVE, at(-1), at(3)))


@given(readings, moments, moments)
def test_progress_is_the_integral_of_the_rate(pairs, one, other):
    line, (start, end) = of(pairs), sorted((one, other))
    steps = 3000
    step = (end - start) / steps
    total = sum(PEAKED.rate(line.celsius(at(start + (each + 0.5) * step))) for each in range(steps)) * step
    assert line.progress(PEAKED, at(start), at(end)) == pytest.approx(total, abs=0.01)
    assert line.progress(PEAKED, at(end), at(start)) == pytest.approx(-total, abs=0.01)


@given(readings)
def test_it_agrees_with_the_degree_days_of_readings(pairs):
    pairs = sorted(dict(pairs).items())
    times = [ZERO + timedelta(hours=hour) for hour, _ in pairs]
    result = degree_days_of_readings(times, [celsius for _, celsius in pairs], 10, 30, longest_gap=timedelta(days=99))
    assert of(pairs).progress(CURVE, times[0], times[-1]) * 50 == pytest.approx(result.degree_days, abs=1e-6)


@given(readings, moments, st.floats(0, 3))
def test_when_and_before_undo_progress(pairs, start, fraction):
    line = of(pairs)
    end = line.when(PEAKED, at(start), fraction)
    if end is not None:
        assert end >= at(start) - timedelta(milliseconds=1)
        assert line.progress(PEAKED, at(start), end) == pytest.approx(fraction, abs=1e-6)
    begin = line.before(PEAKED, at(start), fraction)
    if begin is not None:
        assert begin <= at(start) + timedelta(milliseconds=1)
        assert line.progress(PEAKED, begin, at(start)) == pytest.approx(fraction, abs=1e-6)


def test_when_is_the_first_moment_and_before_the_last():
    line = Timeline([(at(0), 20), (at(5), 20), (at(5.001), 5), (at(9), 5), (at(9.001), 20)])
    done = line.progress(CURVE, at(0), at(7))
    assert line.when(CURVE, at(0), done) < at(5.01)
    assert line.before(CURVE, at(12), line.progress(CURVE, at(7), at(12))) > at(8.99)


def test_never_in_the_cold_nor_beyond_the_horizon():
    assert Timeline.constant(10, ZERO).when(CURVE, ZERO, 0.1) is None
    assert Timeline.constant(10, ZERO).before(CURVE, ZERO, 0.1) is None
    assert Timeline.constant(10.01, ZERO).when(CURVE, ZERO, 1) is None
    assert Timeline.constant(10, ZERO).when(CURVE, ZERO, 0) == ZERO


def test_a_daily_cycle():
    cycle = Timeline.daily_cycle(12, 26, date(2024, 6, 1), 5)
    assert cycle.mean(at(0), at(5)) == pytest.approx(19, abs=1e-6)
    assert cycle.celsius(ZERO.replace(hour=4)) == pytest.approx(12)
    assert cycle.celsius(ZERO.replace(hour=16)) == pytest.approx(26)
    with pytest.raises(ValueError):
        Timeline.daily_cycle(26, 12, date(2024, 6, 1), 5)


def test_readings_then_what_is_assumed():
    joined = Timeline([(at(0), 15), (at(1), 25)]).then(Timeline.constant(20, ZERO))
    assert [joined.celsius(at(day)) for day in (0, 0.5, 1, 1.01, 30)] == pytest.approx([15, 20, 25, 20, 20])
    cycle = Timeline.daily_cycle(12, 26, date(2024, 5, 20), 60)
    joined = Timeline([(at(0), 15), (at(1.3), 25)]).then(cycle)
    assert joined.celsius(at(0.65)) == pytest.approx(20)
    assert joined.mean(at(2), at(4)) == pytest.approx(19, abs=1e-6)
    assert joined.progress(CURVE, at(2), at(9)) == pytest.approx(cycle.progress(CURVE, at(2), at(9)), abs=1e-9)


def test_a_season_of_readings_is_quick_to_ask():
    count = 100_000
    line = Timeline([(ZERO + timedelta(minutes=10 * each), 20 + each % 15) for each in range(count)])
    line.progress(PEAKED, at(0), at(1))
    start = perf_counter()
    for each in range(50):
        line.progress(PEAKED, at(each), at(500))
        line.when(PEAKED, at(each), 2.5)
    assert (perf_counter() - start) / 100 < 0.002


@pytest.mark.parametrize("points", [[], [(ZERO, nan)], [(ZERO, float("inf"))]])
def test_no_timeline(points):
    with pytest.raises(ValueError):
        Timeline(points)


def test_impossible_questions():
    room = Timeline.constant(20, ZERO)
    for ask in (
        lambda: room.when(CURVE, ZERO, -1),
        lambda: room.when(CURVE, ZERO, nan),
        lambda: room.before(CURVE, ZERO, -1),
        lambda: room.mean(at(1), at(0)),
    ):
        with pytest.raises(ValueError):
            ask()
