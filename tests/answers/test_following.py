"""Who is lost sight of and comes back is the same animal: it has started once, and may have grown meanwhile."""

from __future__ import annotations

from datetime import datetime

import pytest
from oracle.shelf import nursery

from nurserytui.answers.fates import between
from nurserytui.answers.selection import Wanted
from nurserytui.records.events import Event

NAMES = ("when", "what", "cohort", "count", "stage", "enclosure", "to", "detail")


def events(*rows):
    """`1 found A 10 egg jar`: day, what, cohort, count, stage, enclosure, to, detail; `-` for what is not said."""
    found = []
    for at, row in enumerate(rows):
        told = {name: "" if word == "-" else word for name, word in zip(NAMES, row.split(), strict=False)}
        told["count"] = int(told["count"]) if told.get("count") else None
        species = "Pieris rapae" if told["what"] in ("found", "laid") else ""
        found.append(Event(**{**told, "when": f"2031-06-0{told['when']}"}, species=species, id=f"e{at}"))
    return found


@pytest.mark.parametrize(
    ("rows", "want", "step", "expected"),
    [
        pytest.param(
            ("1 found A 4 egg jar", "2 missing A 1 egg", "5 returned A 1 larva"),
            {"cohorts": ("A",)}, ("egg", "larva"), (4, 1, 0, {"alive": 3}),
            id="an egg that was missing and came back as a larva has hatched",
        ),
        pytest.param(
            ("1 found A 2 pupa jar", "2 missing A 1 pupa", "3 emerged A 1", "5 counted A 2"),
            {"cohorts": ("A",)}, (None, "adult"), (2, 2, 0, {}),
            id="a pupa that was missing and was counted among the adults has come out",
        ),
        pytest.param(
            ("1 found A 1 adult box", "1 found B 1 pupa jar", "2 missing A 1 adult", "3 missing B 1 pupa", "4 returned A 1"),
            {}, (None, "adult"), (1, 0, 0, {"missing": 1}),
            id="an adult that came back does not stand for a pupa that is missing",
        ),
        pytest.param(
            ("1 found A 10 egg jar", "2 split A 5 egg jar d", "3 merged d - - - A"),
            {"cohorts": ("A",)}, (None, "adult"), (10, 0, 0, {"alive": 10}),
            id="animals split off and merged back have started once",
        ),
        pytest.param(
            ("1 found A 10 egg jar", "2 hatched A 10", "3 split A 5 larva jar d", "4 merged d - - - A", "5 pupated A 10"),
            {"cohorts": ("A",)}, ("egg", "pupa"), (10, 10, 0, {}),
            id="animals split off as larvae and merged back are still those that were eggs",
        ),
        pytest.param(
            ("1 found A 3 egg jar", "2 moved A 3 egg jar box", "3 hatched A 3", "4 moved A 3 larva box jar", "5 died A 1 larva jar spider"),
            {"enclosures": ("jar",)}, ("egg", "pupa"), (3, 0, 1, {"alive": 2}),
            id="animals moved out of an enclosure and back are still those that were eggs there",
        ),
        pytest.param(
            ("1 found A 10 egg jar", "2 split A 5 egg jar d", "3 hatched d 5", "4 hatched A 5"),
            {"cohorts": ("A",)}, ("egg", "larva"), (10, 5, 0, {"split off": 5}),
            id="animals split off and not merged back are gone from the cohort",
        ),
    ],
)  # fmt: skip
def test_they_have_started_once(rows, want, step, expected):
    fates = between(nursery(events(*rows), datetime(2031, 7, 1)), Wanted(**want), *step)
    assert (fates.start, fates.reached, fates.died, dict(fates.censored)) == expected
