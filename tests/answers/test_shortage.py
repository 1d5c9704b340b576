"""Plant on hand against the mouths that eat it: when it runs out or wilts, who is short, and what is to be cut."""

from __future__ import annotations

import sys
from datetime import datetime, timedelta
from math import ceil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import MemoryStore  # noqa: E402

from nurserytui.answers import shortage, stock  # noqa: E402
from nurserytui.answers.provision import Plan  # noqa: E402
from nurserytui.answers.using_up import Course  # noqa: E402
from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.biology.ranges import exactly  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402

NOW = datetime(2031, 8, 10, 9, 0)
SWALLOWTAIL, MONARCH = "Papilio polyxenes", "Danaus plexippus"
FENNEL, DILL, COMMON, SWAMP, MILKWEED = (
    "Foeniculum vulgare", "Anethum graveolens", "Asclepias syriaca", "Asclepias incarnata", "Asclepias spp.",
)  # fmt: skip
FENNEL_KEEPS = (3, 5)
"""Days of the card."""


def larvae(label, host=FENNEL, count=5, instar=4, place="tub 1", species=SWALLOWTAIL, stage="larva"):
    return Event(
        "2031-08-10T08:00", "found", label, species=species, stage=stage, instar=instar, count=count, enclosure=place, host=host
    )


def plant(when, count, detail="stems", host=FENNEL, what="stocked"):
    return Event(when, what, host=host, count=count, detail=detail)


def kept(*events) -> Nursery:
    return Nursery(MemoryStore(events), load(), NOW)


def short(*events, days=10):
    nursery = kept(*events)
    return shortage.shortages(nursery, NOW + timedelta(days=days))


# What is on hand ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("events", "lots"),
    [
        ([plant("2031-08-09T08:00", 6)], [(6, "stems", "2031-08-09")]),
        ([plant("2031-08-08T08:00", 6), plant("2031-08-10T08:00", 9)], [(9, "stems", "2031-08-10")]),
        ([plant("2031-08-08T08:00", 6), plant("2031-08-10T08:00", 4)], [(4, "stems", "2031-08-08")]),
        ([plant("2031-08-08T08:00", 6, what="cut"), plant("2031-08-10T08:00", 6)], [(6, "stems", "2031-08-08")]),
        ([plant("2031-08-09T08:00", 4), plant("2031-08-10T08:00", 3, what="cut")], [(4, "stems", "2031-08-09"), (3, "stems", "2031-08-10")]),
        ([plant("2031-08-09T08:00", 3, "pots"), plant("2031-08-10T08:00", 5)], [(3, "plants", "2031-08-09"), (5, "stems", "2031-08-10")]),
        ([plant("2031-08-09T08:00", 3, "pots"), plant("2031-08-10T08:00", 1, "pots")], [(1, "plants", "2031-08-09")]),
        ([plant("2031-08-09T08:00", 5), plant("2031-08-10T08:00", 0)], []),
        ([plant("2031-08-09T08:00", 200, "g"), plant("2031-08-09T09:00", 4, host=DILL)], [(200, "g", "2031-08-09"), (4, "stems", "2031-08-09")]),
        ([plant("2031-07-20T08:00", 5, what="cut")], []),
        ([Event("2031-08-09T08:00", "cut", host=FENNEL)], []),
    ],
    ids=["one", "more came", "some left", "cut before", "cut after", "pots and stems", "fewer pots", "none", "two plants", "long wilted", "no number"],
)  # fmt: skip
def test_what_is_on_hand(events, lots):
    """A later count replaces, what is cut comes on top; what is left of stems is as old as they are."""
    found = stock.lots(kept(*events))
    assert [(lot.amount, lot.unit, f"{lot.cut:%Y-%m-%d}") for lot in found if not lot.growing] == [
        lot for lot in lots if lot[1] != "plants"
    ]
    assert [(lot.amount, lot.unit) for lot in found if lot.growing] == [lot[:2] for lot in lots if lot[1] == "plants"]


# How it goes --------------------------------------------------------------------------------------------------------------


def course(grams, cut=NOW, unit="stems", daily=(10.0,) * 8):
    """Lots of so many grams, all there from now on, against so many grams a day from midnight to midnight."""
    midnight = datetime(2031, 8, 11)
    plan = Plan(tuple(midnight + timedelta(days=at) for at in range(len(daily))), daily, sum(daily), exactly(1.0), exactly(1.0))
    cuts = cut if isinstance(cut, list) else [cut] * len(grams)
    lots = [stock.Lot(FENNEL, 1.0, unit, unit, NOW, at) for at in cuts]
    return Course(lots, grams, None, {}, plan, kept())


def test_ten_grams_a_day_use_up_twenty_five_in_two_days_and_a_half():
    """10 g until midnight, 10 g by the next, the last 5 g by noon."""
    run = course([25.0]).run(1.0, None)
    assert run.gone == run.short == datetime(2031, 8, 12, 12)


def test_what_wilts_is_lost_and_they_are_short_from_then():
    """40 g would last to midnight of the 14th; three days after it was cut, at 9 on the 13th, 33.75 g are eaten: 3 × 10 and 9/24 of 10."""
    run = course([40.0]).run(1.0, 3.0)
    assert run.gone == run.short == datetime(2031, 8, 13, 9) and run.wilted == pytest.approx(40 - 33.75)
    assert course([40.0], unit="plants").run(1.0, 3.0).gone == datetime(2031, 8, 14)


def test_the_older_lot_is_eaten_first():
    """15 g cut two days ago (good to 9:00 of the 11th) and 30 g cut now (to 9:00 of the 13th): of the old 10 g go by midnight and 3.75 g
    by 9:00, 1.25 g wilt; of the new 6.25 g go on the 11th, 10 g on the 12th and 3.75 g by 9:00 of the 13th, 10 g wilt."""
    old = NOW - timedelta(days=2)
    run = course([30.0, 15.0], cut=[NOW, old]).run(1.0, 3.0)
    assert run.wilted == pytest.approx(1.25 + (30 - 6.25 - 10 - 3.75)) and run.short == datetime(2031, 8, 13, 9)


def test_they_are_not_short_before_they_eat():
    """Eggs that hatch in two days: all is wilted by the third, so they are short from then, not from when it was gone."""
    run = course([5.0], daily=(0.0, 0.0, 10.0, 10.0)).run(1.0, 1.0)
    assert run.gone == datetime(2031, 8, 11, 9) and run.short == datetime(2031, 8, 12)


def test_what_outlasts_them_is_never_gone():
    assert course([100.0]).run(1.0, None)[:2] == (None, None)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.integers(0, 60).map(float), min_size=0, max_size=4),
    st.lists(st.integers(0, 20).map(float), min_size=1, max_size=9),
    st.floats(0.5, 9.0),
    st.floats(1.0, 3.0),
)
def test_more_on_hand_never_runs_out_sooner_and_nothing_is_lost(grams, daily, days, factor):
    """What there was is eaten, wilted or left; against a slow replay in steps of a minute it runs short in the same hour."""
    one, more = course(grams, daily=tuple(daily)).run(1.0, days), course(grams, daily=tuple(daily)).run(factor, days)
    far = datetime(2032, 1, 1)
    assert (more.short or far) >= (one.short or far)
    assert (
        one.left == pytest.approx(sum(gram for gram in grams if gram > 1e-6), abs=1e-4)
        and -1e-9 <= one.wilted <= sum(grams) + 1e-6
    )
    slow = by_minutes(grams, daily, days)
    assert (one.short is None) == (slow is None)
    assert one.short is None or abs(one.short - slow) <= timedelta(minutes=3)


def by_minutes(grams, daily, days):
    """When minute by minute nothing is left to eat for those who want to."""
    left = sum(grams)
    at, begin = NOW, NOW
    for end, whole in zip((datetime(2031, 8, 11) + timedelta(days=day) for day in range(len(daily))), daily):
        while at < end:
            if at >= NOW + timedelta(days=days):
                left = 0.0
            each = whole * 60 / (end - begin).total_seconds()
            if each > 0 and left < each * 0.999:
                return at
            left -= each
            at += timedelta(minutes=1)
        begin = end
    return None


# Who is short -------------------------------------------------------------------------------------------------------------


def test_without_a_word_on_what_is_on_hand_nothing_is_short():
    assert short(larvae("A")) == []


def test_used_up_is_short_at_once_and_the_sentence_puts_it_right():
    nursery = kept(larvae("A"), plant("2031-08-10T08:00", 0))
    (one,) = shortage.shortages(nursery, NOW + timedelta(days=3))
    assert (one.cohorts, one.enclosure, one.host, one.priority) == (("A",), "tub 1", FENNEL, 1)
    assert str(one.short_from) == str(one.due) == str(one.runs_out) == "2031-08-10"
    answer = Assistant(nursery).reply(one.record)
    assert answer.status == "recorded" and answer.about["event"] == "cut"
    assert shortage.shortages(nursery, NOW + timedelta(days=1)) == []


def test_what_is_to_be_cut_is_what_they_eat_in_the_days_it_keeps():
    """A lot of fennel is for three days, the fewest of its card; by the plan of the days, 7.5 g of eaten leaf to a stem of 10 g."""
    nursery = kept(larvae("A", count=20), plant("2031-08-10T08:00", 0))
    (one,) = shortage.shortages(nursery, NOW + timedelta(days=3))
    (supply,) = shortage.supplies(nursery)
    grams = supply.plan.eaten_by(datetime(2031, 8, 13), NOW)
    assert one.needed["g"][0] == pytest.approx(grams, abs=0.01) and one.needed["stems"][0] == pytest.approx(grams / 7.5, abs=0.01)
    # By the upper end, for a larva dies of too little: at least what the most would be in stems of the middle size.
    assert (
        one.record == f"cut {ceil(one.needed['stems'][2])} stems of fennel" and one.needed["stems"][2] >= one.needed["g"][2] / 7.5
    )
    middle = -int(-grams // 7.5)
    assert f"the upper end; by the middle of the estimates it is {middle} stems" in one.reason


def test_lots_do_not_wilt_and_feed_them_to_the_end():
    nursery = kept(larvae("A", count=40, instar=3), plant("2031-08-10T08:00", 0))
    (supply,) = shortage.supplies(nursery)
    lots = shortage.cuttings(supply, nursery, NOW + timedelta(days=9))
    assert all((lot.until - lot.day).days < FENNEL_KEEPS[0] for lot in lots) and len(lots) >= 3
    assert sum(lot.grams.value for lot in lots) == pytest.approx(
        supply.plan.eaten_by(datetime.combine(lots[-1].until, datetime.min.time()) + timedelta(days=1), NOW), abs=0.1
    )
    for before, after in zip(lots, lots[1:]):
        assert after.day == before.until + timedelta(days=1)


def test_cut_plant_wilts_before_few_have_eaten_it_and_pots_do_not():
    wilted = short(larvae("A", count=2, instar=1), plant("2031-08-10T08:00", 30))
    assert [str(one.wilted_by) for one in wilted] == ["2031-08-15"] and "wilted" in wilted[0].reason
    assert wilted[0].short_from == datetime(2031, 8, 14).date()
    assert short(larvae("A", count=2, instar=1), plant("2031-08-10T08:00", 30, "pots")) == []


def test_all_on_one_plant_share_its_stock():
    few = plant("2031-08-10T08:00", 3)
    (alone,) = short(larvae("A"), few)
    (together,) = short(larvae("A"), larvae("B", place="tub 2", count=30), few)
    assert together.cohorts == ("A", "B") and together.enclosure == ""
    assert together.short_from < alone.short_from


@pytest.mark.parametrize(
    ("eaten", "on_hand", "told"),
    [(FENNEL, DILL, False), (COMMON, SWAMP, False), (COMMON, MILKWEED, True), (MILKWEED, SWAMP, True), ("", FENNEL, True), ("", COMMON, False)],
)  # fmt: skip
def test_which_plant_is_which(eaten, on_hand, told):
    """Two milkweeds are two stocks, `milkweed` is any of them; where no plant is noted, what the species eats counts."""
    species = MONARCH if "Asclepias" in eaten else SWALLOWTAIL
    assert len(short(larvae("A", host=eaten, species=species), plant("2031-08-10T08:00", 0, host=on_hand))) == told


def test_hatchlings_that_eat_next_to_nothing_yet_are_short_without_a_fall():
    """Late in the evening, one of three eggs hatched, two days' stems about to wilt: what they eat in the first days is no lot."""
    events = (
        Event(
            "2031-06-25T07:12",
            "laid",
            "A",
            species="Vanessa cardui",
            stage="egg",
            count=3,
            enclosure="jar",
            host="Cirsium vulgare",
        ),
        Event("2031-06-29", "stocked", host="Cirsium vulgare", count=4, detail="stems"),
        Event("2031-06-29T07:46", "temperature", detail="14..19 C"),
        Event("2031-07-01T07:01", "hatched", "A", count=1, enclosure="jar"),
    )
    for hour in range(24):
        now = datetime(2031, 7, 3, hour)
        nursery = Nursery(MemoryStore([one._replace(id=f"e{at}") for at, one in enumerate(events)]), load(), now)
        for one in shortage.shortages(nursery, now + timedelta(days=2)):
            assert one.record.startswith("cut ") and one.cohorts == ("A",)


@pytest.mark.parametrize(
    ("fed", "on"),
    [
        ([Event("2031-08-10T08:30", "fed", "A", host=DILL)], DILL),
        ([Event("2031-08-10T08:30", "fed", enclosure="tub 1", host=DILL)], DILL),
        ([Event("2031-08-10T08:30", "fed", "A", host=DILL), Event("2031-08-10T08:40", "fed", "A", host=FENNEL)], FENNEL),
        ([Event("2031-08-10T08:30", "fed", enclosure="tub 9", host=DILL)], FENNEL),
        ([Event("2031-08-10T08:30", "fed", enclosure="tub 1", host=COMMON)], FENNEL),
    ],
    ids=["cohort", "enclosure", "back again", "elsewhere", "not its food"],
)
def test_what_they_were_fed_last_is_what_they_eat(fed, on):
    (one,) = short(larvae("A"), *fed, plant("2031-08-10T08:50", 0, host=DILL), plant("2031-08-10T08:50", 0))
    assert one.host == on


def test_those_that_are_done_by_then_are_not_short():
    """Prepupae eat nothing, and eggs are not there yet: short are the larvae only."""
    (one,) = short(larvae("A"), larvae("P", stage="prepupa", instar=None), plant("2031-08-10T08:00", 1))
    assert one.cohorts == ("A",)


@pytest.mark.parametrize("hour", range(0, 24, 3))
def test_a_lot_is_enough_to_the_end_of_the_next_day_at_any_hour(hour):
    """Milkweed is cut for one day: what is cut in the evening feeds them through the day after."""
    now = datetime(2031, 8, 10, hour)
    found = larvae("A", host=COMMON, species=MONARCH)._replace(when="2031-08-09T08:00")
    none = plant("2031-08-09T08:00", 0, host=COMMON)
    nursery = Nursery(MemoryStore([found, none]), load(), now)
    (one,) = shortage.shortages(nursery, now + timedelta(days=1))
    (supply,) = shortage.supplies(nursery)
    end = datetime(2031, 8, 12 if hour >= 12 else 11)
    assert one.needed["g"][0] == pytest.approx(supply.plan.eaten_by(end, now), abs=0.01)


@pytest.mark.parametrize(
    "text", ["which cohort will be short of food", "what do I need to cut today", "when does the dill run out"]
)
def test_hatchlings_need_leaf_however_little_they_eat(text):
    """Three small whites on the day they hatched take some thousandths of a gram, and starve without."""
    events = [
        Event("2031-08-05", "laid", "A", species="Pieris rapae", stage="egg", count=3, enclosure="jar", host="Brassica oleracea"),
        Event("2031-08-10T07:00", "hatched", "A", count=3, enclosure="jar"),
        plant("2031-08-10T08:00", 0, host="Brassica oleracea"),
    ]
    (one,) = short(*events)
    assert (one.record, one.priority, str(one.due)) == ("cut 1 stem of cabbage", 1, "2031-08-10")
    answer = say(text.replace("dill", "cabbage"), *events)
    assert "cut 1 stem" in answer.text.casefold() or answer.text.startswith("Cut by"), answer.text


def test_a_stock_in_trays_is_no_shortage_and_says_why():
    nursery = kept(larvae("A"), plant("2031-08-10T08:00", 2, "trays"))
    (supply,) = shortage.supplies(nursery)
    assert "trays" in supply.lacking and shortage.shortages(nursery, NOW + timedelta(days=9)) == []


# As it is asked -----------------------------------------------------------------------------------------------------------

TWO = [larvae("A"), larvae("B", place="tub 2", count=30), plant("2031-08-10T08:00", 3)]


def say(text, *events):
    return Assistant(kept(*events)).reply(text)


@pytest.mark.parametrize(
    ("text", "events", "status", "first"),
    [
        ("when does the fennel run out", TWO, "answered", "The fennel runs out about"),
        ("do I have enough fennel", TWO, "answered", "No, for A and B until they pupate."),
        (
            "do I have enough fennel",
            [larvae("A", count=1, instar=5), plant("2031-08-10T08:00", 60, "pots")],
            "answered",
            "Yes, for A until they",
        ),
        ("how much fennel do I need to cut for the week", TWO, "answered", "Cut "),
        ("will A run short of fennel", TWO, "answered", "It will run short, for A"),
        ("which cohort will be short of food", TWO, "answered", "Short by"),
        ("what do I need to cut by friday", TWO, "answered", "Cut by"),
        ("when does the fennel run out", [larvae("A")], "answered", "Whether it will last I cannot say"),
        ("which cohort will be short of food", [larvae("A")], "unknown", "I cannot say"),
        ("when does the dill run out", TWO, "unknown", "A and B could eat dill, but by the records nobody here feeds on it now."),
        (
            "when does the milkweed run out",
            TWO,
            "unknown",
            "Nobody here feeds on milkweed now, by the records: A and B on fennel.",
        ),
        ("which cohort will be short of food", [], "answered", "None: there are no eggs or larvae to feed."),
    ],
)
def test_what_is_asked_of_plants_on_hand(text, events, status, first):
    answer = say(text, *events)
    assert (answer.status, answer.topic) == (status, "food-supply"), answer.text
    assert answer.text.startswith(first), answer.text
    assert {"needed", "runs_out"} <= set(answer.values) and answer.sources
    assert all(value.value is not None or value.reason for value in answer.values.values())


def test_the_answer_agrees_with_the_list_for_the_round():
    (one,) = short(*TWO)
    answer = say("when does the fennel run out", *TWO)
    assert (
        answer.values["runs_out"].value == one.runs_out.isoformat()
        and answer.values["short_from"].value == one.short_from.isoformat()
    )
    assert answer.values["enough"].value == "no" and answer.items[0]["record"] == one.record


def test_whether_anything_eats_a_plant_is_no_question_of_stock():
    assert say("does anything feed on fennel", *TWO).topic == "species-on-host"


def test_a_question_of_all_plants_does_not_lean_on_the_plant_before():
    talk = Assistant(kept(*TWO))
    talk.reply("when does the fennel run out")
    assert "host" not in talk.reply("which cohort will be short of food").about


def test_what_is_put_on_hand_is_read_back_with_who_eats_it():
    assert "A eats it and has none now" in say("used up the fennel", larvae("A")).text
    assert "Nobody here feeds on dill" in say("I have 4 stems of dill", larvae("A")).text


# Several plants, several cages -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("events", "hosts", "lots"),
    [
        ([Event("2031-08-10T08:30", "fed", "A", host=DILL), plant("2031-08-10T08:40", 6)], {FENNEL, DILL}, 6),
        ([Event("2031-08-10T08:30", "fed", "A", host=DILL), plant("2031-08-10T08:40", 6), plant("2031-08-10T08:40", 4, host=DILL)], {FENNEL, DILL}, 10),
        ([plant("2031-08-10T08:40", 5, host=DILL)._replace(cohort="A")], {FENNEL, DILL}, 5),
        ([plant("2031-08-10T08:40", 5, host=DILL)], {FENNEL}, 0),
        ([plant("2031-08-10T08:40", 5, host=DILL)._replace(cohort="Z")], {FENNEL}, 0),
    ],
)  # fmt: skip
def test_a_meal_of_another_plant_does_not_make_their_own_forgotten(events, hosts, lots):
    (supply,) = [
        one
        for one in shortage.supplies(kept(larvae("A"), larvae("Z", host="Cirsium vulgare", species="Vanessa cardui"), *events))
        if "A" in one.cohorts
    ]
    assert set(supply.hosts) == hosts and sum(lot.amount for lot in supply.lots) == lots


def test_who_cannot_eat_the_other_plant_is_not_told_that_it_has_it():
    """Anise swallowtails and monarchs are never fed from one pile, whatever a slip of the pen says was given."""
    events = [
        larvae("A"),
        larvae("M", host=MILKWEED, species=MONARCH, place="tub 2"),
        Event("2031-08-10T08:30", "fed", "A", host=MILKWEED),
    ]
    assert all(len(one.cohorts) == 1 for one in shortage.supplies(kept(*events, plant("2031-08-10T08:40", 6))))


@pytest.mark.parametrize("places", [1, 3, 6])
def test_a_stem_is_not_shared_among_enclosures(places):
    """One hatchling in each of several tubs: little leaf, but a stem for each."""
    rows = [larvae("A", count=1, instar=1, place=f"tub {at}") for at in range(1, places + 1)]
    (one,) = short(*rows, plant("2031-08-10T08:00", 0))
    assert int(one.record.split()[1]) == max(places, ceil(one.needed["stems"][2]))


def test_who_could_eat_a_plant_is_said_and_what_to_send_then():
    events = [larvae("A"), plant("2031-08-10T08:30", 9, host=DILL)]
    assert "but A could eat it: it lasts to about" in say("I have 9 stems of dill", larvae("A")).text
    answer = say("when does the dill run out", *events)
    assert answer.text.startswith("A could eat dill") and answer.next[0] == "fed A dill" and answer.values["runs_out"].value
    talk = Assistant(kept(*events))
    assert talk.reply("fed A dill").status == "recorded"
    assert talk.reply("when does the dill run out").text.startswith("The dill runs out about")


def test_plant_that_is_said_to_be_for_a_cohort_is_kept_for_it():
    nursery = kept(larvae("A"))
    answer = Assistant(nursery).reply("I have 6 stems of dill for A, cut today")
    assert answer.status == "recorded" and "6 stems of dill on hand for A" in answer.text and "A eats it" in answer.text
    (event,) = [event for event in nursery.events if event.what == "stocked"]
    assert (event.cohort, event.host, event.count) == ("A", DILL, 6)


def test_all_that_is_on_hand_is_listed():
    answer = say("what plants do I have in stock", *TWO, plant("2031-08-10T08:30", 3, host=MILKWEED))
    assert (
        answer.topic == "food-supply"
        and answer.values["count"].value == 2
        and "3 stems of milkweed; nobody here eats it" in answer.text
    )
    assert say("which plants are on hand", larvae("A")).text.startswith("No plant on hand is recorded")


def test_those_about_to_stop_are_named_all_the_same():
    """A larva that hangs up tomorrow may still eat a little: no sentence is left with a hole where its name belongs."""
    rows = [larvae("A", count=1, instar=5)._replace(when="2031-08-01T08:00"), plant("2031-08-10T08:30", 80, "g")]
    answer = say("when does the fennel run out", *rows)
    assert ": ." not in answer.text and " for ," not in answer.text
    for one in short(*rows):
        assert one.cohorts == ("A",)
