"""Food still to come, by day and in each unit, and whether what is on hand lasts: what must hold of every answer."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
WARM = "2031-07-01,temperature,,,,,,,,,,25 C,,\n"
WHITES = "2031-08-09T18:00,found,K,,Pieris rapae,larva,3,20,box,,Brassica oleracea,,,\n"
MONARCHS = "2031-08-09T18:00,found,M,,Danaus plexippus,larva,3,10,box,,Asclepias syriaca,,,\n"
NOW = "2031-08-10T09:00"
FRIDAY = {"period": ("2031-08-15T00:00:00", "2031-08-15T23:59:59"), "said": "friday"}


@pytest.fixture
def feed(ask, keeping):
    """`feed(rows, text, **slots)`: the food answer of a nursery of those rows, in a room of 25 °C."""

    def fed(rows: str, text: str, now: str = NOW, **slots):
        return ask("food-supply", text, nursery=keeping.nursery(HEAD + WARM + rows, now), **slots)

    return fed


def first_line(answer) -> str:
    return answer.text.split("\n")[0]


# by day ---------------------------------------------------------------------------------------------------------------


def test_days_are_dated_from_today_sum_to_the_whole_and_end_at_pupation(feed):
    answer = feed(WHITES, "how much will K still eat", cohorts=("K",))
    days = [date.fromisoformat(item["name"]) for item in answer.items]
    assert days == [date(2031, 8, 10) + timedelta(days=at) for at in range(len(days))]
    assert sum(item["g"] for item in answer.items) == pytest.approx(answer.values["needed_g"].value, abs=0.05)
    assert all(0 <= item["low"] <= item["g"] <= item["high"] for item in answer.items)
    assert 5 <= len(days) <= 16 and answer.items[-1]["g"] > 0
    assert max(answer.items, key=lambda item: item["g"])["g"] > 2 * answer.items[0]["g"]


def test_feeding_ends_a_day_before_the_forecast_pupation(feed, ask, keeping):
    rows = "2031-08-01,found,K,,Pieris rapae,larva,4,20,box,,Brassica oleracea,,,\n2031-08-02,moulted,K,,,,5,20,box,,,,,\n"
    nursery = keeping.nursery(HEAD + WARM + rows, "2031-08-02T20:00")
    food = ask("food-supply", "how much will K eat", nursery=nursery, cohorts=("K",))
    pupation = ask("stage-forecast", "when will K pupate", nursery=nursery, cohorts=("K",), event="pupate")
    end, median = date.fromisoformat(food.items[-1]["name"]), date.fromisoformat(pupation.values["median"].value)
    assert abs((median - end).days) <= 3


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(count=st.integers(1, 60), instar=st.integers(1, 5))
def test_twice_the_larvae_eat_twice(feed, count, instar):
    rows = "2031-08-10T08:00,found,K,,Pieris rapae,larva,{},{},box,,,,,\n"
    one = feed(rows.format(instar, count), "how much will K eat", cohorts=("K",))
    two = feed(rows.format(instar, 2 * count), "how much will K eat", cohorts=("K",))
    for name, value in one.values.items():
        if name != "needed":
            assert two.values[name].value == pytest.approx(2 * value.value, rel=0.01, abs=0.02)
    assert [day["g"] for day in two.items] == pytest.approx([2 * day["g"] for day in one.items], rel=0.01, abs=0.003)


def test_older_larvae_need_less_and_several_groups_add_up(feed):
    rows = "2031-08-10T08:00,found,K,,Pieris rapae,larva,{},10,box,,,,,\n"
    alone = [feed(rows.format(at), "how much will K eat", cohorts=("K",)).values["needed_g"].value for at in (2, 4, 5)]
    assert alone == sorted(alone, reverse=True)
    both = (
        "2031-08-10T08:00,found,K,,Pieris rapae,larva,2,10,box,,,,,\n2031-08-10T08:00,found,K,,Pieris rapae,larva,5,10,tub,,,,,\n"
    )
    assert feed(both, "how much will K eat", cohorts=("K",)).values["needed_g"].value == pytest.approx(
        alone[0] + alone[2], rel=0.01
    )


def test_eggs_eat_from_their_hatching_on(feed):
    rows = "2031-08-10T08:00,laid,K,,Pieris rapae,egg,,20,box,,Brassica oleracea,,,\n"
    answer = feed(rows, "how much will K eat", cohorts=("K",))
    assert answer.items[0]["g"] == answer.items[1]["g"] == 0 and answer.items[-1]["g"] > 0 and "eggs" in answer.text
    whole = feed("", "how much do 20 eat", species=["Pieris rapae"], count=20).values["needed_g"].value
    assert answer.values["needed_g"].value == pytest.approx(whole, rel=0.01)


def test_pupae_need_nothing(feed):
    answer = feed("2031-08-10T08:00,found,K,,Pieris rapae,pupa,,4,box,,,,,\n", "how much will K eat", cohorts=("K",))
    assert answer.values["needed"].value == 0 and "no more plant" in answer.text


@pytest.mark.parametrize(
    ("text", "slots", "days"),
    [
        ("how much will K eat until friday", FRIDAY, 6),
        ("how much will K eat friday", FRIDAY, 1),
        ("how much will K eat this week", {"period": ("2031-08-04T00:00:00", "2031-08-10T23:59:59"), "said": "this week"}, 1),
        ("how much will K eat", {}, None),
    ],
)
def test_the_days_asked_about(feed, text, slots, days):
    answer = feed(WHITES, text, cohorts=("K",), **slots)
    items = answer.items if days is None else answer.items[5:6] if days == 1 and "friday" in text else answer.items[:days]
    assert answer.values["needed"].value == pytest.approx(sum(item["g"] for item in items), abs=0.06)


def test_a_weekday_that_was_read_as_past_is_the_coming_one(feed):
    past = {"period": ("1900-01-01T00:00:00", "2031-08-08T23:59:59"), "said": "until friday"}
    answer = feed(WHITES, "do i have enough kale for K until friday", cohorts=("K",), **past)
    assert answer.values["needed"].value == pytest.approx(sum(item["g"] for item in answer.items[:6]), abs=0.06)


# units ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "unit", "per"),
    [
        ("how many grams will K eat", "g", 1.0),
        ("how many leaves of 100 cm2 for K", "leaves", 100 * 0.022),
        ("how many stems of 20 g for K", "stems", 20 * 0.75),
        ("how much leaf area for K", "cm2", 0.022),
    ],
)
def test_every_unit_says_the_same_amount(feed, text, unit, per):
    answer = feed(WHITES, text, cohorts=("K",))
    needed = answer.values["needed"]
    assert needed.unit == unit and needed.value * per == pytest.approx(answer.values["needed_g"].value, rel=0.02)
    assert needed.low < needed.value < needed.high and answer.values[f"needed_{unit}"] == needed


def test_a_size_that_was_not_told_widens_the_answer_and_is_asked_for(feed):
    known = feed(WHITES, "how many leaves of 60 cm2 for K", cohorts=("K",)).values["needed"]
    answer = feed(WHITES, "how many leaves for K", cohorts=("K",))
    vague = answer.values["needed"]
    assert vague.high / vague.low > 3 * known.high / known.low
    assert "size decides" in answer.text and "squared paper" in answer.text


def test_a_plant_with_leaves_on_record_takes_those(feed):
    text = feed(MONARCHS, "how many leaves for M", cohorts=("M",)).text
    assert "28-235 cm2" in text


# what is on hand --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "count", "starts", "word"),
    [
        ("will 40 stems of 20 g last K to friday", 40, "Yes", "yes"),
        ("is 2 kg of kale enough for K", None, "Yes", "yes"),
        ("will 1 leaf of 20 cm2 last K", 1, "No", "no"),
        ("is 10 g of kale enough for K", None, "No", "no"),
    ],
)
def test_yes_or_no_comes_first_with_both_numbers(feed, text, count, starts, word):
    slots = FRIDAY if "friday" in text else {}
    answer = feed(WHITES, text, cohorts=("K",), hosts=["Brassica oleracea"], count=count, **slots)
    line = first_line(answer)
    assert line.startswith(f"{starts}:") and " g of fresh leaf" in line and answer.values["enough"].value == word
    assert (answer.values["runs_out"].value is None) == (word == "yes")


def test_between_yes_and_no_it_says_how_sure_it_is(feed):
    words = [
        feed(WHITES, f"is {grams} g of kale enough for K", cohorts=("K",)).values["enough_chance"].value
        for grams in (5, 20, 40, 60, 150)
    ]
    assert words == sorted(words) and words[0] < 0.1 and words[-1] > 0.9 and any(0.2 < one < 0.8 for one in words)


def test_more_lasts_longer_and_bounds_enclose_the_day(feed):
    dates = []
    for grams in (4, 8, 14):
        gone = feed(WHITES, f"will {grams} g of kale last K", cohorts=("K",)).values["runs_out"]
        assert "2031-08-10" <= gone.low <= gone.value and (gone.high is None or gone.value <= gone.high)
        dates.append(gone.value)
    assert dates == sorted(dates) and dates[0] < dates[-1]


def test_a_count_of_stems_is_no_count_of_larvae(feed):
    answer = feed(WHITES, "will 6 stems of 10 g last K", cohorts=("K",), count=6)
    whole = feed(WHITES, "how much will K eat", cohorts=("K",))
    assert answer.values["needed_g"].value == pytest.approx(whole.values["needed_g"].value)


def test_what_was_eaten_since_it_was_stocked_is_taken_off(feed):
    stock = "{},stocked,,,,,,45,,,Brassica oleracea,g,,\n"
    rows = "2031-08-04T08:00,found,K,,Pieris rapae,larva,3,20,box,,Brassica oleracea,,,\n"
    fresh = feed(rows + stock.format("2031-08-10T08:00"), "will it last for K", cohorts=("K",))
    old = feed(rows + stock.format("2031-08-04T09:00"), "will it last for K", cohorts=("K",))
    assert old.values["enough_chance"].value < fresh.values["enough_chance"].value
    assert any("Since it was stocked" in step for step in old.working)


def test_a_stock_that_is_eaten_up_by_now_is_said(feed):
    rows = "2031-08-03T08:00,found,K,,Pieris rapae,larva,4,60,box,,Brassica oleracea,,,\n2031-08-03T09:00,stocked,,,,,,2,,,Brassica oleracea,g,,\n"
    answer = feed(rows, "will the kale last", hosts=["Brassica oleracea"])
    assert first_line(answer).startswith("No") and answer.values["runs_out"].value == "2031-08-10"


def test_all_that_feed_on_the_plant_are_counted_together(feed):
    more = "2031-08-09T18:00,found,L,,Pieris rapae,larva,3,20,tub,,Brassica oleracea,,,\n"
    alone = feed(WHITES, "when does the kale run out", hosts=["Brassica oleracea"]).values["needed_g"].value
    together = feed(WHITES + more + MONARCHS, "when does the kale run out", hosts=["Brassica oleracea"])
    assert together.values["needed_g"].value == pytest.approx(2 * alone, rel=0.01) and "K and L" in together.text


def test_cut_plant_that_wilts_first_is_said(feed):
    answer = feed(MONARCHS, "will 500 g of milkweed last M", cohorts=("M",), hosts=["Asclepias syriaca"])
    assert "keeps only about 1-4 days" in answer.text and answer.values["spent"].high == "2031-08-14"
    potted = feed(MONARCHS, "will 40 pots last M", cohorts=("M",), hosts=["Asclepias syriaca"], count=40)
    assert "spent" not in potted.values


@pytest.mark.parametrize("detail", ["bags", "trays"])
def test_a_unit_that_says_nothing_of_leaf_is_not_guessed(feed, detail):
    stock = f"2031-08-10T08:00,stocked,,,,,,3,,,Brassica oleracea,{detail},,\n"
    answer = feed(WHITES + stock, "will it last for K", cohorts=("K",))
    assert answer.values["runs_out"].value is None and detail in answer.values["runs_out"].reason


# honesty ----------------------------------------------------------------------------------------------------------------


def test_a_plant_that_is_not_their_food_is_pointed_out(feed):
    wrong = feed(WHITES, "will 300 g of dill last K", cohorts=("K",), hosts=["Anethum graveolens"])
    right = feed(WHITES, "will 300 g of kale last K", cohorts=("K",), hosts=["Brassica oleracea"])
    assert "nothing on record says" in first_line(wrong) and any("nothing on record" in one for one in wrong.cautions)
    assert "nothing on record" not in right.text


@pytest.mark.parametrize(
    ("species", "status", "least_spread"),
    [
        ("Pieris rapae", "answered", 2),
        ("Vanessa atalanta", "answered", 5),  # scaled from relatives
        ("Actias luna", "unknown", 20),  # nothing on record: bounds only
    ],
)
def test_the_less_is_known_the_wider_the_bounds(feed, species, status, least_spread):
    answer = feed("", "how much does one eat", species=[species])
    needed = answer.values["needed_g"]
    assert answer.status == status and needed.high / needed.low > least_spread
    assert (needed.value is None) == (status == "unknown") == bool(needed.reason)


def test_contested_leaf_counts_are_both_told_and_cited(feed):
    answer = feed("", "how many leaves of 60 cm2 for 20 monarchs", species=["Danaus plexippus"], count=20)
    cited = {source.id for source in answer.sources}
    assert "disagree ten-fold" in answer.text and {"knowledge-builders-2011", "habitats-monarch-rearing"} <= cited
    assert answer.values["needed"].high > 10 * answer.values["needed"].low


def test_larvae_overdue_to_pupate_are_not_taken_as_done(feed):
    rows = "2031-07-10,laid,K,,Pieris rapae,egg,,20,box,,Brassica oleracea,,,\n2031-07-14,hatched,K,,,,,20,box,,,,,\n"
    answer = feed(rows, "how much will K eat", cohorts=("K",))
    assert answer.values["needed_g"].value > 0 and answer.values["needed_g"].high > 3 * answer.values["needed_g"].value


def test_without_a_cohort_it_is_asked_for_which(feed):
    more = "2031-08-09T18:00,found,L,,Vanessa atalanta,larva,3,20,tub,,Urtica dioica,,,\n"
    answer = feed(WHITES + more, "do i have enough leaves")
    assert answer.status == "clarify" and len(answer.options) == 2 and all(label in " ".join(answer.options) for label in "KL")
    assert feed(WHITES, "do i have enough leaves").about["cohort"] == "K"


def test_all_cohorts_are_told_one_by_one_and_what_is_not_known_stays_out_of_the_sum(feed):
    moths = "2031-08-09T18:00,found,S,,Hyalophora cecropia,larva,3,12,sleeve,,Salix spp.,,,\n"
    answer = feed(WHITES + MONARCHS + moths, "how much food do i need for everything")
    apart = [feed(rows, "how much", cohorts=(label,)).values["needed_g"] for rows, label in ((WHITES, "K"), (MONARCHS, "M"))]
    assert answer.values["needed_g"].value == pytest.approx(sum(one.value for one in apart), rel=0.01)
    assert answer.values["needed_g"].high < 1.1 * sum(one.high for one in apart)
    assert "Not counted" in answer.text and "S." in answer.text and "Of that K" in answer.text


def test_a_cohort_seen_to_be_slow_eats_for_longer(feed):
    rows = (
        "2031-07-10T08:00,laid,K,,Pieris rapae,egg,,20,box,,Brassica oleracea,,,\n2031-07-14T08:00,hatched,K,,,,,20,box,,,,,\n"
        "2031-08-04T08:00,checked,K,,,,,,box,,,,,\n"
    )
    alone = feed(rows, "how much will K eat", now="2031-08-06T09:00", cohorts=("K",))
    pupated = rows + "2031-08-05T18:00,pupated,K,,,,,1,box,,,,,\n"
    slow = feed(pupated, "how much will K eat", now="2031-08-06T09:00", cohorts=("K",))
    assert len(slow.items) >= len(alone.items) and any("as long as published" in step for step in slow.working)


def test_days_of_larvae_of_the_line_are_numbered(feed):
    answer = feed("", "how much do 20 eat a day", species=["Pieris rapae"], count=20)
    assert [item["name"] for item in answer.items][:2] == ["day 1", "day 2"] and "a day on average" in first_line(answer)
    mean = sum(item["g"] for item in answer.items) / len(answer.items)
    assert answer.values["daily"].value == pytest.approx(mean, abs=0.01)


def test_what_a_cohort_eats_a_day_is_told_first(feed):
    answer = feed(WHITES, "how much does K eat a day", cohorts=("K",))
    assert answer.values["daily"].value == pytest.approx(answer.items[1]["g"], abs=0.01)
    assert f"{answer.items[1]['g']:.1f} g" in first_line(answer)


def test_a_plan_may_run_past_its_horizon_in_the_cold(feed):
    cold = "2031-08-01,temperature,,,,,,,,,,6 C,,\n"
    answer = feed(cold + WHITES, "how much will K eat", cohorts=("K",))
    assert answer.values["needed_g"].value > 0 and len(answer.items) <= 60 and "In this cold" in answer.text


def test_the_moment_does_not_matter_to_what_is_eaten_in_all(feed):
    late = feed(WHITES, "how much will K eat", now="2031-08-10T23:40", cohorts=("K",))
    assert late.items[0]["name"] == "2031-08-11"
    assert datetime.fromisoformat(late.items[0]["name"])
    assert sum(item["g"] for item in late.items) == pytest.approx(late.values["needed_g"].value, abs=0.05)
