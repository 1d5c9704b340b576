"""The headcount rules, as tables of cases: what is there before, one event, and what must come of it."""

from __future__ import annotations

import time
from datetime import datetime

import pytest

from nurserytui.records.events import Event
from nurserytui.records.ledger import Key, replay


def laid(count=10, cohort="A", place="jar", when="2031-05-01", **more):
    return Event(when, "laid", cohort, species="Pieris rapae", stage="egg", count=count, enclosure=place, **more)


def found(count, stage, instar=None, cohort="A", place="jar", when="2031-05-01", species="Pieris rapae", **more):
    return Event(when, "found", cohort, species=species, stage=stage, instar=instar, count=count, enclosure=place, **more)


def then(what, count=None, cohort="A", when="2031-06-01", **more):
    return Event(when, what, cohort, count=count, **more)


def heads(events, **how):
    ledger = replay(events, **how)
    assert not ledger.faults, ledger.faults
    return {tuple(key)[0:1] + tuple(key)[2:]: count for key, count in sorted(ledger.heads.items(), key=repr)}


EGG, PREPUPA, PUPA, ADULT = (("A", stage, None, "jar") for stage in ("egg", "prepupa", "pupa", "adult"))


def larva(instar=None, cohort="A", place="jar"):
    return (cohort, "larva", instar, place)


@pytest.mark.parametrize(
    ("before", "event", "after"),
    [
        ([laid()], then("hatched", 4), {EGG: 6, larva(1): 4}),
        ([laid()], then("hatched"), {larva(1): 10}),
        ([found(9, "larva", 2)], then("moulted", 4, instar=3), {larva(2): 5, larva(3): 4}),
        ([found(9, "larva", 2)], then("moulted", 4, instar=5), {larva(2): 5, larva(5): 4}),
        ([found(9, "larva", 2)], then("moulted", 4), {larva(2): 5, larva(3): 4}),
        ([found(9, "larva")], then("moulted", 4), {larva(): 9}),
        ([found(9, "larva")], then("moulted", 4, instar=3), {larva(): 5, larva(3): 4}),
        # the highest lower instar moults first
        ([found(3, "larva", 2), found(3, "larva", 3)], then("moulted", 4, instar=4), {larva(2): 2, larva(4): 4}),
        ([found(5, "larva", 5)], then("prepupated", 2), {larva(5): 3, PREPUPA: 2}),
        # prepupae pupate first, then the most advanced larvae
        ([found(3, "prepupa"), found(3, "larva", 5)], then("pupated", 2), {PREPUPA: 1, larva(5): 3, PUPA: 2}),
        ([found(3, "prepupa"), found(3, "larva", 5)], then("pupated", 4), {larva(5): 2, PUPA: 4}),
        ([found(2, "larva", 4), found(3, "larva", 5)], then("pupated", 4), {larva(4): 1, PUPA: 4}),
        ([found(3, "pupa")], then("emerged"), {ADULT: 3}),
        # stage, instar and place left out are filled in where only one fits
        ([found(3, "larva", 4)], then("died", 1), {larva(4): 2}),
        ([found(3, "larva", 4), found(5, "larva", 4, place="box")], then("died", 4), {larva(4): 3, larva(4, place="box"): 1}),
        ([found(3, "larva", 4), found(5, "larva", 4, place="box")], then("died", 8), {}),
        ([found(1, "larva", 4)], then("escaped"), {}),
        # an instar later than the recorded one is a moult that nobody wrote down
        ([found(3, "larva", 2)], then("died", 1, stage="larva", instar=4), {larva(2): 2}),
        ([found(3, "larva", 2), found(2, "larva", 4)], then("died", 1, instar=4), {larva(2): 3, larva(4): 1}),
        ([found(3, "larva", 2)], then("checked", instar=4), {larva(4): 3}),
        ([found(3, "larva", 2)], then("sign", 1, instar=4, detail="limp"), {larva(2): 2, larva(4): 1}),
        ([found(3, "larva", 2)], then("sign", detail="limp"), {larva(2): 3}),
        # butterflies are what is released, if there are enough
        ([found(3, "adult"), found(5, "pupa")], then("released", 2), {ADULT: 1, PUPA: 5}),
        # moves
        ([laid()], then("moved", 4, to="box"), {EGG: 6, ("A", "egg", None, "box"): 4}),
        ([laid()], then("moved", to="box"), {("A", "egg", None, "box"): 10}),
        ([laid(), found(2, "pupa", cohort="B")], Event("2031-06-01", "moved", enclosure="jar", to="box"),
         {("A", "egg", None, "box"): 10, ("B", "pupa", None, "box"): 2}),
        ([laid(), found(2, "pupa", cohort="B")], Event("2031-06-01", "moved", stage="pupa", enclosure="jar", to="box"),
         {EGG: 10, ("B", "pupa", None, "box"): 2}),
        # cohorts
        ([laid()], then("split", 3, to="S"), {EGG: 7, ("S", "egg", None, "jar"): 3}),
        ([laid(), laid(5, "B", "box")], then("merged", to="B"), {("B", "egg", None, "jar"): 10, ("B", "egg", None, "box"): 5}),
        ([laid()], then("renamed", to="fennel-2"), {("fennel-2", "egg", None, "jar"): 10}),
        # missing and back
        ([laid()], then("missing", 3), {EGG: 7}),
        ([laid(), then("missing", 3, when="2031-05-02")], then("returned", 2), {EGG: 9}),
        ([found(5, "larva", 3), then("missing", 2, when="2031-05-02")], then("returned", 1, stage="pupa", enclosure="box"),
         {larva(3): 3, ("A", "pupa", None, "box"): 1}),
        # stocktakes
        ([laid()], then("counted", 10), {EGG: 10}),
        ([laid()], then("counted", 8), {EGG: 8}),
        ([laid()], then("counted", 0), {}),
        ([laid(), then("missing", 3, when="2031-05-02")], then("counted", 9), {EGG: 9}),
        ([laid()], then("counted", 12, detail="estimate"), {EGG: 12}),
        ([laid(80, estimate=True)], then("counted", 93), {EGG: 93}),
        ([laid(80, estimate=True)], then("counted", 70), {EGG: 70}),
        ([laid()], then("counted", 8, estimate=True), {EGG: 10}),
        ([laid()], Event("2031-06-01", "counted", enclosure="jar", count=9), {EGG: 9}),
        # care moves nobody
        ([laid()], Event("2031-06-01", "cleaned", enclosure="jar"), {EGG: 10}),
        ([laid()], then("tested", detail="clear"), {EGG: 10}),
    ],
)  # fmt: skip
def test_what_comes_of_an_event(before, event, after):
    assert heads([*before, event]) == after


@pytest.mark.parametrize(
    ("before", "event", "reason"),
    [
        ([laid(3, "B")], then("hatched", 5, "B"), "cohort B has 3 eggs in jar, not 5".replace(" in jar", "")),
        ([laid(3, "B")], then("died", 5, "B", enclosure="jar"), "cohort B has 3 eggs in jar, not 5"),
        ([laid()], then("died", 2, "Z"), "there is no cohort Z"),
        ([laid()], then("emerged", 2), "cohort A has 0 pupae, not 2 (it has 10 eggs in jar)"),
        ([laid()], then("died", 2, enclosure="box"), "cohort A has no animals in box, not 2 (it has 10 eggs in jar)"),
        ([found(3, "larva", 4), found(5, "larva", 4, place="box")], then("died", 2),
         "cohort A has 3 larvae in jar and 5 larvae in box: which 2 is not said"),
        ([found(3, "larva", 3), found(5, "larva", 4)], then("died", 1),
         "cohort A has 3 larvae of instar 3 in jar and 5 larvae of instar 4 in jar: which one is not said"),
        ([found(3, "larva", 3), found(5, "pupa")], then("died", 2), "cohort A has 3 larvae in jar and 5 pupae in jar: which 2 is not said"),
        ([laid()], then("died"), "cohort A has 10 eggs in jar: how many is not said"),
        ([found(3, "larva", 3)], then("died", 1, instar=2), "cohort A has 3 larvae of instar 3 in jar, not 1 of instar 2"),
        ([found(3, "larva", 3), found(3, "larva", 2)], then("moulted", 2),
         "cohort A has 3 larvae of instar 3 in jar and 3 larvae of instar 2 in jar: the instar that they reached is not said"),
        ([laid()], then("died", 1, species="Vanessa cardui"), "cohort A is Pieris rapae, not Vanessa cardui"),
        ([laid()], found(1, "egg", species="Vanessa cardui"), "cohort A is Pieris rapae, not Vanessa cardui"),
        ([laid(), laid(2, "B")], then("renamed", to="B"), "there is a cohort B already"),
        ([laid()], then("merged", to="B"), "there is no cohort B"),
        ([laid(), found(1, "egg", cohort="B", species="Vanessa cardui")], then("merged", to="B"), "cohort B is Vanessa cardui, not Pieris rapae"),
        ([laid()], then("returned", 1), "cohort A has 0 missing, not 1"),
        ([laid()], then("counted", 12), "cohort A has 10 eggs in jar, not 12, and 0 are missing"),
        ([laid(), found(2, "pupa")], then("counted", 11), "cohort A has 10 eggs in jar and 2 pupae in jar, not 11: count each group by itself"),
        ([laid()], then("moved", 2, to="jar"), "cohort A is in jar already"),
        ([laid()], Event("2031-06-01", "moved", enclosure="box", to="jar"), "box has no animals left"),
        ([laid()], then("split", to="S"), "how many are split off is not said"),
        ([], found(2, "", cohort="A"), "the stage of the animals found is not said"),
        ([], found(2, "egg", species=""), "the species of a new cohort is not said (write unknown if it is not known)"),
        ([laid(), then("died", 10, when="2031-05-02")], then("checked"), "cohort A has no animals left"),
        ([laid(), then("merged", cohort="A", to="B", when="2031-05-02"), laid(1, "B")], laid(1, "A", when="2031-06-01"),
         "cohort A was merged into B"),
        ([laid(2), laid(2, "B")], Event("2031-06-01", "died", count=1, enclosure="jar"), "jar has 2 eggs of cohort A in jar and 2 eggs of cohort B in jar: which one is not said"),
    ],
)  # fmt: skip
def test_what_cannot_have_happened_is_refused_with_what_is_there(before, event, reason):
    before = sorted(before, key=lambda one: one.when)
    ledger = replay([*before, event])
    assert [fault.reason for fault in ledger.faults] == [reason]
    assert ledger.heads == replay(before).heads  # nothing moved


def test_the_fault_names_the_event_that_took_the_animals():
    hatched = then("hatched", 9, when="2031-05-05")
    ledger = replay([laid(), hatched, then("died", 3, stage="egg")])
    assert ledger.faults[0].standing_in_the_way is hatched
    assert ledger.faults[0].available == ((Key("A", "", "egg", None, "jar"), 1),)


# Marks ---------------------------------------------------------------------------------------------------------------


def test_a_mark_takes_an_unmarked_animal_and_stays_with_it():
    ledger = replay([
        found(3, "larva", 4),
        then("sign", mark="2", detail="limp"),
        then("pupated", mark="2"),
        then("died", 2),
        then("emerged", mark="2"),
    ])  # fmt: skip
    assert not ledger.faults
    assert ledger.heads == {Key("A", "2", "adult", None, "jar"): 1}


@pytest.mark.parametrize(
    ("event", "reason"),
    [
        (then("died", mark="1"), "animal 1 of cohort A is not there any more (released on 2031-05-09)"),
        (then("emerged", mark="2"), "animal 2 of cohort A is a larva in jar"),
        (then("died", 2, mark="2"), "a mark names one animal, not 2"),
        (found(1, "larva", mark="2", when="2031-06-01"), "cohort A has had an animal 2 already"),
    ],
)
def test_a_mark_is_one_animal(event, reason):
    before = [
        found(1, "adult", mark="1"),
        found(1, "larva", mark="2"),
        found(1, "larva", mark="3"),
        then("released", mark="1", when="2031-05-09"),
    ]
    assert [fault.reason for fault in replay([*before, event]).faults] == [reason]


def test_marked_animals_are_left_alone_while_there_are_others():
    ledger = replay([found(1, "larva", mark="1"), found(3, "larva"), then("died", 2)])
    assert {(key.mark, count) for key, count in ledger.heads.items()} == {("1", 1), ("", 1)}


# Labels --------------------------------------------------------------------------------------------------------------


def test_labels_are_found_whatever_their_case_and_after_a_rename():
    ledger = replay([laid(cohort="Kale-26"), then("hatched", 2, "kale-26"), then("renamed", cohort="Kale-26", to="porch"), then("died", 1, "KALE-26", stage="egg")])  # fmt: skip
    assert not ledger.faults
    assert ledger.label("kale-26") == ledger.label("PORCH") == "porch"
    assert ledger.cohorts["porch"].former_labels == ("Kale-26",)
    assert ledger.label("other") is None
    assert all(posting.target is None or posting.target.cohort == "porch" for posting in ledger.postings)


def test_an_event_before_the_rename_may_use_the_label_of_today():
    assert heads([laid(), then("renamed", to="porch"), then("died", 1, "porch", when="2031-05-20")]) == {
        ("porch", "egg", None, "jar"): 9
    }


def test_an_event_before_several_renamings_may_use_the_label_of_today():
    renamings = [then("renamed", to="kale", when="2031-06-02"), then("renamed", cohort="Kale", to="kale-31", when="2031-06-03")]
    assert heads([laid(), *renamings, then("died", 1, cohort="kale-31", when="2031-06-01")]) == {
        ("kale-31", "egg", None, "jar"): 9
    }


def test_a_label_may_be_used_again_after_a_rename():
    ledger = replay([laid(), then("renamed", to="porch"), laid(4, when="2031-06-02"), then("died", 1, when="2031-06-03")])
    assert not ledger.faults
    assert {(key.cohort, count) for key, count in ledger.heads.items()} == {("porch", 10), ("A", 3)}


@pytest.mark.parametrize(
    ("labels", "expected"),
    [((), "A"), (("A", "b", "D"), "C"), (tuple("ABCDEFGHIJKLMNOPQRSTUVWXYZ"), "AA"), (("fennel-1",), "A")],
)
def test_the_next_free_capital_letter(labels, expected):
    assert replay([laid(cohort=label) for label in labels]).next_label() == expected


def test_a_cohort_left_out_gets_the_next_letter_not_used_anywhere_in_the_records():
    ledger = replay([laid(cohort="", when="2031-01-01"), laid(cohort="A", when="2031-02-01"), laid(cohort="", when="2031-03-01")])
    assert list(ledger.cohorts) == ["B", "A", "C"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [("C4", ("C4", "")), ("c4", ("C4", "")), ("C5", ("C", "5")), ("C 5", ("C", "5")), ("Z1", None), ("c", ("C", ""))],
)
def test_a_label_with_a_number_is_the_cohort_of_that_label_first(text, expected):
    assert replay([laid(cohort="C"), laid(cohort="C4")]).animal(text) == expected


def test_identified_sets_the_species_of_a_cohort_that_was_unknown():
    ledger = replay([found(2, "larva", species="unknown"), then("identified", species="Vanessa cardui")])
    assert ledger.key_species(next(iter(ledger.heads))) == "Vanessa cardui"


def test_an_estimate_is_one_until_all_were_counted():
    assert replay([laid(80, estimate=True)]).cohorts["A"].estimate
    assert not replay([laid(80, estimate=True), then("counted", 84)]).cohorts["A"].estimate


def taken_back(which, id="9", group=""):
    return Event("2031-06-02", "withdrawn", withdraws=which, id=id, group=group)


@pytest.mark.parametrize(
    ("events", "expected"),
    [
        ([laid(id="1"), taken_back("1")], "A"),
        ([laid(id="1"), then("hatched", 2, id="2"), taken_back("2", "8"), taken_back("1")], "A"),
        # what still names it: a record that stands, another cohort of that label, a correction that may be taken back
        ([laid(id="1"), laid(id="2"), taken_back("1")], "B"),
        ([laid(id="1"), laid(cohort="B", id="2"), taken_back("1")], "A"),
        ([laid(id="1"), taken_back("1", group="g"), laid(cohort="Q", id="2", group="g")], "B"),
        ([laid(id="1"), then("split", 3, to="B", id="2"), taken_back("2")], "B"),
        # a correction taken back, and then what stood again
        ([laid(id="1"), taken_back("1", "5", "g"), laid(cohort="Q", id="2", group="g"), taken_back("5", "6"), taken_back("2", "7")], "B"),
        ([laid(id="1"), taken_back("1", "5", "g"), laid(cohort="Q", id="2", group="g"), taken_back("5", "6"), taken_back("2", "7"), taken_back("1")], "A"),
        # a withdrawal that was itself taken back
        ([laid(id="1"), taken_back("1"), taken_back("9", "10")], "B"),
    ],
)  # fmt: skip
def test_a_letter_is_free_again_where_all_that_named_it_was_taken_back(events, expected):
    assert replay(events).next_label() == expected
    # Seen from before they were taken back, they all name their letters.
    before = datetime(2031, 6, 1, 12)
    assert (
        replay(events, until=before).next_label()
        == replay([one for one in events if one.what != "withdrawn"], until=before).next_label()
    )


# Order, withdrawals and the moment -----------------------------------------------------------------------------------


def test_a_withdrawn_event_never_happened_and_a_correction_takes_its_place():
    events = [
        laid(id="1"),
        then("hatched", 9, id="2"),
        then("died", 1, stage="larva", id="3"),
        then("withdrawn", cohort="", withdraws="2", id="4", group="g"),
        then("hatched", 8, id="5", group="g"),
    ]
    assert heads(events) == {EGG: 2, larva(1): 7}


def test_a_withdrawn_withdrawal_restores_the_event():
    events = [laid(id="1"), then("died", 3, id="2"), then("withdrawn", cohort="", withdraws="2", id="3"), then("withdrawn", cohort="", withdraws="3", id="4")]  # fmt: skip
    assert heads(events[:3]) == {EGG: 10}
    assert heads(events) == {EGG: 7}


@pytest.mark.parametrize(
    ("moment", "expected"),
    [
        ("2031-05-31T23:59", {EGG: 10}),
        ("2031-06-01T08:00", {EGG: 6, larva(1): 4}),  # the date alone counts on its own day
        ("2031-06-02T09:59", {EGG: 6, larva(1): 4}),
        ("2031-06-02T10:00", {EGG: 6, larva(1): 3}),
    ],
)
def test_only_what_is_not_later_than_the_moment_is_seen(moment, expected):
    events = [laid(), then("hatched", 4), then("died", 1, stage="larva", when="2031-06-02T10:00")]
    assert heads(events, until=datetime.fromisoformat(moment)) == expected


def test_a_hundred_thousand_events_replay_in_three_seconds():
    events = []
    for number in range(5000):
        label, when = f"c{number}", f"20{31 + number // 340}-{1 + number // 28 % 12:02}-{1 + number % 28:02}"
        events.append(laid(20, label, f"tub {number % 60}", when))
        events += [Event(when, "hatched", label, count=1)] * 10 + [Event(when, "died", label, stage="egg", count=1)] * 9
    start = time.process_time()
    ledger = replay(events)
    assert time.process_time() - start < 3
    assert len(ledger.postings) == 100_000 and not ledger.faults


def test_a_reason_names_a_cohort_whose_label_was_another_ones_before():
    ledger = replay(
        [
            laid(5, "A", "jar", "2031-06-01"),
            Event("2031-06-02", "renamed", "A", to="B", id="2"),
            laid(3, "A", "jar", "2031-06-03"),
            Event("2031-06-04", "died", "A", count=9, id="4"),
            Event("2031-06-05", "returned", "A", count=1, id="5"),
            Event("2031-06-06", "merged", "B", to="A", id="6"),
            Event("2031-06-07", "merged", "B", to="A", id="7"),
        ]
    )
    assert [fault.reason for fault in ledger.faults] == [
        "cohort A has 3 eggs, not 9",
        "cohort A has 0 missing, not 1",
        "cohort B has no animals left",
    ]
