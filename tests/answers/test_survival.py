"""Rates with their intervals, what is left out of them, and causes of loss."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.answers.odds import fisher

RATES = [
    # text, slots, reached, n, says
    ("survival of fennel-1", {"cohorts": ("fennel-1",)}, 15, 19, "1 missing (which is not dead)"),
    ("hatch rate of fennel-1", {"cohorts": ("fennel-1",)}, 16, 20, "hatched"),
    ("how many fennel-1 eggs made it to pupa", {"cohorts": ("fennel-1",), "stages": ("egg", "pupa")}, 15, 19, "reached pupa"),
    ("survival of thistle-1", {"cohorts": ("thistle-1",)}, 3, 8, "4 given away before"),
    ("survival of painted ladies", {"species": ["Vanessa cardui"]}, 3, 10, "4 given away before"),
    ("survival in 2030", {"period": ("2030-01-01", "2031-01-01"), "said": "2030"}, 18, 27, "season 2030"),
    ("emergence rate of fennel-1", {"cohorts": ("fennel-1",)}, 15, 15, "reached adult"),
    ("hatch rate of fennel-2", {"cohorts": ("fennel-2",)}, 28, 28, "2 still alive and not yet larva"),
    ("survival in the big cage", {"enclosures": ("big cage",)}, 7, 12, "5 died there"),
    ("larval survival in the big cage", {"enclosures": ("big cage",), "stages": ("larva",)}, 3, 8, "reached pupa"),
]


@pytest.mark.parametrize(("text", "slots", "reached", "n", "says"), RATES)
def test_rates(ask, text, slots, reached, n, says):
    answer = ask("survival", text, **slots)
    rate = answer.values["rate"]
    assert (answer.values["n"].value, rate.level) == (n, 0.95)
    assert rate.value == pytest.approx(reached / n, abs=1e-4)
    assert rate.low < rate.value <= rate.high
    assert answer.text.startswith(f"{reached} of {n} ")
    assert says in answer.text


def test_no_fate_is_no_rate(ask):
    answer = ask("survival", "survival of white-2", cohorts=("white-2",))
    assert answer.values["rate"].value is None and answer.values["rate"].reason
    assert "9 still alive" in answer.text


def test_mortality_is_the_share_that_died(ask):
    answer = ask("survival", "mortality of fennel-1", cohorts=("fennel-1",))
    assert answer.values["rate"].value == pytest.approx(0.2)
    assert answer.text.startswith("4 of 20 ")


@pytest.mark.parametrize(
    ("text", "slots", "says"),
    [
        ("was 2030 or 2031 better", {"cues": ("compare",)}, ("season 2030", "season 2031")),
        (
            "compare fennel-1 and thistle-1",
            {"cohorts": ("fennel-1", "thistle-1")},
            ("Too few to say whether fennel-1 or thistle-1 does better", "p = 0.07", "of each would be needed"),
        ),
        ("was 2030 worse than this one", {}, ("season 2030", "season 2031")),
        ("which cohort did best this year", {"period": ("2031-01-01", "2031-08-10"), "said": "this year"}, ("fennel-2", "P")),
        ("survival by species", {"cues": ("each",)}, ("eastern black swallowtail", "painted lady")),
    ],
)
def test_side_by_side(ask, text, slots, says):
    answer = ask("survival", text, **slots)
    assert all(words in answer.text for words in says)
    assert len(answer.items) >= 2


def test_a_group_with_most_of_its_story_to_come_is_not_ranked(ask):
    answer = ask("survival", "survival by species", cues=("each",))
    late = next(item for item in answer.items if item["name"].endswith("(Vanessa atalanta)") or "Pieris rapae" in item["name"])
    assert "rank" not in late


LOSSES = [
    (
        "what killed most this year",
        {"period": ("2031-01-01", "2032-01-01"), "cues": ("most",)},
        4,
        "Pteromalus wasp and virus: 2 of 4 deaths each",
    ),
    ("causes of death in 2030", {"period": ("2030-01-01", "2031-01-01"), "cues": ("cause",)}, 9, "5 spider and 4 infertile"),
    ("how many did the virus take", {}, 2, "2 animals died of virus"),
    ("how many did I lose to predators", {}, 5, "5 animals died of predator"),
    ("losses in the flight cage and what from", {"enclosures": ("flight cage",)}, 2, "Pteromalus wasp"),
    ("deaths of fennel-1", {"cohorts": ("fennel-1",)}, 4, "1 more went missing: fate not known"),
    ("how many died of OE", {"agents": ["OE"]}, 0, "0 deaths"),
    ("how did I lose fennel-1", {"cohorts": ("fennel-1",)}, 4, "1 more escaped: not counted as dead"),
    ("how many drowned", {}, 0, "0 deaths put down to drowning"),
    ("did any starve", {}, 0, "0 deaths put down to starving"),
    ("how many were infertile", {}, 4, "4 animals died of infertility"),
    ("how many were eaten by spiders", {}, 5, "5 animals died of spiders"),
    ("how many were lost to earwigs", {}, 0, "0 deaths put down to earwigs"),
]


@pytest.mark.parametrize(("text", "slots", "count", "says"), LOSSES)
def test_losses(ask, text, slots, count, says):
    answer = ask("survival", text, **slots)
    assert answer.values["count"].value == count
    assert says in answer.text
    assert [item["count"] for item in answer.items] == sorted((item["count"] for item in answer.items), reverse=True)


def test_fisher_by_its_classic_table():
    # Fisher 1935, the lady tasting tea: 3 of 4 and 1 of 4 right, two-sided 34/70.
    assert fisher(3, 1, 1, 3) == pytest.approx(34 / 70)


@settings(deadline=None)
@given(st.integers(0, 40), st.integers(0, 40), st.integers(0, 40), st.integers(0, 40))
def test_fisher_like_another_program(a, b, c, d):
    stats = pytest.importorskip("scipy.stats")
    if a + b and c + d and a + c and b + d:
        assert fisher(a, b, c, d) == pytest.approx(stats.fisher_exact([[a, b], [c, d]]).pvalue, rel=1e-6)


def test_fisher_refuses_negative_counts():
    with pytest.raises(ValueError, match="negative"):
        fisher(-1, 2, 3, 4)


def test_deaths_by_stage(ask):
    assert ask("survival", "deaths by stage").text.startswith("4 eggs, 7 larvae and 2 pupae died")
    assert "By stage: 4 eggs, 7 larvae and 2 pupae." in ask("survival", "all deaths so far").text


def test_which_lot_of_some_years_compares_lots(ask):
    answer = ask("survival", "which lot did worst in 2030 and 2031")
    assert {item["name"] for item in answer.items} >= {"fennel-1", "thistle-1"}
