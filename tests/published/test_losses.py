"""Losses by stage that are taken for granted of overdue animals, against the counts that were published."""

from __future__ import annotations

import pytest

from nurserytui.knowledge.base import load

# San Juan Island, island marble captive rearing records: eggs, dated hatches, pupae and emergences of the years in which all are dated.
ISLAND_MARBLE = (
    (42, 36, 32, 31),
    (137, 126, 106, 102),
    (171, 149, 134, 124),
    (170, 147, 126, 120),
    (214, 190, 167, 159),
    (230, 213, 197, 190),
    (144, 133, 112, 111),
    (105, 100, 94, 93),
)
# Vives-Ingla et al. 2025, green-veined white in chambers, spring experiment: laid, hatched, pupated, adult, at 20 and at 25 °C.
GREEN_VEINED_WHITE = ((106, 90, 59, 47), (86, 75, 44, 43))


def lost(counts, at: int) -> float:
    """Per cent lost between stage number `at` and the next."""
    return 100 * (1 - counts[at + 1] / counts[at])


@pytest.mark.parametrize(("name", "at"), [("loss-egg", 0), ("loss-larva", 1), ("loss-pupa", 2)])
def test_losses_are_those_of_the_counts(name, at):
    rule = load().rule(name)
    summed = [sum(year[stage] for year in ISLAND_MARBLE) for stage in range(4)]
    assert rule.value == pytest.approx(lost(summed, at), abs=0.06)
    every = [lost(summed, at), *(lost(counts, at) for counts in GREEN_VEINED_WHITE)]
    assert (rule.low, rule.high) == pytest.approx((min(every), max(every)), abs=0.6)


def test_years_of_one_keeper_differ_little():
    """Losses of eggs by year lie within what chance allows about one mean: what a keeper loses is worth knowing for the next cohort."""
    eggs, hatched = (sum(year[stage] for year in ISLAND_MARBLE) for stage in (0, 1))
    share = hatched / eggs
    chi_square = sum((h - n * share) ** 2 / (n * share * (1 - share)) for n, h, _, _ in ISLAND_MARBLE)
    # 7 degrees of freedom: 14.07 is exceeded once in twenty times.
    assert chi_square < 14.07
