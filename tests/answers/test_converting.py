"""Conversions and plain sums, from the line as typed."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import pytest

from nurserytui.answers.converting import convert
from nurserytui.knowledge.base import load
from nurserytui.language.request import Request
from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary
from nurserytui.records.ledger import replay
from nurserytui.records.settings import Settings


def told(line):
    now = datetime(2026, 6, 22, 9)
    place = SimpleNamespace(ledger=replay([], until=now), settings=Settings(), knowledge=load(), now=now)
    read = scan(line, Vocabulary(place), now, place.settings)
    amounts = tuple(span.value for span in read.of("amount"))
    target = next((span.value for span in read.of("unit")), "")
    return convert(Request(line, "convert", amounts=amounts, target_unit=target, plain=read.plain), place)


@pytest.mark.parametrize(
    ("line", "value", "unit"),
    [
        ("75 F in C", 23.889, "C"),
        ("what is -40 c in fahrenheit", -40, "F"),
        ("24 degrees in F", 75.2, "F"),
        ("75 degrees in celsius", 23.889, "C"),
        ("how many ml in an imperial pint", 568.261, "mL"),
        ("2 US gallons in imperial gallons", 1.66535, "imperial gallon"),
        ("how many teaspoons in a tablespoon", 3, "US tsp"),
        ("0.5 % in ppm", 5000, "ppm"),
        ("2 hours in minutes", 120, "min"),
        ("6 caterpillars at 3 leaves each", 18, "leaves"),
        ("12 leaves a day for 2 weeks", 168, "leaves"),
        ("split 20 leaves between 5 larvae", 4, "leaves"),
        ("12 percent of 50", 6, ""),
        ("half of 3 litres", 1.5, "L"),
        ("2 litres plus 500 ml", 2.5, "L"),
        ("what is (3 + 2) * 4?", 20, ""),
        ("80 eggs minus 12", 68, "eggs"),
    ],
)
def test_results(line, value, unit):
    answer = told(line)
    assert answer.status == "answered"
    assert answer.values["result"].value == pytest.approx(value, rel=1e-4) and answer.values["result"].unit == unit
    assert answer.working


def test_a_range_keeps_both_ends():
    result = told("70-80 F in C").values["result"]
    assert (result.low, result.high) == (pytest.approx(21.11, abs=0.01), pytest.approx(26.67, abs=0.01))


@pytest.mark.parametrize("line", ["5 ml in cm", "10 / 0", "-500 c in f", "9**9**9", "5 days", "5 wombats", "hello"])
def test_what_cannot_be_told_is_not(line):
    answer = told(line)
    assert answer.status in ("clarify", "unknown") and not answer.values
