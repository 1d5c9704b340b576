"""Cuttings and food: days with their bounds, amounts with what they rest on, and null where nothing is measured."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("plant", "host", "low", "high", "water"),
    [
        ("Salix spp.", "Salix spp.", 7, 14, 3),
        ("Petroselinum crispum", "Petroselinum crispum", 4, 7, 2),
        ("Asimina triloba", "Asimina triloba", 0.5, 1, 1),
        ("Foeniculum vulgare", "Foeniculum vulgare", 3, 5, 2),
    ],
)
def test_how_long_it_keeps(ask, plant, host, low, high, water):
    answer = ask("cutting-care", "how long do cuttings keep", hosts=[plant])
    days = answer.values["days_kept"]
    assert (days.low, days.high, days.unit) == (low, high, "day") and low <= days.value <= high
    assert answer.values["water_change"].value == water and answer.about["host"] == host and answer.sources and answer.cautions


def test_a_plant_without_a_card_takes_that_of_its_genus_and_says_so(ask):
    answer = ask("cutting-care", "how long does it keep", hosts=["Salix nigra"])
    assert answer.values["days_kept"].high == 14 and "there is none for" in answer.text


def test_a_potted_plant_has_no_water_to_change(ask):
    change = ask("cutting-care", "how do violets keep", hosts=["Viola sororia"]).values["water_change"]
    assert change.value is None and change.reason


def test_the_first_line_has_the_days_and_the_water(ask):
    first = ask("cutting-care", "how long do cuttings keep", hosts=["Anethum graveolens"]).text.split("\n")[0]
    assert first == "Cut dill (Anethum graveolens) keeps about 2-4 days in water; change the water every 1-2 days."


@pytest.mark.parametrize("hosts", [[], ["Foeniculum vulgare"]])
def test_frozen_leaf_is_not_counted_on_unless_a_card_knows_better(ask, hosts):
    assert ask("cutting-care", "can the leaves go in the freezer", hosts=hosts).text.startswith("Do not count on frozen leaf")
    assert "Do not count on" not in ask("cutting-care", "can I freeze it", hosts=["Asclepias syriaca"]).text


def test_a_plant_that_kills_is_not_cut(ask):
    answer = ask("cutting-care", "how long do cuttings keep", hosts=["Conium maculatum"])
    assert answer.text.startswith("Do not cut poison hemlock") and answer.values["days_kept"].value is None and answer.cautions


def test_bought_stock_is_told_of_first(ask):
    answer = ask("cutting-care", "how long does shop parsley keep", hosts=["Petroselinum crispum"])
    assert answer.text.startswith("Shop and pot-grown herbs are often sprayed") and "4-7 days" in answer.text


def test_drowning_is_answered_without_a_plant(ask):
    answer = ask("cutting-care", "how do I stop them drowning in the vase")
    assert answer.status == "answered" and "plug" in answer.text.split("\n")[0]


def test_the_water_question_is_answered_first(ask):
    assert ask("cutting-care", "how often must I change the water", hosts=["Foeniculum vulgare"]).text.startswith(
        "Change the water every 2 days"
    )


@pytest.mark.parametrize(("count", "needed"), [(None, 1), (20, 20)])
def test_plants_for_monarchs(ask, count, needed):
    answer = ask("food-supply", "how much milkweed", species=["Danaus plexippus"], count=count)
    value = answer.values["needed"]
    assert (value.value, value.unit) == (needed, "plants") and value.low < value.value < value.high and answer.sources


def test_late_larvae_need_less(ask):
    whole = ask("food-supply", "how much", species=["Danaus plexippus"], count=10).values["needed"].value
    last = ask("food-supply", "how much", species=["Danaus plexippus"], count=10, instar=5).values["needed"].value
    assert last == pytest.approx(0.75 * whole)


def test_no_measured_amount_is_said_not_made_up(ask):
    answer = ask("food-supply", "how much does one eat", species=["Actias luna"])
    assert answer.status == "unknown" and answer.values["needed"].value is None and answer.values["needed"].reason


def test_the_last_instar_eats_the_most(ask):
    answer = ask("food-supply", "in which instar do they eat the most")
    assert "last instar" in answer.text.split("\n")[0] and answer.items[-1]["share"] == max(
        item["share"] for item in answer.items
    )


HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"


@pytest.mark.parametrize(
    ("stock", "lasts"),
    [
        ("2031-08-10,stocked,,,,,,40,,,Asclepias syriaca,plants,,\n", True),
        ("2031-08-10,stocked,,,,,,2,,,Asclepias syriaca,plants,,\n", False),
    ],
)
def test_what_is_on_hand_lasts_or_runs_out_on_a_day(ask, keeping, stock, lasts):
    rows = "2031-08-09,found,M,,Danaus plexippus,larva,3,10,box,,Asclepias syriaca,,,\n"
    answer = ask("food-supply", "will the milkweed last for M", nursery=keeping.nursery(HEAD + rows + stock), cohorts=("M",))
    gone = answer.values["runs_out"]
    assert (gone.value is None) is lasts
    if not lasts:
        assert "2031-08-10" <= gone.low <= gone.value <= gone.high


def test_without_a_stock_what_is_lacking_is_said(ask, keeping):
    rows = "2031-08-09,found,M,,Danaus plexippus,larva,3,10,box,,Asclepias syriaca,,,\n"
    answer = ask("food-supply", "will it last for M", nursery=keeping.nursery(HEAD + rows), cohorts=("M",))
    assert answer.values["runs_out"].value is None and "stocked" in answer.text


def test_age_counts_where_moults_were_not_written_down(ask, keeping):
    rows = "2031-07-20,laid,M,,Danaus plexippus,egg,,10,box,,Asclepias syriaca,,,\n2031-07-24,hatched,M,,,,,10,box,,,,,\n"
    answer = ask("food-supply", "how much does M still need", nursery=keeping.nursery(HEAD + rows), cohorts=("M",))
    assert 0 < answer.values["needed"].value < 8 and "by their age" in answer.text


@pytest.mark.parametrize(
    ("cut", "said"), [("2031-08-09", "keep to Thu 14 August (2031-08-14) at most"), ("2031-08-04", "should be spent by now")]
)
def test_the_keepers_own_stems_are_told_of(keeping, ask, cut, said):
    """Fennel keeps 3-5 days by its card."""
    nursery = keeping.nursery(keeping.EVENTS.splitlines()[0] + "\n" + f"{cut},cut,,,,,,6,,,Foeniculum vulgare,stems,,\n")
    answer = ask("cutting-care", "how long does cut fennel keep", nursery=nursery, hosts=["Foeniculum vulgare"])
    assert "Yours, 6 stems cut on" in answer.text and said in answer.text
    assert answer.sources[-1].kind == "own records"
