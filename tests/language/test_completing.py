"""How a typed line may go on: whose names come first, what fits, and that it is quick."""

from __future__ import annotations

import time
from datetime import datetime

import pytest
from conversation import EVENTS, NOW, nursery_of

from nurserytui.language.completing import OFFERS, Completion, Names, Offer, own_names
from nurserytui.language.context import Context
from nurserytui.language.said_often import SENTENCES, filled, places
from nurserytui.language.understand import understand

HERE = Completion.of(nursery_of(EVENTS, NOW))
RECENT = ("how long until card-8 hatches", "2 of card-8 hatched", "what needs doing today", "mean temperature of tub 9 last week")


def texts(typed: str, cursor: int | None = None, recent=()) -> list[str]:
    return [offer.text for offer in HERE.offers(typed, cursor, recent)]


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("fen", "fennel-3"),
        ("FEN", "fennel-3"),
        ("how many fennel 3", "How many fennel-3 are there?"),
        ("how many are in big", "How many are in big tent?"),
        ("fed shelf", "fed shelf tub"),
        ("what do painted", "What do painted lady larvae eat?"),
        ("the painted", "painted lady"),
        ("when will card", "When will card-8 hatch?"),
        ("3 of ca", "3 of card-8 hatched"),
        ("b", "big tent"),
        ("what eats swamp milk", "What eats swamp milkweed?"),
        ("the monarhc", "monarch"),
        ("fl3", "fennel-3"),
        ("cd8", "card-8"),
        ("how many A", "How many A are there?"),
    ],
)
def test_the_likeliest_comes_first(typed, first):
    assert (texts(typed) or [""])[0] == first


def test_the_keepers_own_come_before_all_that_is_known():
    offers = texts("how many are on fen")
    assert offers[0] == "fennel-3" and "fennel" in offers


@pytest.mark.parametrize(
    ("typed", "never"),
    [
        ("mona", {"monach", "monark"}),
        ("the diamond", {"diamond-back moth"}),
        ("found 3 eggs", {"butter-and-eggs"}),
        ("2 of card-8 ha", {"hawthorn", "hackberry", "hairstreak"}),
        ("how long until coh", {"crate 1", "card-8"}),
        ("how many fennel-3", {"fennel", "fennel-3"}),
    ],
)
def test_what_is_no_proper_name_or_not_meant_is_not_offered(typed, never):
    assert not never & set(texts(typed))


def test_what_is_fed_or_cleaned_is_where_larvae_are_the_longest_ago_first():
    assert set(texts("fed")) == {"fed shelf tub", "fed tub 9", "fed big tent"}
    assert texts("cleaned")[-1] == "cleaned tub 9" and len(texts("cleaned")) == 3
    later = Completion.of(
        nursery_of(f"{EVENTS}2026-06-21T07:00,fed,,,,,,,shelf tub,,,\n2026-06-21T08:00,fed,,,,,,,tub 9,,,\n", NOW)
    )
    assert [offer.text for offer in later.offers("fed")] == ["fed big tent", "fed shelf tub", "fed tub 9"]
    assert later.offers("fed tub")[0].text == "fed tub 9"


def test_a_number_sent_before_is_no_completion():
    assert texts("1 D died in tub 2", recent=("2", "died")) == []


def test_lines_sent_before_come_first_the_newest_of_them_on_top():
    assert texts("how l", recent=("how long a", "x", "how long b"))[:2] == ["how long b", "how long a"]
    assert "mean temperature of tub 9 last week" in texts("temp tub", recent=RECENT)
    assert texts("what needs doing tday now", recent=RECENT) == ["what needs doing today"]


def test_a_sentence_takes_the_names_that_the_line_has_and_only_where_they_fit():
    assert "5 of card-8 hatched" in texts("5 of card-8 ")
    assert not any("emerge" in text for text in texts("when will card-8 "))
    assert texts("how many A ar")[0] == "How many A are there?"


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "   ",
        "in ",
        "to",
        "a",
        "I",
        "7",
        "qzxq",
        "how many eggs are in the zzz qqq",
        "hello world",
        "2 A died in tub 9",
        "fed tub 9 at 25:99",
    ],
)
def test_where_nothing_fits_nothing_is_offered(typed):
    assert texts(typed) == []


def test_what_stands_after_the_cursor_stays():
    (offer,) = HERE.offers("fed she now", len("fed she"))[:1]
    assert offer == Offer(4, 7, "shelf tub", "name")
    assert offer.put_into("fed she now") == ("fed shelf tub now", len("fed shelf tub"))
    assert HERE.offers("fed shelf", 6) == ()


def test_nothing_is_offered_twice_or_changes_nothing():
    for typed in ("fennel-3", "what needs doing today?", "m", "fen", "how"):
        offers = HERE.offers(typed, None, RECENT)
        lines = [offer.put_into(typed)[0].casefold() for offer in offers]
        assert len(set(lines)) == len(lines) <= OFFERS and typed.casefold() not in lines


@pytest.mark.parametrize("typed", ["x" * 10_000, "how long " * 2000, "[/b] \u202e", "漢字🦋", "ẞ İ ﬃ", "(.*)+$", "\\", "ｍｏｎ"])
def test_hostile_text_is_only_text(typed):
    for offer in HERE.offers(typed, None, (typed, *RECENT)):
        line, cursor = offer.put_into(typed)
        assert 0 <= offer.start <= offer.end <= len(typed) and cursor <= len(line)


def test_an_empty_nursery_has_the_names_that_are_known():
    empty = Completion.of(nursery_of(EVENTS.split("\n", 1)[0], NOW))
    assert "monarch" in [offer.text for offer in empty.offers("mona")]
    assert not any("{" in offer.text for typed in ("how", "when", "fed", "2 o") for offer in empty.offers(typed))


def test_names_hold_what_the_records_hold():
    own = own_names(nursery_of(EVENTS, NOW))
    assert {"A", "B", "fennel-3", "card-8", "willow-1", "tub 9", "big tent", "B1", "B2", "monarch"} <= set(own.names.names)
    assert own.stages["A"] == ("egg", "larva") and own.stages["card-8"] == ("egg",)


def test_names_are_found_by_the_beginning_of_any_word():
    names = Names(["black swallowtail", "swallow-wort", "swamp milkweed"])
    assert names.beginning("sw", 9) == ["swallow-wort", "swamp milkweed", "black swallowtail"]
    assert names.beginning("sw", 9, inside=False) == ["swallow-wort", "swamp milkweed"]
    assert names.like("swalowt", 9) == ["black swallowtail", "swallow-wort"] or names.like("swalowt", 9)[0] == "black swallowtail"


@pytest.mark.parametrize("sentence", [one for one in SENTENCES if not one.startswith(("note", "undo", "Why"))])
def test_every_sentence_that_is_offered_is_understood(sentence):
    nursery = nursery_of(EVENTS, NOW)
    names = dict(
        cohort="A",
        egg="card-8",
        larva="A",
        pupa="fennel-3",
        adult="willow-1",
        enclosure="tub 9",
        fed="tub 9",
        cleaned="tub 9",
        species="monarch",
        plant="milkweed",
        number="2",
    )
    (line,) = filled(names, [sentence])
    request = understand(line, nursery, Context())
    tells = sentence[0].islower() or sentence[0] == "{"
    assert request.topic and (request.topic == "record") == tells, (line, request.topic)
    assert not places(line)


def test_three_hundred_cohorts_and_every_name_take_no_time():
    rows = ["when,what,cohort,species,stage,count,enclosure,host"]
    rows += [
        f"2026-06-{1 + at % 20:02},found,{'fennel mallow willow'.split()[at % 3]}-{at},Danaus plexippus,larva,9,tub {at % 60},"
        for at in range(300)
    ]
    nursery = nursery_of("\n".join(rows), datetime(2026, 6, 22, 9))
    many = Completion.of(nursery)
    recent = [f"how many were in tub {at} and what did they eat" for at in range(500)]
    for typed in ("f", "how", "how long until fe", "tub 1", "monarhc", "qzxqqq", "how lng untl fennel 1 hatchs", "x" * 250):
        costs = []
        for _ in range(3):
            start = time.process_time()
            many.offers(typed, None, recent)
            costs.append(time.process_time() - start)
        assert min(costs) < 0.010, typed
    start = time.process_time()
    Completion.of(nursery)
    assert time.process_time() - start < 0.1
