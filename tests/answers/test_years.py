"""One year against another."""

from __future__ import annotations

import pytest

COMPARED = [
    ("did more emerge in 2030 or 2031", "emerged", "emerged in 2030: 18 animals, against 0 in 2031", 18),
    ("fewer eggs laid in 2031 than in 2030?", "laid", "laid in 2031: 39 animals, against 20 in 2030", 39),
    ("which year did I release most", "released", "released in 2030: 17 animals", 17),
    ("which year had the fewest hatched", "hatched", "Fewest hatched in 2030: 16 animals, against 28 in 2031", 16),
]


@pytest.mark.parametrize(("text", "event", "says", "count"), COMPARED)
def test_years_stand_side_by_side(ask, text, event, says, count):
    answer = ask("history", text, event=event)
    assert says in answer.text
    assert answer.values["count"].value == count
    assert "2031 is not over yet" in answer.text


def test_deaths_are_compared_too(ask):
    answer = ask("survival", "did more die in 2030 or 2031")
    assert answer.topic == "survival" and "More died in 2030: 9 animals, against 4 in 2031" in answer.text


def test_one_year_alone_is_no_comparison(ask):
    answer = ask("history", "how many emerged in 2030", event="emerged", period=("2030-01-01", "2031-01-01"))
    assert answer.values["count"].value == 18 and "year" not in answer.values
