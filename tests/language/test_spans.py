"""A line as spans: labels, names, amounts and days, and what no text may do to the scanner."""

from __future__ import annotations

import time

import pytest
from conversation import nursery
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary


def scanned(text):
    place = nursery()
    return scan(text, Vocabulary.of(place), place.now, place.settings)


@pytest.mark.parametrize(
    ("text", "masked"),
    [
        ("checked A, all fine", "checked COHORT all fine"),
        ("same for A please", "same for COHORT please"),
        ("when is A gonna pupate", "when is COHORT gonna pupate"),
        ("how many of a are left", "how many of a are left"),
        ("A and B", "COHORT and COHORT"),
        ("give A a leaf", "give COHORT a leaf"),
        ("a B caterpillar", "a COHORT STAGE"),
        ("A caterpillar died", "a STAGE died"),
        ("A few eggs hatched", "a few STAGE hatched"),
        ("I saw A moth", "i saw a STAGE"),
        ("GIVE A LEAF TO B", "give a leaf to COHORT"),
        ("moved A, cleaned tub 9", "moved COHORT cleaned ENCLOSURE"),
    ],
)
def test_a_label_of_one_letter_and_the_article(text, masked):
    assert scanned(text).masked() == masked


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("any monrach eggs", "species", "Danaus plexippus"),
        ("painted ladys on mallow", "species", "Vanessa cardui"),
        ("how old is fenel-3", "cohort", "fennel-3"),
        ("who is in tub 9", "enclosure", "tub 9"),
        ("L4 cats", "instar", 4),
        ("third instar", "instar", 3),
        ("two dozen eggs", "number", 24),
    ],
)
def test_names_and_numbers(text, kind, value):
    found = scanned(text).of(kind)
    assert [getattr(each.value, "name", each.value) for each in found] == [value]


text = st.one_of(
    st.text(max_size=80),
    st.lists(
        st.sampled_from(
            "A B a tub 9 31 june 2026-99-99 1/2 1:10 ½ ٣ % bleach 5.25 . , ' - .. between from to 9999 years ago monarch l5 °F -999 "
            "overnight the last 99999999999 weeks 1/0 in".split(" ")
        ),
        max_size=14,
    ).map(" ".join),
)


@settings(max_examples=150, deadline=None)
@given(text)
def test_any_text_is_scanned_and_spans_lie_apart(said):
    line = scanned(said)
    end = -1
    for span in line.spans:
        assert end < span.first <= span.last < len(line.tokens)
        end = span.last
    assert all(0 <= token.start <= token.end <= len(said) for token in line.tokens)


@pytest.mark.parametrize("piece", ["a ", "monarch ", "12 ", "1/2", "x", "é́", "tub 9, "])
def test_a_very_long_line_is_cut_and_soon_read(piece):
    scanned("warm up")
    long = (piece * 100_000)[:100_000]
    begun = time.process_time()
    line = scanned(long)
    assert time.process_time() - begun < 0.5
    assert all(token.end <= 2_100 for token in line.tokens)
