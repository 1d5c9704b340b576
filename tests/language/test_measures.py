"""Amounts, ratios, ranges and estimates in a line, and the words that look like them and are none."""

from __future__ import annotations

from datetime import datetime

import pytest
from conversation import nursery, nursery_of

from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary


def spans(text, *kinds):
    place = nursery()
    return scan(text, Vocabulary.of(place), place.now, place.settings).of(*kinds)


@pytest.mark.parametrize(
    ("text", "value", "unit", "high"),
    [
        ("half a litre", 0.5, "liter", None),
        ("two and a half litres", 2.5, "liter", None),
        ("2 1/2 litres", 2.5, "liter", None),
        ("2,5 litres", 2.5, "liter", None),
        ("1,000 ppm", 1000, "ppm", None),
        ("five hundred ppm", 500, "ppm", None),
        ("5 mg/L", 5, "ppm", None),
        ("a US quart", 1.0, "quart", None),
        ("an imperial gallon", 1.0, "imperial_gallon", None),
        ("two thirds of a cup", 2 / 3, "cup", None),
        ("a cup and a half", 1.5, "cup", None),
        ("3 fl oz", 3, "fluid_ounce", None),
        ("5.25 percnt", 5.25, "percent", None),
        ("24.5c", 24.5, "degC", None),
        ("minus 4 c", -4, "degC", None),
        ("ten below zero c", -10, "degC", None),
        ("4 degrees below zero f", -4, "degF", None),
        ("64f", 64, "degF", None),
        ("about 24 degrees", 24, "degC", None),
        ("75 degrees", 75, "degF", None),
        ("68..79 F", 68, "degF", 79),
        ("79..68 F", 68, "degF", 79),
        ("28 to 20 C", 20, "degC", 28),
        ("between 20 and 25 C", 20, "degC", 25),
        ("min 62 max 81 f", 62, "degF", 81),
        ("high of 81, low 62 F", 62, "degF", 81),
        ("40 degrees north", 40, "degree", None),
        ("latitude 33.9 south", -33.9, "degree", None),
        ("1.5 in to cm", 1.5, "inch", None),
        ("1:10", 0.1, "ratio", None),
        ("one in ten", 0.1, "ratio", None),
        ("1 part bleach to 9 parts water", 0.1, "ratio", None),
        ("9 parts water to 1 part bleach", 0.1, "ratio", None),
        ("1 + 9 bleach", 0.1, "ratio", None),
        ("4 hours", 4, "hour", None),
    ],
)
def test_amounts(text, value, unit, high):
    (span,) = spans(text, "amount")
    assert (span.value.value, span.value.unit, span.value.high) == (pytest.approx(value), unit, high)
    assert span.value.said == span.said


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("~80 eggs", "estimate", 80),
        ("roughly 80 eggs", "estimate", 80),
        ("5-6 eggs", "range", (5, 6)),
        ("5 to 6 eggs", "range", (5, 6)),
        ("half a dozen eggs", "number", 6),
        ("one hundred and twenty eggs", "number", 120),
        ("a couple of eggs", "number", 2),
        ("another one died", "number", 1),
        ("2 in tub 9", "number", 2),
        ("what about 12", "number", 12),
        ("how many litres is that", "unit", "liter"),
        ("mean in F", "unit", "degF"),
    ],
)
def test_numbers_and_units(text, kind, value):
    assert [span.value for span in spans(text, kind)] == [value]


@pytest.mark.parametrize(
    "text",
    ["the first one", "which one", "that one over there", "2 in tub 9", "10 degree days", "at 1:10 pm", "how many days till they hatch", "I have 5 cats"],
)  # fmt: skip
def test_no_amount(text):
    assert spans(text, "amount", "unit") == ()


@pytest.mark.parametrize(
    ("line", "kinds"),
    [
        ("how much is 70F in C", ["amount", "unit"]),
        ("how many F is 21C", ["unit", "amount"]),
        ("how many F are there", ["cohort"]),
        ("how many in C", ["cohort"]),
        ("it was down to 61 and up to 80 F", ["amount"]),
        ("it got up to 27, then down to 9 C", ["amount"]),
    ],
)
def test_a_lone_c_or_f_beside_degrees_is_a_scale_whatever_cohorts_there_are(line, kinds):
    rows = "when,what,cohort,species,stage,count,enclosure\n" + "".join(
        f"2026-06-01,found,{label},Danaus plexippus,egg,3,jar {label}\n" for label in "CF"
    )
    place = nursery_of(rows, datetime(2026, 6, 10, 9))
    assert [span.kind for span in scan(line, Vocabulary.of(place), place.now, place.settings).spans] == kinds


def test_a_comma_parts_two_numbers_in_words():
    place = nursery()
    spans = scan("bleach one in twenty, two litres", Vocabulary.of(place), place.now, place.settings).spans
    assert [(span.value.kind, span.value.value) for span in spans if span.kind == "amount"] == [("ratio", 0.05), ("volume", 2)]


@pytest.mark.parametrize("line", ["how many C is 71 F", "how many F are 19 C"])
def test_a_scale_beside_degrees_is_no_cohort_that_is_missing(line):
    assert spans(line, "unknown-cohort") == ()
