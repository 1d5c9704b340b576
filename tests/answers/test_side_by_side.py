"""Survival by what animals have in common, as tables, and what may be said of a difference."""

from __future__ import annotations

import re

import pytest

from nurserytui.answers.comparing import sets_by
from nurserytui.answers.fates import Fates
from nurserytui.answers.season_meant import of_one_season
from nurserytui.answers.selection import Wanted
from nurserytui.answers.verdict import judged

TABLES = [
    # text, slots, {name: (got through, known)} worked out from the rows of the small nursery
    ("survival by season", {}, {"season 2030": (18, 27), "season 2031": (0, 4)}),
    ("survival by host", {}, {"Foeniculum vulgare": (15, 19), "Cirsium vulgare": (3, 10), "Urtica dioica": (0, 0)}),
    (
        "survival by species",
        {},
        {"eastern black swallowtail (Papilio polyxenes)": (15, 19), "painted lady (Vanessa cardui)": (3, 10)},
    ),
    ("survival by source", {}, {"eggs laid here": (15, 19), "found larvae": (3, 12)}),
    ("survival by stage", {}, {"egg to larva": (44, 48), "larva to pupa": (21, 28), "pupa to adult": (18, 20)}),
    (
        "survival by stage in 2030",
        {"period": ("2030-01-01", "2031-01-01")},
        {"egg to larva": (16, 20), "larva to pupa": (18, 23)},
    ),
    ("survival by enclosure", {}, {"jar": (24, 28), "big cage": (7, 12), "flight cage": (0, 2), "box A": (14, 16)}),
    ("compare survival in jar and big cage", {"enclosures": ("jar", "big cage")}, {"jar": (24, 28), "big cage": (7, 12)}),
]


@pytest.mark.parametrize(("text", "slots", "expected"), TABLES)
def test_tables(ask, text, slots, expected):
    answer = ask("survival", text, **slots)
    found = {item["name"]: (item["reached"], item["n"]) for item in answer.items}
    assert {name: found[name] for name in expected} == expected
    for item in answer.items:
        if item["n"]:
            assert item["low"] <= item["rate"] <= item["high"] and f"{item['reached']} of {item['n']}" in item["label"]


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("which enclosure loses most", "Most died in big cage: 5 of 12 animals that stood there (42 %)."),
        ("in which cage do most die", "Most died in big cage: 5 of 12"),
        (
            "do found larvae do worse than eggs laid here",
            "Too early to say whether eggs laid here does better than found larvae: 15 of 19 (79 %) against 3 of 12 (25 %)",
        ),
        ("survival by host in 2031", "Too few to say: Brassica oleracea 0 of 2 (0 %) against Cirsium vulgare 0 of 2 (0 %)"),
        (
            "survival by stage",
            "Fewest get through from larva to pupa: 21 of 28 (75 %), 7 died. 33 more are alive on that way: too early to judge.",
        ),
        ("survival by season", "Only season 2030 can be rated: 18 of 27 (67 %) reached adult."),
    ],
)
def test_first_lines(ask, text, begins):
    assert ask("survival", text, stages=("larva", "egg") if "larvae" in text else ()).text.startswith(begins)


def test_eggs_and_larvae_are_also_compared_over_the_way_they_share(ask):
    text = ask("survival", "do found larvae do worse than eggs laid here", stages=("larva", "egg")).text
    assert (
        "From larva to adult only, which is the same way for all: eggs laid here 15 of 15 (100 %) and found larvae 3 of 12"
        in text
    )


def rated(*groups):
    from collections import Counter

    return [(name, Fates(k + d, k, d, Counter(), Counter())) for name, k, d in groups]


VERDICTS = [
    # groups (name, got through, died), begins, holds
    (
        [("A", 18, 2), ("B", 6, 14)],
        "A did better than B: 18 of 20 (90 %) against 6 of 20 (30 %) flew; hardly chance",
        "p = 0.0002",
    ),
    ([("A", 9, 3), ("B", 8, 4)], "Too few to say whether A or B does better", "p = 1.00"),
    ([("A", 9, 3), ("B", 8, 4)], "Too few to say whether A or B does better", "of each would be needed"),
    ([("A", 5, 5), ("B", 3, 3)], "No difference between A and B", "5 of 10"),
    ([("A", 3, 0), ("B", 8, 4)], "Too few to say: A 3 of 3", "at least 5 with a known fate are needed of A"),
    ([("A", 20, 0), ("B", 10, 10), ("C", 12, 8)], "A did better than B (p = ", "corrected for 3 comparisons"),
    (
        [("A", 9, 3), ("B", 8, 4), ("C", 7, 5)],
        "No difference here is beyond chance: highest A 9 of 12",
        "with 3 comparisons the least p is 1.00",
    ),
    ([(f"G{n}", 8, 2) for n in range(14)] + [("H", 10, 0)], "No difference here is beyond chance", "with 15 comparisons"),
    ([(f"G{n}", 20, 1) for n in range(14)] + [("H", 2, 18)], "all the others did better than H", "corrected for 15 comparisons"),
]


@pytest.mark.parametrize(("groups", "begins", "holds"), VERDICTS)
def test_verdicts(groups, begins, holds):
    verdict = judged(sorted(rated(*groups), key=lambda pair: -pair[1].reached / pair[1].known), "flew")
    assert verdict.words.startswith(begins) and holds in verdict.words
    assert "significant" not in verdict.words


def test_the_correction_is_holms():
    """Of three exact tests by scipy the least p times three, the next times two."""
    stats = pytest.importorskip("scipy.stats")
    verdict = judged(rated(("A", 20, 0), ("B", 15, 5), ("C", 8, 12)), "flew")
    tests = sorted(stats.fisher_exact([a, c]).pvalue for a, c in (([20, 0], [15, 5]), ([20, 0], [8, 12]), ([15, 5], [8, 12])))
    assert verdict.p == pytest.approx(3 * tests[0], rel=1e-6)
    assert "A did better than C" in verdict.words and "corrected for 3 comparisons (Holm)" in verdict.steps[0]


def test_the_season_report_has_the_same_sets(small):
    """Those of its own season."""
    from nurserytui.exports.season_report import report

    page, *_ = report(small, year=2030)
    told = dict(
        re.findall(
            r'<th scope="row" dir="auto">(?:came in as|of the species|on) ([^<]*)</th><td dir="auto" class="n">([^<]*)<', page
        )
    )
    for what in ("source", "species", "host"):
        for one in sets_by(small, what, of_one_season(small, Wanted(), 2030), None, "adult"):
            assert told.pop(one.name) == f"{one.fates.reached} of {one.fates.known}"
    assert not told
    assert "18 of 27 with a known fate reached adult (67 %" in page


def test_deaths_of_a_running_season_count_and_are_told(ask):
    answer = ask("survival", "survival by host")
    (thistle,) = (item for item in answer.items if item["name"] == "Cirsium vulgare")
    # Of R of 2031, six larvae, two died and four are alive; of thistle-1 five of eight died.
    assert "of a season still running 2 dead and 4 alive so far" in thistle["label"] and thistle["died"] == 7
    assert any("still running" in caution for caution in answer.cautions)


def test_the_rate_by_stage_is_that_of_the_first_line(ask):
    answer = ask("survival", "survival by stage")
    assert (answer.values["rate"].value, answer.values["n"].value) == (0.75, 28)
    assert "survival by stage" not in answer.next


FOUND = [
    # text, slots, (reached, known); by hand: thistle-1 3 of 8, P 2 pupated, Q one of two so far, R two dead and four alive
    ("survival of found larvae", {"stages": ("larva",)}, (6, 13)),
    ("survival of found larvae to adult", {"stages": ("larva", "adult")}, (3, 12)),
    ("survival of animals found as larvae", {"stages": ("larva",)}, (6, 13)),
    ("survival of larvae", {"stages": ("larva",)}, (21, 28)),
]


@pytest.mark.parametrize(("text", "slots", "expected"), FOUND)
def test_found_narrows_to_those(ask, text, slots, expected):
    answer = ask("survival", text, **slots)
    assert (answer.values["reached"].value, answer.values["n"].value) == expected
    assert ("found as larvae" in answer.text) == ("found" in text)


def test_no_found_eggs_is_said(ask):
    assert ask("survival", "survival of found eggs", stages=("egg",)).status == "unknown"


def fated(k, d, alive):
    from collections import Counter

    return Fates(k + d + alive, k, d, Counter(alive=alive), Counter())


@pytest.mark.parametrize(
    ("best", "worst", "begins"),
    [
        # Fisher by scipy: 15/20 against 0/7 p = 0.0009, against 3/10 p = 0.0451, against 8/15 p = 0.28.
        (fated(15, 5, 0), fated(0, 7, 3), "B did better than A"),
        (fated(15, 5, 0), fated(0, 7, 8), "Too early to say whether B does better than A"),
    ],
)
def test_those_alive_may_turn_a_difference(best, worst, begins):
    assert judged([("B", best), ("A", worst)], "flew").words.startswith(begins)
