"""What larvae eat against published measurements (`feeding_checks.py` holds them), and what the answers make of them."""

from __future__ import annotations

import pytest
from checks import ids
from feeding_checks import HORNWORMS, PLAIN_TIGER, checks, fact, small_white_at_rate

from nurserytui.answers.appetite import ration
from nurserytui.biology import feeding
from nurserytui.knowledge.base import load

CHECKS = checks()


@pytest.mark.parametrize("check", CHECKS, ids=ids(CHECKS))
def test_published(check):
    assert check.holds, check.said


# James (ed.) 2017, The Book of Caterpillars, p. 134: 85 % in the last instar of the small white; each hornworm by itself: 77-82 %.
@pytest.mark.parametrize("share", [0.85, *(sum(worm[4]) / sum(map(sum, worm)) for worm in HORNWORMS)])
def test_the_last_instar_s_share_is_never_planned_above_what_was_measured(share):
    assert share - 0.11 < feeding.food_shares(5)[4] <= share


@pytest.mark.parametrize("gain_per_food", [gain / food for food, _, gain in PLAIN_TIGER.values()])
def test_growth_lies_within_the_bounds_kept(gain_per_food):
    growth = fact("growth-per-food")
    assert growth.low < gain_per_food < growth.high


# Estimates that do not agree: the bounds of the answer hold every one of them.
@pytest.mark.parametrize(
    ("species", "estimates"),
    [
        # food by David & Gardiner's rate on the masses of Parker et al.; food scaled from the pupa
        ("Pieris rapae", (small_white_at_rate(), 0.183 * 8.5)),
        # 20 large leaves, 175-200 small ones, 4-5 big ones in the last instar alone (leaves of 70, 8 and 100 cm2 at 0.022 g)
        ("Danaus plexippus", (20 * 70 * 0.022, 187 * 8 * 0.022, 4.5 / 0.75 * 100 * 0.022)),
        ("Danaus chrysippus", (0.563 / 0.17, 0.605 / 0.17)),
    ],
)
def test_contested_numbers_lie_within_the_bounds(species, estimates):
    grams = ration(species, load()).grams
    assert all(grams.low <= one <= grams.high for one in estimates), grams
