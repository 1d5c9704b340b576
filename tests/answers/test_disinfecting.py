"""What keepers clean with: what is shown to work is told from what is not, and living things are never bathed in it."""

from __future__ import annotations

import pytest

from nurserytui.answers import disinfecting
from nurserytui.knowledge.base import load


@pytest.fixture
def told(small):
    small.knowledge = load()
    return lambda text: disinfecting.told(text, small, "hygiene")


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("will thickened bleach do for the tubs", "Use plain household bleach"),
        ("what kills oe", "Against OE: household bleach: a university lab soaks gear in 20 % household bleach for 4 hours"),
        ("is alcohol enough for npv", "Do not rely on it: alcohol is not shown to work against virus"),
        ("does sun kill oe spores", "No, sun does not kill OE: spores still infected after 16 days"),
        ("does boiling kill oe", "Yes, as far as is known: boiling works against OE"),
        ("does bleach kill npv", "Only in part: household bleach against virus: wash first, then 5,000 ppm"),
        ("can i use vinegar to clean the cage", "Vinegar is no disinfectant"),
        ("can i bleach monarch eggs", "Household bleach: Monarch eggs in an emergency only: 2 %"),
        ("how do i disinfect my hands", "Household bleach: Never on skin"),
        ("what disinfectant for nets after black death", "Household bleach: Shake and wash first"),
        ("is hydrogen peroxide safe to clean with", "Hydrogen peroxide of 3 % is not shown to work on OE"),
        ("how do i sterilise tweezers", "Household bleach: Wipe clean, then 20 %"),
    ],
)
def test_the_first_line_answers(told, text, first):
    answer = told(text)
    assert answer.text.startswith(first) and answer.sources and answer.cautions


@pytest.mark.parametrize(
    "text", ["how often should i clean the cage", "test monarchs for oe", "how many fit in tub 1", "what do monarchs eat"]
)
def test_other_lines_are_left_to_others(told, text):
    assert told(text) is None


@pytest.mark.parametrize(
    ("text", "minutes", "ppm"),
    [
        ("how do i clean a mesh cage", (20, 240), (10500, 16500)),
        ("can i bleach the leaves", (15, 20), (2625, 8250)),
        ("how do i disinfect eggs", (1, 2), (260, 1650)),
        ("what do i disinfect the bench with", (1, 10), (500, 1000)),
    ],
)
def test_times_and_strengths_are_those_of_the_purpose(told, text, minutes, ppm):
    """Strengths are shares of household bleach of 5.25 to 8.25 %: 20 % is 10,500 to 16,500 ppm, 2 % 1,050 to 1,650, 1 in 200 from 260."""
    values = told(text).values
    assert (values["contact_time"].low, values["contact_time"].high) == minutes
    assert (values["strength"].low, values["strength"].high) == ppm and values["strength"].value is None


def test_bleach_is_never_put_on_animals(told):
    text = told("can i disinfect caterpillars with bleach").text
    assert text.startswith("Household bleach: Never on larvae")


def test_every_product_says_what_it_does_to_oe_or_that_nothing_shows_it(told):
    for one in load().disinfectants():
        assert any(effect.target == "OE" for effect in one.effects), one.name
