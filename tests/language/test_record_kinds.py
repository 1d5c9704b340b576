"""Records in words that no phrase has: what the examples tell of lines by hands they do not hold, and what is done with it."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from conversation import converse, nursery  # noqa: E402
from measure_events import share, told_of  # noqa: E402

from nurserytui.language import record_kinds, weighing  # noqa: E402
from nurserytui.language.context import Context  # noqa: E402
from nurserytui.language.understand import understand  # noqa: E402
from nurserytui.records.events import WHATS  # noqa: E402


def test_every_kind_of_event_has_examples_and_no_line_two_kinds():
    assert {file.stem for file in weighing.files(weighing.EVENTS)} == set(WHATS) - {"withdrawn"}
    examples = [" ".join(words) for _, words in weighing.examples(weighing.EVENTS)]
    assert [line for line, times in Counter(examples).items() if times > 1] == []


@pytest.mark.parametrize(("hand", "floor"), [("two", 0.8), ("three", 0.7)])
def test_events_are_told_of_a_hand_that_no_example_is_by(hand, floor):
    told = told_of(hand)
    assert share(told) >= floor
    sure = [each for each in told if each.chance >= record_kinds.SURE]
    assert share(sure) >= 0.92
    assert len(sure) >= len(told) / 3


@pytest.mark.parametrize(
    ("line", "what", "count"),
    [
        ("two of kale-9 have croaked it, poor things", "died", 2),
        ("off they flew, both A adults", "released", "both"),
        ("A down by 1, popped its clogs in the night", "died", 1),
        ("gave my neighbour two of the A adults in a box", "given", 2),
        ("when I unzipped tub 9, 2 larvae flew past me", "escaped", 2),
        ("fennel-3 smear under the scope: clear", "tested", None),
        ("fennel-3 is anise swallowtail and not black swallowtail", "identified", None),
        ("tub 9 was 17 to 24 yesterday", "temperature", None),
        ("have 150 g of fennel leaves", "stocked", 150),
        ("kale in the fridge, 9 fronds left", "stocked", 9),
        ("fennel-3: 2 gone pre pupa", "prepupated", 2),
        ("I cannot for the life of me find two of A", "missing", 2),
        ("2 of A not in tub 9", "missing", 2),
        ("B2 is a chrysalis now", "pupated", None),
        ("fennel-3 are all pupae now", "pupated", "all"),
        ("A: emerged 1 (f), 05:50", "emerged", 1),
        ("fennel-3 / died / n=2 / 06:15", "died", 2),
        ("I accidentally crushed one larva under the lid of tub 9", "died", 1),
        ("a virus got 2 more of A in tub 9", "died", 2),
        ("I found that B2 had emerged when I looked in after tea", "emerged", None),
        ("two of A are missing and I do not know what happened", "missing", 2),
        ("found 3 larvae on the mallow, no clue what they are, in tub 9", "found", 3),
        ("let the A adults out yesterday", "released", None),
        ("fennel-3 out yesterday teatime", "emerged", None),
        ("I should like fennel-3 to be renamed to dill-3, if that can be done", "renamed", None),
        ("2 A not 3 died in tub 9", "died", 2),
        ("one of A starved, poor thing, crawled off the leaf", "died", 1),
        ("B2 went into its j", "prepupated", None),
        ("two of the fennel three pupae are out", "emerged", 2),
    ],
)
def test_a_record_that_no_phrase_tells_of_has_the_parts_that_are_said(line, what, count):
    request = understand(line, nursery(), Context())
    assert (request.topic, request.drafts[0].what, request.drafts[0].count) == ("record", what, count)


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("I brought in four peacock caterpillars off the nettles; they are to be called Q and go in tub 12", "Q"),
        ("watched a monarch lay 3 eggs on the milkweed, please put them down as cohort milk-9", "milk-9"),
    ],
)
def test_what_those_brought_in_are_called_is_no_record_of_its_own(line, label):
    drafts = understand(line, nursery(), Context()).drafts
    assert {draft.cohort for draft in drafts} == {label}
    assert drafts[0].what in ("laid", "found") and {"renamed", "split"}.isdisjoint(draft.what for draft in drafts)


def test_the_letter_of_a_cohort_is_taken_out_of_no_word():
    """The V of a cohort was taken out of `heavy`, as the A is here."""
    request = understand("the spore test on A came back heavy", nursery(), Context())
    assert request.drafts[0].detail == "heavy"


def test_a_number_that_nothing_takes_keeps_all_from_being_written():
    """`K: emerged 1 (f)` was written for every pupa of K."""
    request = understand("card-8 hatched 7/9", nursery(), Context())
    assert request.drafts[0].count == 7 or "doubted" in request.cues


@pytest.mark.parametrize(
    ("line", "event"),
    [
        ("when will the A caterpillars turn into butterflies", "emerge"),
        ("when will fennel-3 be butterflies", "emerge"),
        ("when will the A larvae be chrysalises", "pupate"),
        ("when will the card-8 eggs become caterpillars", "hatch"),
    ],
)
def test_a_stage_that_is_become_is_the_change_asked_for(line, event):
    request = understand(line, nursery(), Context())
    assert (request.topic, request.event) == ("stage-forecast", event)


def test_of_two_names_side_by_side_the_closer_one_is_meant():
    draft = understand("found 9 painted lady, Vanessa cardui, eggs on the mallow", nursery(), Context()).drafts[0]
    assert draft.species.names == ("Vanessa cardui",)


def test_so_many_of_a_cohort_that_were_surely_given_are_not_asked_about():
    request = understand("given: card-8 eggs x4, to the school", nursery(), Context())
    assert (request.drafts[0].what, request.drafts[0].count, request.cues) == ("given", 4, frozenset())


def test_a_capital_letter_before_a_label_is_no_and():
    """`N card-8` after something was found again wrote that once more."""
    lines = ["missing: card-8 x3", "returned: card-8 x2", "N card-8"]
    assert converse(lines).topic != "record"


def test_a_day_with_its_time_behind_a_space_is_a_time():
    draft = understand("fennel-3: 2 larvae hung up 2026-06-21 21:30", nursery(), Context()).drafts[0]
    assert (draft.impossible, str(draft.when.start)) == ("", "2026-06-21 21:30:00")


def test_an_ordinary_word_is_no_slip_of_a_verb():
    """`closed` was read as `eclosed`, `skipped` as `snipped`."""
    drafts = understand("looked in on big tent, 2 pupae still closed", nursery(), Context()).drafts
    assert drafts and "emerged" not in {draft.what for draft in drafts}


@pytest.mark.parametrize(
    "line",
    [
        "my daughter has a temperature of 38",
        "chlorine reading 2 and the goldfish are gasping at the top",
        "days since tub 9 was wiped",
        "I'd like to move A to tub 3",
        "gonna give tub 3 a scrub on sunday",
        "almost let the A adults go but it poured",
        "my brother lost 4 painted ladies",
        "14 badgers hatched in the bath",
        "should 3 of A go into tub 2",
    ],
)
def test_what_is_planned_or_not_ours_is_not_written(line):
    request = understand(line, nursery(), Context())
    assert request.topic != "record" or "doubted" in request.cues
