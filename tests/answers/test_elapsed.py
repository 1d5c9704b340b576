"""How long a stage or a stay took, in days of the keeper's own dates."""

from __future__ import annotations

import pytest

TOOK = [
    ("how long did fennel-1 take to hatch", {"cohorts": ("fennel-1",), "event": "hatched"}, 5, "took 5 days to hatch"),
    ("how many days did fennel-1 take to pupate", {"cohorts": ("fennel-1",), "event": "pupated"}, 19, "took 19 days to pupate"),
    ("how long did the fennel-1 chrysalises take", {"cohorts": ("fennel-1",), "stages": ("pupa",)}, 11, "took 11 days to emerge"),
    ("how long was fennel-1 a caterpillar", {"cohorts": ("fennel-1",), "stages": ("larva",)}, 19, "took 19 days to pupate"),
    ("how long did fennel-1 take from egg to adult", {"cohorts": ("fennel-1",), "stages": ("egg", "adult")}, 35, "from egg"),
    ("how long from egg to butterfly for fennel-1", {"cohorts": ("fennel-1",), "stages": ("egg",)}, 35, "to emerge from egg"),
]


@pytest.mark.parametrize(("text", "slots", "days", "says"), TOOK)
def test_days_from_one_change_to_the_next(ask, text, slots, days, says):
    answer = ask("history", text, **slots)
    assert answer.values["days"].value == days
    assert says in answer.text
    assert answer.items and answer.working


def test_of_those_found_in_that_stage_the_start_is_not_known(ask):
    answer = ask("history", "how long did thistle-1 take to pupate", cohorts=("thistle-1",), event="pupated")
    assert answer.values["days"].value is None and answer.values["days"].reason
    assert "found Mon 10 June 2030 (2030-06-10), 18 days before" in answer.text


def test_what_has_not_happened_took_no_time(ask):
    answer = ask("history", "how long did R take to pupate", cohorts=("R",), event="pupated")
    assert "days" not in answer.values and "Not known yet" in answer.text


def test_a_stay_lasts_from_the_move_in_to_the_move_out(ask):
    answer = ask("history", "how long was R in box A", cohorts=("R",), enclosures=("box A",))
    assert answer.values["days"].value == 10
    assert "taken out" in answer.text
    still = ask("history", "how long were fennel-2 in box B", cohorts=("fennel-2",), enclosures=("box B",))
    assert still.values["days"].value == 9 and "still there" in still.text


def test_how_long_since_is_no_time_taken(ask):
    answer = ask("history", "how long have R been in box C", cohorts=("R",), enclosures=("box C",))
    assert "days" not in answer.values
