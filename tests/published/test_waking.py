"""Development after the cold against published numbers."""

from __future__ import annotations

import pytest

from nurserytui.answers.waking import DONOR, rates_of
from nurserytui.knowledge.base import load


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    return load(own=tmp_path_factory.mktemp("none"), cache=tmp_path_factory.mktemp("cache"))


# Deering, Haslitt and Scriber 2003: first and last day after the move into the warm; none at 14 °C in 88 days.
@pytest.mark.parametrize("celsius, first, last", [(26, 13, 24), (22, 18, 36), (18, 36, 69)])
def test_spicebush(base, celsius, first, last):
    middle, low, high = rates_of(base, DONOR)[0].days(celsius)
    assert (low, high) == pytest.approx((first, last)) and first < middle < last


def test_too_cold(base):
    assert rates_of(base, DONOR)[0].days(14) is None


# About 14 days at 20 °C after 90 days at 4 or 10 °C (abstract on Luehdorfia japonica); Papilio xuthus 7.9 days in a room (Lee 2013).
@pytest.mark.parametrize("species, celsius, days", [("Luehdorfia japonica", 20, 14), ("Papilio xuthus", 23, 7.9)])
def test_species_with_days_of_their_own(base, species, celsius, days):
    middle, low, high = rates_of(base, species)[0].days(celsius)
    assert middle == pytest.approx(days, rel=0.02) and low < days < high


def test_a_species_without_days_of_its_own_is_wider(base):
    own, other = (rates_of(base, name)[0].days(22) for name in (DONOR, "Papilio glaucus"))
    assert other[2] / other[1] > own[2] / own[1]
