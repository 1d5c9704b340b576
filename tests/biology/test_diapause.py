from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.biology.diapause import Chance, Seen, after_waiting, chance_over, critical_at, longest_day, response_at, turn_of

CLINE = [Seen(12, 12.5, latitude=28), Seen(13.5, 14, latitude=33), Seen(14.5, 15, latitude=42.5)]


@given(st.floats(-70, 70), st.floats(0, 24))
def test_a_chance_lies_in_its_bounds_and_falls_with_the_light(latitude, hours):
    response, _ = response_at(latitude, CLINE)
    chance = response.chance(hours)
    assert 0 <= chance.low <= chance.value <= chance.high <= 1
    assert response.chance(hours + 0.5).value <= chance.value + 1e-12


@given(st.floats(0, 70))
def test_both_hemispheres_alike(latitude):
    assert critical_at(latitude, CLINE) == critical_at(-latitude, CLINE)


@pytest.mark.parametrize("away", [0, 5, 10, 20])
def test_doubt_grows_beyond_the_populations_studied(away):
    middle, low, high = critical_at(42.5 + away, CLINE)
    assert high - low == pytest.approx(0.75 + 0.2 * away) and low < middle < high


def test_a_relatives_cline_has_the_wider_band():
    own, relatives = response_at(40, CLINE)[0], response_at(40, [], CLINE)
    assert relatives[1] == "relatives" and relatives[0].critical == own.critical
    assert relatives[0].critical_low < own.critical_low and relatives[0].critical_high > own.critical_high


def test_nothing_published_is_not_known():
    assert response_at(40, []) is None and response_at(40, [Seen(10, 10, 0.9, 0.9, latitude=26)]) is None
    with pytest.raises(ValueError):
        critical_at(40, [])


def test_every_day_of_feeding_counts_alike():
    response, _ = response_at(42.5, CLINE)
    days = [date(2031, 7, 10) + timedelta(days=at) for at in range(30)]
    mean, _ = chance_over(response, 42.5, [(day, 1.0) for day in days])
    first, last = (chance_over(response, 42.5, [(day, 1.0)])[0] for day in (days[0], days[-1]))
    assert first.value < mean.value < last.value
    with pytest.raises(ValueError):
        chance_over(response, 42.5, [])


def test_waiting_makes_rest_likelier():
    before = Chance(0.5, 0.2, 0.8)
    assert after_waiting(before, 1.0) == before and after_waiting(before, 0.1).value == pytest.approx(0.5 / 0.55)
    assert after_waiting(Chance(0.0, 0.0, 0.5), 0.1).value == 0.0


@pytest.mark.parametrize(
    "latitude, day, expected",
    [
        (40, date(2031, 2, 1), date(2031, 6, 21)),
        (-40, date(2031, 2, 1), date(2030, 12, 21)),
        (-40, date(2031, 10, 1), date(2031, 12, 21)),
    ],
)
def test_the_season_turns_on_its_longest_day(latitude, day, expected):
    assert longest_day(latitude, day) == expected


@pytest.mark.parametrize("latitude", [-90, -70, 0, 70, 90])
def test_poles_and_equator_have_an_answer(latitude):
    response, _ = response_at(latitude, CLINE)
    turn = turn_of(response, latitude, date(2031, 7, 1))
    assert turn.day is None or turn.low <= turn.day
