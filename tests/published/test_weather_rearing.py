"""A rearing under real weather, predicted from constant chambers: see `weather_rearing.py` for the source."""

from __future__ import annotations

from datetime import date, datetime

import pytest
from weather import days, half_hourly
from weather_rearing import REARINGS, SPECIES, WITHIN_OF_MEAN, Blind, log_error, predict, predictions, tables

from nurserytui.knowledge.base import load


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    return load(own=tmp_path_factory.mktemp("none"), cache=tmp_path_factory.mktemp("cache"))


@pytest.mark.parametrize("rearing", REARINGS, ids=lambda each: each.name)
def test_the_mean_is_predicted_within_a_tenth_and_lies_in_the_interval(base, rearing):
    said = predict(base, rearing)
    assert said.mean == pytest.approx(rearing.mean, rel=WITHIN_OF_MEAN)
    assert said.low <= rearing.mean <= said.high


@pytest.mark.parametrize("rearing", REARINGS, ids=lambda each: each.name)
def test_nine_of_ten_animals_lie_in_the_interval_of_one(base, rearing):
    """As far as their mean and standard deviation tell: both points two thirds of the way to a normal's 90 % lie inside."""
    said = predict(base, rearing)
    assert said.one_low <= rearing.mean - 1.1 * rearing.sd
    assert rearing.mean + 1.1 * rearing.sd <= said.one_high


def test_it_is_closer_than_the_baselines(base):
    said = predictions(base)
    ours = log_error([(each.mean, each.rearing.mean) for each in said])
    assert ours < log_error([(each.averages, each.rearing.mean) for each in said])
    assert ours < log_error([(each.handbook, each.rearing.mean) for each in said])


def test_rows_of_the_rearing_itself_are_left_out(base):
    left = {(row.mean, row.n) for row in Blind(base).durations(SPECIES)}
    assert not left & {(each.mean, each.n) for each in REARINGS}
    assert any(row.temperature == 26 for row in Blind(base).durations(SPECIES))


def test_the_weather_reaches_every_low_and_high():
    whole = days()
    assert (len(whole), min(whole), max(whole)) == (92, date(2020, 4, 1), date(2020, 8, 31))
    spring = [each for day, each in sorted(whole.items()) if day.month < 8]
    points = half_hourly(spring, date(2020, 4, 1))
    at = dict(points)
    for number, (low, high) in enumerate(spring[:30]):
        assert at[datetime(2020, 4, number + 1, 4)] == pytest.approx(low)
        assert at[datetime(2020, 4, number + 1, 16)] == pytest.approx(high)
    jumps = [abs(after - before) for (_, before), (_, after) in zip(points, points[1:], strict=False)]
    assert max(jumps) < 2.5


def test_the_table_is_whole(base):
    ((_, header, table),) = tables(base)
    assert all(len(row) == len(header) for row in table)
    assert len(table) == len(REARINGS)
