from __future__ import annotations

from datetime import date, datetime, timedelta
from math import nan
from time import perf_counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology import degree_days_of_readings
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Cycle, Timeline
from nurserytui.biology.track import BLOCK

ZERO = datetime(2024, 6, 1)
CURVE = RateCurve.from_degree_days(10, 50, 30)
PEAKED = RateCurve.from_degree_days(10, 50, 28, 36)
BENT = RateCurve.of([(8.0, 0.0), *((9.0 + each, 0.02 * each**0.7 + 0.001) for each in range(22)), (33.0, 0.05), (36.0, 0.0)])


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


@given(readings, moments, moments, st.sampled_from([PEAKED, BENT]))
def test_progress_is_the_integral_of_the_rate(pairs, one, other, curve):
    line, (start, end) = of(pairs), sorted((one, other))
    steps = 3000
    step = (end - start) / steps
    total = sum(curve.rate(line.celsius(at(start + (each + 0.5) * step))) for each in range(steps)) * step
    assert line.progress(curve, at(start), at(end)) == pytest.approx(total, abs=0.01)
    assert line.progress(curve, at(end), at(start)) == pytest.approx(-total, abs=0.01)


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


cuts = st.lists(st.floats(0.01, 9.9), max_size=4, unique=True).map(sorted)
curves = st.sampled_from([CURVE, PEAKED, BENT, None])


@given(readings, cuts, moments, moments, curves)
def test_a_timeline_cut_and_joined_again_is_what_it_was(pairs, seams, one, other, curve):
    whole, (start, end) = of(pairs), sorted((one, other))
    # Pieces that know nothing of each other: each has the points on its own side, and those where it was cut.
    edges = [-99.0, *seams, 99.0]
    pieces = []
    for first, last in zip(edges, edges[1:], strict=False):
        inside = [(ZERO + timedelta(hours=hour), celsius) for hour, celsius in pairs if first < hour / 24 < last]
        pieces.append((at(first), of_points([(at(first), whole), *inside, (at(last), whole)], whole)))
    joined = Timeline.joined(pieces)
    assert joined.celsius(at(one)) == pytest.approx(whole.celsius(at(one)), abs=1e-6)
    if curve is None:
        assert joined.mean(at(start), at(end)) == pytest.approx(whole.mean(at(start), at(end)), abs=1e-6)
        return
    assert joined.progress(curve, at(start), at(end)) == pytest.approx(whole.progress(curve, at(start), at(end)), abs=1e-9)
    for fraction in (0.01, 0.3, 2.0):
        for way in ("when", "before"):
            got, true = (getattr(line, way)(curve, at(start), fraction) for line in (joined, whole))
            assert (got is None) == (true is None)
            if got is not None:
                ends = sorted((at(start), got))
                assert whole.progress(curve, *ends) == pytest.approx(fraction, abs=1e-6)


def of_points(points, whole: Timeline) -> Timeline:
    """Points in order, a timeline standing for its own temperature; two at one time would be averaged, so those of the cuts go."""
    taken = {when: celsius for when, celsius in points if not isinstance(celsius, Timeline)}
    return Timeline(
        [
            (when, whole.celsius(when) if isinstance(celsius, Timeline) else celsius)
            for when, celsius in points
            if not (isinstance(celsius, Timeline) and when in taken)
        ]
    )


@given(readings, readings, st.floats(0.5, 9.5), moments, moments)
def test_two_timelines_joined_are_each_what_they_were_on_their_side(early, late, seam, one, other):
    first, second, (start, end) = of(early), of(late), sorted((one, other))
    joined = Timeline.joined([(at(-9), first), (at(seam), second)])
    middle = min(max(seam, start), end)
    expected = first.progress(BENT, at(start), at(middle)) + second.progress(BENT, at(middle), at(end))
    assert joined.progress(BENT, at(start), at(end)) == pytest.approx(expected, abs=1e-9)
    nested = Timeline.joined([(at(-8), first), (at(seam + 0.5), joined), (at(11), second)])
    again = min(max(seam + 0.5, start), end)
    expected = first.progress(BENT, at(start), at(again)) + second.progress(BENT, at(again), at(end))
    assert nested.progress(BENT, at(start), at(end)) == pytest.approx(expected, abs=1e-9)


@given(st.floats(0, 20), st.floats(0, 15), moments, moments, st.floats(0, 9))
def test_a_day_over_and_over_is_the_same_day_written_out(low, swing, one, other, fraction):
    points = [(hour / 24, low + swing * (hour % 7) / 6) for hour in range(24)]
    cycle = Cycle(points, ZERO)
    written = Timeline([(at(day + part), celsius) for day in range(-40, 400) for part, celsius in points])
    start, end = sorted((one, other))
    assert cycle.progress(BENT, at(start), at(end)) == pytest.approx(written.progress(BENT, at(start), at(end)), abs=1e-9)
    assert cycle.celsius(at(one)) == pytest.approx(written.celsius(at(one)), abs=1e-6)
    for way in ("when", "before"):
        got, true = (getattr(line, way)(BENT, at(start), fraction / 10) for line in (cycle, written))
        if got is not None and true is not None and abs((true - at(start)).days) < 35:
            assert cycle.progress(BENT, *sorted((at(start), got))) == pytest.approx(fraction / 10, abs=1e-6)
            assert abs((got - true).total_seconds()) < 1 or cycle.progress(BENT, *sorted((got, true))) < 1e-6


def test_a_cold_cycle_goes_on_where_its_mean_would_not():
    """Nights below the threshold, days above it: the mean itself would never finish anything."""
    cycle = Cycle([(0.0, 2.0), (0.5, 16.0)], ZERO)
    done = cycle.when(CURVE, ZERO, 1.0)
    assert cycle.mean(ZERO, at(30)) < 10
    assert done is not None and cycle.progress(CURVE, ZERO, done) == pytest.approx(1.0)
    assert Cycle([(0.0, 2.0), (0.5, 9.0)], ZERO).when(CURVE, ZERO, 1.0) is None


@given(readings, st.floats(-3, 5), moments, moments)
def test_warmed_is_the_same_as_points_that_are_warmer(pairs, degrees, one, other):
    start, end = sorted((one, other))
    warmer = of([(hour, celsius + degrees) for hour, celsius in pairs])
    joined = Timeline.joined([(at(-9), of(pairs)), (at(2), of(pairs))])
    for line in (of(pairs).warmed(degrees), joined.warmed(degrees)):
        assert line.progress(PEAKED, at(start), at(end)) == pytest.approx(warmer.progress(PEAKED, at(start), at(end)), abs=1e-9)
    assert warmer.progress(PEAKED, at(start), at(end)) == pytest.approx(
        of(pairs).progress(PEAKED.warmed(degrees), at(start), at(end)), abs=1e-9
    )


@given(readings, st.floats(-3, 5), moments, st.sampled_from([-5, 1.5, 2.0, 3.3, 20]))
def test_warmed_from_a_moment_on_leaves_what_was_before(pairs, degrees, other, since):
    plain, warmer = of(pairs), of([(hour, celsius + degrees) for hour, celsius in pairs])
    joined = Timeline.joined([(at(-9), plain), (at(2), plain)])
    whole = (at(-4), at(other + 0.1)) if other > -4 else (at(-5), at(-4))
    seam = min(max(at(since), whole[0]), whole[1])
    expected = plain.progress(BENT, whole[0], seam) + warmer.progress(BENT, seam, whole[1])
    for line in (plain.warmed(degrees, at(since)), joined.warmed(degrees, at(since))):
        assert line.progress(BENT, *whole) == pytest.approx(expected, abs=1e-9)


def test_sums_are_made_as_far_back_as_is_asked():
    line = Timeline([(ZERO + timedelta(minutes=10 * each), 20 + each % 15) for each in range(BLOCK * 40)])
    end = at(BLOCK * 40 / 144)
    assert line.track(CURVE).times[0] > line.offset(at(200))
    late = line.progress(CURVE, at(280), end)
    early = line.progress(CURVE, at(0), at(280))
    assert line.track(CURVE).times[0] == 0 and line.progress(CURVE, at(280), end) == pytest.approx(late, abs=1e-12)
    assert line.progress(CURVE, at(0), end) == pytest.approx(early + late, abs=1e-9)
    assert abs(line.before(CURVE, end, late + early) - ZERO) < timedelta(seconds=1)


@pytest.mark.parametrize(
    "build",
    [
        lambda: Timeline.joined([]),
        lambda: Timeline.joined([(at(1), Timeline.constant(20, ZERO)), (at(1), Timeline.constant(21, ZERO))]),
        lambda: Cycle([], ZERO),
        lambda: Cycle([(0.1, 20.0)], ZERO),
        lambda: Cycle([(0.0, 20.0), (1.0, 21.0)], ZERO),
        lambda: Cycle([(0.0, nan)], ZERO),
    ],
)
def test_no_composed_timeline(build):
    with pytest.raises(ValueError):
        build()


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


@pytest.mark.parametrize("factor", [0.7, 1.0, 1.3])
def test_a_scaled_curve_is_passed_through_that_much_slower(factor):
    """Against the same curve with its knots scaled one by one, which has running sums of its own."""
    start = datetime(2031, 7, 1)
    timeline = Timeline.daily_cycle(12, 30, start.date(), 20)
    apart = RateCurve(tuple((celsius, rate / factor) for celsius, rate in PEAKED.knots))
    end = start + timedelta(days=11, hours=5)
    assert timeline.progress(PEAKED.scaled(factor), start, end) == pytest.approx(timeline.progress(apart, start, end))
    for at in (0.2, 1.0):
        assert timeline.when(PEAKED.scaled(factor), start, at) == timeline.when(apart, start, at)
        assert timeline.before(PEAKED.scaled(factor), end, at) == timeline.before(apart, end, at)


def test_the_mean_of_less_than_a_second_is_not_lost_in_the_sums():
    """Seen with pieces whose sums are counted from far away: the mean of 86 microseconds was off in the fifth digit."""
    line = Timeline.joined([(at(-99), Timeline([(at(-99), 3.0), (at(0), 3.0), (at(99), 3.0)]))])
    assert line.mean(at(0), at(0) + timedelta(microseconds=86)) == pytest.approx(3.0, abs=1e-12)
