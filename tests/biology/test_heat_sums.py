from __future__ import annotations

from datetime import UTC, datetime, timedelta
from math import nan
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology import degree_days, degree_days_of_readings

METHODS = ("average", "modified-average", "single-triangle", "double-triangle", "single-sine", "double-sine")
MIDNIGHT = datetime(2024, 6, 1)
celsius = st.floats(-20, 45)


def hours(*values: float) -> list[datetime]:
    return [MIDNIGHT + timedelta(hours=value) for value in values]


class TestOneDay:
    @pytest.mark.parametrize("method", METHODS)
    @given(steady=celsius)
    def test_a_steady_temperature_gives_its_height_above_the_base(self, method, steady):
        expected = min(max(steady - 10, 0), 20)
        assert degree_days(steady, steady, 10, 30, next_low=steady, method=method) == pytest.approx(expected, abs=1e-9)

    @pytest.mark.parametrize("method", METHODS)
    @given(one=celsius, other=celsius, after=celsius)
    def test_fahrenheit_gives_nine_fifths(self, method, one, other, after):
        def fahrenheit(value):
            return value * 1.8 + 32

        low, high = sorted((one, other))
        in_celsius = degree_days(low, high, 10, 31, next_low=after, method=method)
        in_fahrenheit = degree_days(*map(fahrenheit, (low, high, 10, 31)), next_low=fahrenheit(after), method=method)
        assert in_fahrenheit == pytest.approx(1.8 * in_celsius, abs=1e-6)

    @pytest.mark.parametrize("method", METHODS)
    @given(one=celsius, other=celsius, after=celsius, step=st.floats(0, 10))
    def test_never_negative_never_above_the_band_and_warmer_is_never_less(self, method, one, other, after, step):
        low, high = sorted((one, other))
        value = degree_days(low, high, 8, 30, next_low=after, method=method)
        warmer = degree_days(low + step, high + step, 8, 30, next_low=after + step, method=method)
        assert -1e-9 <= value <= 22 + 1e-9
        assert warmer >= value - 1e-9

    @given(one=celsius, other=celsius)
    def test_a_double_method_with_an_even_night_is_the_single_one(self, one, other):
        low, high = sorted((one, other))
        for shape in ("triangle", "sine"):
            double = degree_days(low, high, 10, 30, next_low=low, method=f"double-{shape}")
            assert double == pytest.approx(degree_days(low, high, 10, 30, method=f"single-{shape}"))

    @pytest.mark.parametrize("shape", ["triangle", "sine"])
    @given(one=celsius, other=celsius)
    def test_the_area_is_that_of_the_curve_itself(self, shape, one, other):
        from math import pi, sin

        low, high = sorted((one, other))
        count = 4000
        total = 0.0
        for at in range(count):
            part = (at + 0.5) / count
            wave = (1 + sin(2 * pi * part)) / 2 if shape == "sine" else abs(1 - 2 * part)
            total += min(max(low + (high - low) * wave, 9), 28) - 9
        assert degree_days(low, high, 9, 28, method=f"single-{shape}") == pytest.approx(total / count, abs=0.005)

    def test_a_warmer_night_after_a_cold_day(self):
        # The second half rises from 12 to 15: mean 13.5 over base 10.
        assert degree_days(10, 12, 10, next_low=15, method="double-triangle") == pytest.approx((1 + 3.5) / 2)

    @pytest.mark.parametrize(
        "arguments, options, reason",
        [
            ((20, 10, 5), {}, "low"),
            ((10, 20, 30, 25), {}, "base"),
            ((nan, 20, 5), {}, "not a number"),
            ((10, float("inf"), 5), {}, "not a number"),
            ((10, 20, nan), {}, "not a number"),
            ((10, 20, 5, nan), {}, "not a number"),
            ((10, 20, 5), {"method": "double-sine"}, "next_low"),
            ((10, 20, 5), {"method": "double-triangle"}, "next_low"),
            ((10, 20, 5), {"method": "double-sine", "next_low": nan}, "not a number"),
            ((10, 20, 5), {"method": "guess"}, "unknown method"),
        ],
    )
    def test_impossible_arguments(self, arguments, options, reason):
        with pytest.raises(ValueError, match=reason):
            degree_days(*arguments, **options)


class TestReadings:
    def test_a_line_through_the_base_counts_only_what_is_above(self):
        # 5 to 15 °C over 6 hours: the upper half of the line, mean 2.5 above 10 over 3 hours.
        result = degree_days_of_readings(hours(0, 6), [5, 15], 10)
        assert result.degree_days == pytest.approx(2.5 * 3 / 24)

    def test_the_ceiling_cuts(self):
        # 20 to 40 °C over 4 hours against 10 and 30: 15 over 2 hours, then 20 over 2 hours.
        assert degree_days_of_readings(hours(0, 4), [20, 40], 10, 30).degree_days == pytest.approx((15 * 2 + 20 * 2) / 24)

    def test_gaps_are_named_and_not_filled(self):
        result = degree_days_of_readings(hours(0, 1, 8, 9), [22, 22, 22, 22], 10)
        assert result.degree_days == pytest.approx(12 * 2 / 24)
        assert result.gaps == [tuple(hours(1, 8))]

    def test_the_longest_gap_is_the_keepers_to_set_and_is_itself_filled(self):
        assert not degree_days_of_readings(hours(0, 7), [20, 20], 10, longest_gap=timedelta(hours=7)).gaps
        assert degree_days_of_readings(hours(0, 7), [20, 20], 10, longest_gap=timedelta(hours=6.9)).gaps

    def test_impossible_readings_are_named_and_open_a_gap(self):
        bad = [85.0, -127.0, nan, 70.5, -60.5]
        times = hours(0, 1, 2, 3, 4, 5, 7)
        result = degree_days_of_readings(times, [20, *bad, 20], 10)
        assert [when for when, _ in result.rejected] == times[1:6]
        assert [str(value) for _, value in result.rejected] == [str(value) for value in bad]
        assert result.gaps == [(times[0], times[6])]
        assert result.degree_days == 0

    def test_readings_within_bounds_stay(self):
        assert degree_days_of_readings(hours(0, 1), [70, -60], 10).rejected == []

    def test_order_and_repeats_do_not_matter(self):
        times, values = hours(0, 2, 4, 6), [12, 18, 25, 14]
        expected = degree_days_of_readings(times, values, 11, 22).degree_days
        mixed = [2, 0, 3, 1, 2, 0]
        again = degree_days_of_readings([times[at] for at in mixed], [values[at] for at in mixed], 11, 22)
        assert again.degree_days == pytest.approx(expected)
        assert again.gaps == again.rejected == []

    def test_two_readings_of_one_time_are_averaged(self):
        twice = degree_days_of_readings(hours(0, 2, 2, 4), [20, 20, 24, 20], 10)
        assert twice.degree_days == pytest.approx(degree_days_of_readings(hours(0, 2, 4), [20, 22, 20], 10).degree_days)

    def test_nothing_read_is_no_heat(self):
        assert degree_days_of_readings([], [], 10) == (0.0, [], [])
        assert degree_days_of_readings(hours(1), [25], 10) == (0.0, [], [])

    def test_the_clock_change_is_an_hour_of_the_wall_only(self):
        zone = ZoneInfo("Europe/Berlin")
        # From 1:00 to 4:00 on the wall, two hours in truth.
        result = degree_days_of_readings(
            [datetime(2024, 3, 31, 1, tzinfo=zone), datetime(2024, 3, 31, 4, tzinfo=zone)], [20, 20], 10
        )
        assert result.degree_days == pytest.approx(10 * 2 / 24)

    @given(st.lists(st.tuples(st.integers(0, 60), celsius), min_size=2, max_size=30, unique_by=lambda pair: pair[0]))
    def test_the_integral_is_that_of_the_polyline(self, pairs):
        pairs.sort()
        times = [MIDNIGHT + timedelta(hours=at) for at, _ in pairs]
        result = degree_days_of_readings(times, [value for _, value in pairs], 10, 30, longest_gap=timedelta(days=9))
        total = 0.0
        for (start, before), (end, after) in zip(pairs, pairs[1:], strict=False):
            steps = 400
            heights = (min(max(before + (after - before) * (at + 0.5) / steps, 10), 30) - 10 for at in range(steps))
            total += sum(heights) / steps * (end - start) / 24
        assert result.degree_days == pytest.approx(total, abs=0.01)

    @given(st.integers(1, 59), celsius, celsius)
    def test_a_reading_on_the_line_changes_nothing(self, minute, before, after):
        middle = before + (after - before) * minute / 60
        three = degree_days_of_readings(hours(0, minute / 60, 1), [before, middle, after], 10, 30)
        two = degree_days_of_readings(hours(0, 1), [before, after], 10, 30)
        assert three.degree_days == pytest.approx(two.degree_days, abs=1e-6)

    @pytest.mark.parametrize(
        "times, values, thresholds, options",
        [
            (hours(0, 1), [20], (10,), {}),
            (hours(0, 1), [20, 20], (30, 20), {}),
            (hours(0, 1), [20, 20], (nan,), {}),
            (hours(0, 1), [20, 20], (10,), {"longest_gap": timedelta(0)}),
            ([MIDNIGHT, MIDNIGHT.replace(tzinfo=UTC)], [20, 20], (10,), {}),
        ],
    )
    def test_impossible_arguments(self, times, values, thresholds, options):
        with pytest.raises(ValueError):
            degree_days_of_readings(times, values, *thresholds, **options)
