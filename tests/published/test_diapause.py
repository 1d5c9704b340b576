"""Day length and resting pupae against published numbers."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from nurserytui.answers.resting import DONOR, known_at
from nurserytui.answers.sunlight import Place
from nurserytui.biology.diapause import COOL, turn_of
from nurserytui.knowledge.base import load

DAY = date(2024, 5, 1)


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    return load(own=tmp_path_factory.mktemp("none"), cache=tmp_path_factory.mktemp("cache"))


# The day on which the day length (PyEphem 4.2.1, 2024) falls below the middle of the published critical day length: Valella and Scriber
# 2003 for Papilio troilus; about 14 h for Pieris brassicae; James (ed.) 2017, 13 h, for Pieris rapae.
@pytest.mark.parametrize(
    "species, latitude, month, day",
    [
        ("Papilio troilus", 42.5, 7, 24),
        ("Papilio troilus", 39.5, 7, 31),
        ("Papilio troilus", 33, 8, 1),
        ("Papilio troilus", 28, 9, 18),
        ("Pieris brassicae", 50, 8, 23),
        ("Pieris rapae", 40, 9, 3),
    ],
)
def test_the_day_from_which_half_rest(base, species, latitude, month, day):
    known = known_at(base, base.species(species), Place(latitude, None, ""), COOL)
    turn = turn_of(known.response, latitude, DAY)
    assert abs(turn.day - date(2024, month, day)) <= timedelta(days=1)
    assert timedelta(days=4) <= turn.day - turn.low <= timedelta(days=16)
    assert timedelta(days=8) <= turn.high - turn.day <= timedelta(days=22)
    # South of the equator the same half a year later.
    south = turn_of(known.response, -latitude, date(2024, 11, 1))
    assert abs((south.day - date(2024, 12, 21)) - (turn.day - date(2024, 6, 21))) <= timedelta(days=4)


# Valella and Scriber 2003: hours between which half of the larvae switch.
@pytest.mark.parametrize("latitude, low, high", [(42.5, 14.5, 15), (39.5, 14, 14.5), (33, 13.5, 14), (28, 12, 12.5)])
def test_spicebush_switch_inside_the_published_brackets(base, latitude, low, high):
    response = known_at(base, base.species(DONOR), Place(latitude, None, "")).response
    assert low <= response.critical <= high and response.critical_low <= low and response.critical_high >= high
    assert response.chance(low - 1).value > 0.9 and response.chance(high + 1).value < 0.1


# Sims 2007: south Florida, 10 h 88.6 %, 12 to 16 h 35.1 to 51.5 %.
@pytest.mark.parametrize("hours, low, high", [(10, 0.85, 0.92), (12, 0.351, 0.515), (14, 0.351, 0.515), (16, 0.351, 0.515)])
def test_black_swallowtail_of_south_florida(base, hours, low, high):
    known = known_at(base, base.species("Papilio polyxenes"), Place(26.0, None, ""))
    assert known.basis == "shares" and low <= known.response.chance(hours).value <= high


# Pieris occidentalis of Alaska: 10 and 15 h 100 % at 15 °C and about 65 % at 25 °C; continuous light 22 % and under 1 %.
@pytest.mark.parametrize("celsius, hours, share", [(15, 10, 1.0), (25, 10, 0.65), (15, 24, 0.22), (25, 24, 0.005)])
def test_western_white_of_alaska(base, celsius, hours, share):
    known = known_at(base, base.species("Pontia occidentalis"), Place(64.0, None, ""), celsius)
    assert known.response.chance(hours).value == pytest.approx(share, abs=0.01)
