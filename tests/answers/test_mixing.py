"""What is poured, from the line as typed: the volumes, the strength, and the questions back."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import pytest

from nurserytui.answers.mixing import dilution
from nurserytui.knowledge.base import load
from nurserytui.language.context import Context
from nurserytui.language.understand import understand
from nurserytui.records.ledger import replay
from nurserytui.records.settings import Settings


@pytest.fixture(scope="module")
def place():
    ledger = replay([], until=datetime(2026, 6, 22))
    return SimpleNamespace(
        events=ledger.events, ledger=ledger, settings=Settings(), now=datetime(2026, 6, 22, 9), knowledge=load(), version=1
    )


def told(line, place):
    request = understand(line, place, Context())
    assert request.topic == "dilution", request.topic
    return dilution(request, place)


@pytest.mark.parametrize(
    ("line", "stock", "water", "ppm"),
    [
        ("how much bleach for a 2 cup dish at 10%", 47.3, 425.9, None),
        ("10% bleach in 3 litres", 300, 2700, None),
        ("1:20 bleach 4 L", 200, 3800, None),
        ("1 part bleach 9 parts water, 2 quarts", 189.3, 1703.4, None),
        ("how much 6% bleach for 1000 ppm in 2 gallons", 126.2, 7444.6, 1000),
        ("8.25% bleach, 5000 ppm, 500 ml sprayer", 30.3, 469.7, 5000),
        ("20% bleach, 5 litre tub, stock 5.25%", 1000, 4000, 10_500),
        ("0.5% hypochlorite from 6% stock, 1 L", 83.3, 916.7, 5000),
        ("0.1% from 5% for 20 litres", 400, 19_600, 1000),
        ("how much bleach in an imperial gallon for 1:10", 454.6, 4091.5, None),
        ("i put 2 tbsp of 7.5% bleach in a pint of water, how strong", 29.57, 473.2, 4412),
        ("400 ml bleach made up to 20 L, 5%", 400, 19_600, 1000),
        ("is it 1000 ppm if i put 1/3 cup of 5.25% in an imperial gallon of water", 78.9, 4546.1, 895),
        ("30 ml of bleach in 270 ml of water, is that 10%", 30, 270, None),
        ("i've got 200 ml of 5.25% bleach left, how much 2000 ppm can i make", 200, 5050, 2000),
        ("100 ml of 6% bleach how much water for 1000 ppm", 100, 5900, 1000),
    ],
)
def test_volumes(line, stock, water, ppm, place):
    answer = told(line, place)
    assert answer.status == "answered"
    assert answer.values["stock_volume"].value == pytest.approx(stock, rel=0.002)
    assert answer.values["water_volume"].value == pytest.approx(water, rel=0.002)
    if ppm is None:
        strength = answer.values["strength"]
        assert strength.value is None and strength.low < strength.high
    else:
        assert answer.values["strength"].value == pytest.approx(ppm, rel=0.002)
    cautions = " ".join(answer.cautions).casefold()
    for word in ("never mix", "gloves", "eye", "air the room", "label", "local rules"):
        assert word in cautions


@pytest.mark.parametrize(
    "line",
    [
        "1000 ppm bleach in a gallon",
        "10% hypochlorite 1 litre",
        "9% hypochlorite from 6% stock, 1 L",
        "70000 ppm from 6% bleach, 2 L",
    ],
)
def test_what_is_lacking_or_impossible_is_asked(line, place):
    answer = told(line, place)
    assert answer.status == "clarify" and answer.options
    assert not any(value.value for name, value in answer.values.items() if name == "stock_volume")


def test_soaking_times_of_bleach_are_not_told_for_alcohol(place):
    answer = told("70% alcohol from 95%, 500 ml", place)
    assert answer.values["stock_volume"].value == pytest.approx(368.4, rel=0.001)
    assert answer.values["contact_time"].value is None
    assert "never mix" in answer.cautions[0].casefold()
    assert not any("unscented" in each for each in answer.cautions)
