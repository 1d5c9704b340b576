"""How long animals live: shares alive after days, medians, and two groups with the test between them."""

from __future__ import annotations

import pytest

from nurserytui.answers.lifetimes import curves, share_at
from nurserytui.answers.living import asks_how_long, days_asked
from nurserytui.answers.selection import Wanted

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
WEEKS = [6, 6, 6, 7, 10, 13, 16, 22, 23, 6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
RELAPSED = [True] * 9 + [False] * 12
PLACEBO = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]


def trial() -> str:
    """A published trial (see tests/published/survival_checks.py) told as two cohorts, one day to a week, each animal looked at as it
    leaves."""
    rows = [
        "2031-05-01T08:00,found,T,,Pieris rapae,larva,,21,jar,,,,,",
        "2031-05-01T08:00,found,U,,Pieris rapae,larva,,21,box,,,,,",
    ]
    for label, place, times, seen in (("T", "jar", WEEKS, RELAPSED), ("U", "box", PLACEBO, [True] * 21)):
        for day, died in zip(times, seen, strict=True):
            month, number = (5, 1 + day) if day < 31 else (6, day - 30)
            rows.append(f"2031-{month:02}-{number:02}T08:00,{'died' if died else 'given'},{label},,,larva,,1,{place},,,,,")
    return HEAD + "\n".join(rows) + "\n"


@pytest.fixture
def trial_nursery(keeping):
    return keeping.nursery(trial(), "2031-08-01T08:00")


@pytest.mark.parametrize(
    ("day", "share", "watched_longer"),
    # Published: the table of the treated.
    [(6, 0.857, 17), (7, 0.807, 16), (10, 0.753, 13), (13, 0.690, 11), (16, 0.627, 10), (22, 0.538, 6), (23, 0.448, 5)],
)
def test_shares_of_a_published_trial(trial_nursery, day, share, watched_longer):
    found = share_at(curves(trial_nursery, Wanted(cohorts=("T",))), day)
    assert found.alive == pytest.approx(share, abs=0.0005)
    assert found.standing == watched_longer
    assert found.low < found.alive < found.high


def test_the_answer_about_a_published_trial(ask, trial_nursery):
    answer = ask("survival", "what share of T is alive after 10 days", nursery=trial_nursery, cohorts=("T",))
    assert answer.text.startswith("10 days after coming in 75 % of 21 animals of T were alive (95 % interval 50-89 %)")
    # lifelines 0.30.3 gives the same bounds, and the median 23 with its interval from 13 to never.
    assert (answer.values["rate"].low, answer.values["rate"].high) == pytest.approx((0.5032, 0.8894), abs=1e-4)
    median = answer.values["median"]
    assert (median.value, median.low, median.high) == (23, 13, None)
    assert "12 given away" in answer.text


def test_two_groups_of_a_published_trial(ask, trial_nursery):
    answer = ask("survival", "do T live longer than U", nursery=trial_nursery, cohorts=("T", "U"))
    assert answer.text.startswith("T lived longer than U: ")
    assert "hardly chance (log-rank p = below 0.0001)" in answer.text
    assert "chi-square 16.79" in answer.working[0]


CASES = [
    # text, slots, begins with
    ("how long do they live", {}, "The share alive of the whole nursery never fell to a half"),
    ("survival over time of thistle-1", {"cohorts": ("thistle-1",)}, "Half of thistle-1 had died by day 12 (95 % interval"),
    (
        "what share of thistle-1 is alive after 12 days",
        {"cohorts": ("thistle-1",)},
        "12 days after coming in 38 % of 12 animals of thistle-1",
    ),
    ("what share of thistle-1 is alive after two weeks", {"cohorts": ("thistle-1",)}, "14 days after coming in 38 %"),
    ("share of fennel-1 alive at day 400", {"cohorts": ("fennel-1",)}, "None of fennel-1 has been watched for 400 days"),
    ("how long does Q live", {"cohorts": ("Q",)}, "2 animals of Q, 0 dead: too few to say how long they live."),
]


@pytest.mark.parametrize(("text", "slots", "begins"), CASES)
def test_how_long(ask, text, slots, begins):
    answer = ask("survival", text, **slots)
    assert answer.status == "answered" and answer.text.startswith(begins)
    assert answer.values["n"].value > 0 and any("Kaplan-Meier" in step for step in answer.working)


def test_where_none_died_the_interval_is_that_of_those_watched(ask):
    answer = ask("survival", "share of pupae of fennel-1 alive after 5 days", cohorts=("fennel-1",), stages=("pupa",))
    # Wilson's lower bound for 15 of 15 is 15 / (15 + 1.96 squared) = 0.796.
    assert (answer.values["rate"].value, answer.values["rate"].low) == (1.0, pytest.approx(0.7961, abs=2e-4))


def test_two_small_groups_are_not_told_apart(ask):
    answer = ask("survival", "did P live longer than Q", cohorts=("P", "Q"))
    assert answer.status == "unknown" and answer.text.startswith("Too few to say")


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("how long do they live", True),
        ("kaplan meier for A", True),
        ("what share is alive after 10 days", True),
        ("how many are alive", False),
        ("survival by host", False),
        ("which host has the best survival", False),
        ("how many died last week", False),
        ("losses in the last 10 days", False),
    ],
)
def test_which_lines_ask_how_long(text, asks):
    assert asks_how_long(text) is asks


@pytest.mark.parametrize(
    ("text", "days"), [("after 10 days", 10), ("at day 3", 3), ("after two weeks", 14), ("past a fortnight", 14), ("now", None)]
)
def test_days_asked(text, days):
    assert days_asked(text) == days


def outbreak(dead: int, days: int) -> str:
    """Ten larvae found on 1 May of which some die of a virus on one day, and sixteen found on the same day that are watched for longer."""
    rows = [
        "2031-05-01T08:00,found,V,,Pieris rapae,larva,,10,jar,,,,,",
        "2031-04-01T08:00,found,W,,Pieris rapae,larva,,16,box,,,,,",
        f"2031-05-15T08:00,died,V,,,larva,,{dead},jar,,,virus,,",
        "2031-04-28T08:00,died,W,,,larva,,1,box,,,virus,,",
    ]
    return HEAD + "\n".join(rows) + "\n"


def test_curves_and_shares_have_one_rule_of_too_few(ask, keeping):
    nursery = keeping.nursery(outbreak(3, 18), "2031-05-19T08:00")
    slots = {"nursery": nursery, "cohorts": ("V", "W")}
    days = ask("survival", "survival over days of V against W", **slots)
    shares = ask("survival", "compare survival of V and W", **slots)
    assert days.text.startswith("Too few to say") and shares.text.startswith("Too few to say")
    assert "V 70 %" in days.text and days.values["p"].value is None


def test_deaths_are_dealt_anew_only_where_all_were_watched_alike():
    from collections import Counter

    from nurserytui.answers.lifetimes import Watch
    from nurserytui.answers.outliving import differ

    sick = Watch(Counter({14.0: 3}), Counter({18.0: 7}), Counter(died=3, alive=7))
    longer = Watch(Counter({27.0: 1}), Counter({30.0: 15}), Counter(died=1, alive=15))
    p, how, _ = differ(sick, longer)
    # lifelines 0.30.3: chi-square 5.2174, p 0.02236.
    assert p == pytest.approx(0.02236, abs=5e-5) and "chi-square 5.22" in how and "limit" in how
    alike = Watch(Counter(), Counter({18.0: 16}), Counter(alive=16))
    p, how, _ = differ(sick, alike)
    # All were watched past the last death: the chance that all three deaths fall on the ten is C(10,3) / C(26,3), and none is as far on the
    # other side but C(16,3) / C(26,3), which lies nearer to what is expected.
    assert p == pytest.approx(120 / 2600, abs=1e-6) and "all ways to deal" in how
