"""All the animals that there have been, not those that stand there now."""

from __future__ import annotations

import pytest

YEAR = ("2031-01-01", "2032-01-01")
PASSED = [
    ("how many eggs have I had this year", {"stages": ("egg",), "period": YEAR}, 39),
    ("how many pupae have we had", {"stages": ("pupa",)}, 21),
    ("how many animals have gone through the jar", {"enclosures": ("jar",)}, 51),
    ("how many painted ladies have I had", {"species": ["Vanessa cardui"]}, 18),
    ("who else was in box A before R", {"enclosures": ("box A",), "cohorts": ("R",)}, 10),
]


@pytest.mark.parametrize(("text", "slots", "count"), PASSED)
def test_each_counts_once(ask, text, slots, count):
    assert ask("headcount", text, **slots).values["count"].value == count


def test_a_past_moment_is_no_throughput(ask):
    answer = ask("headcount", "how many eggs did I have on 22 July", stages=("egg",), period=("2031-07-22", "2031-07-22"))
    assert answer.values["count"].value == 30


def test_cohorts_of_all_years(ask):
    ever = ask("headcount", "how many cohorts have I had").values["count"].value
    assert ever > ask("headcount", "how many cohorts are there").values["count"].value > 0


def test_when_they_left_a_place(ask):
    answer = ask("history", "when did fennel-1 leave the jar", cohorts=("fennel-1",), enclosures=("jar",))
    assert {item["what"] for item in answer.items} == {"released", "escaped"}
