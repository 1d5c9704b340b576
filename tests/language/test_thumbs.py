"""Slips in the words of the keeper's places, in short names and in what animals die of, and in everyday words beside them."""

from __future__ import annotations

from datetime import date

import conversation
import pytest

from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary


def read(text: str):
    place = conversation.nursery()
    return scan(text, Vocabulary.of(place), place.now, place.settings)


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        ("3 A died tihs mornign", "3 a died this morning"),
        ("the dya before yesterdya", "the day before yesterday"),
        ("fed tub 9 on satuday moring", "fed tub 9 on saturday morning"),
        ("wendesday evneing", "wednesday evening"),
        ("2 dead of hte viurs", "2 dead of the virus"),
        ("1 A dead, spdier", "1 a dead, spider"),
        ("two more otu, both femlae", "two more out, both female"),
        ("put them on teh shellf tub", "put them on the shelf tub"),
        ("12 nettle stmes", "12 nettle stems"),
        ("moved into the bgi tnet", "moved into the big tent"),
        ("cleaned the shlef tub", "cleaned the shelf tub"),
    ],
)
def test_a_slip_is_the_word_it_was_meant_for(typed, plain):
    assert read(typed).plain == plain.replace(",", "")


@pytest.mark.parametrize(
    "typed",
    [
        "gave two to Robyn next door",  # somebody's name
        "moved A to the form room",
        "the wasp nest",
        "call them maple-2",
        "a batch of bistort",
        "left in the loft",
    ],
)
def test_known_words_names_and_labels_are_left(typed):
    line = read(typed)
    assert line.plain == " ".join(line.text.casefold().replace(",", "").split())


def test_a_day_with_a_slip_is_that_day():
    (day,) = read("cleaned tub 9 yseterday").of("period")
    assert day.value.start.date() == date(2026, 6, 21)


def test_what_is_written_down_is_the_word_that_was_meant():
    line = read("one of A eaten by a spdier, I think")
    assert line.meant(0, len(line.text)) == "one of A eaten by a spider, I think"
    assert line.text == "one of A eaten by a spdier, I think"
