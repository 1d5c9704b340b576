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
        ("imperial gallon bucket, bleach one in fifty. ml?", 90.9, 4455.2, None),
        ("tub takes 6 l and a quarter of that should be bleach", 1500, 4500, None),
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


@pytest.mark.parametrize(
    ("line", "minutes"),
    [
        ("2 % bleach egg rinse, 250 ml", 2),
        ("10 % bleach for milkweed stems, 1 litre", 20),
        ("20 % bleach to soak tubs, 5 litres", 240),
        ("6 % bleach to 500 ppm to wipe the bench, 1 litre", 10),
        ("5000 ppm from 6 % bleach after a virus, 2 litres", 30),
        ("2 % bleach for a chrysalis, 1 litre", None),
    ],
)
def test_the_contact_time_is_that_of_what_is_soaked(line, minutes, place):
    assert told(line, place).values["contact_time"].value == minutes


def test_a_mix_too_strong_for_eggs_says_so_at_once(place):
    assert "too strong for eggs" in told("500 ml of 5 % bleach to wash monarch eggs", place).text.splitlines()[1]
    assert "too strong" not in told("2 % bleach egg rinse, 250 ml", place).text


@pytest.mark.parametrize(
    "line", ["is bleach mixed last week still good", "does bleach go off once diluted", "how long does mixed up bleach keep"]
)
def test_how_long_a_mix_keeps(line, place):
    assert told(line, place).values["keeps"].value == 24 * 60


@pytest.mark.parametrize(
    ("line", "stock", "total"),
    [
        ("dilute 100 ml of 6 % bleach down to 1000 ppm", 100, 6000),
        ("weaken 1 l of 6 % to 1 %", 1000, 6000),
        ("dilute 7.5 % bleach to 2500 ppm, 900 ml", 30, 900),
        ("make 100 ml of 10 % bleach", 10, 100),
    ],
)
def test_a_volume_to_be_diluted_is_the_stock(line, stock, total, place):
    answer = told(line, place)
    assert answer.values["stock_volume"].value == pytest.approx(stock)
    assert answer.values["total_volume"].value == pytest.approx(total)


@pytest.mark.parametrize(
    ("lines", "stock", "total", "ppm"),
    [
        (["how much bleach for 1000 ppm", "6 %", "in 5 litres"], 83.33, 5000, 1000),
        (["I want 0.5 % hypochlorite, 2 litres", "from 6 %"], 166.67, 2000, 5000),
        (["10 % bleach, half a litre", "the label says 6 %"], 50, 500, 6000),
        (["10 % bleach, half a litre", "the label says 6 %", "make it 1:20"], 25, 500, 3000),
        (["1500 ppm, 4 litres", "oh it's 6% on the side of the jug"], 100, 4000, 1500),
        (["10 % bleach, 2 litres", "sorry the bottle says 5% on the label"], 200, 2000, 5000),
        (["6 % stock to 600 ppm, 1 litre", "oops the tub is actually 3 litres"], 30, 3000, 600),
        (["6 % stock to 600 ppm, 2 litres", "lets make that a bit weaker, 300 ppm"], 10, 2000, 300),
        (["5 % stock to 0.1 %, 20 litres", "and for 10 litres", "what if the stock is 8.25 %"], 121.21, 10_000, 1000),
    ],
)
def test_lines_that_go_on(lines, stock, total, ppm, place):
    context = Context()
    for line in lines:
        request = understand(line, place, context)
        answer = dilution(request, place)
        context.remember(request, answer)
    assert answer.values["stock_volume"].value == pytest.approx(stock, rel=1e-3)
    assert answer.values["total_volume"].value == pytest.approx(total)
    assert answer.values["strength"].value == pytest.approx(ppm)


# ---------------------------------------------------------------------- what is there already


@pytest.mark.parametrize(
    ("line", "ppm", "total"),
    [
        ("400 ml at 1000 ppm poured into 600 ml at 500 ppm, how strong is it", 700, 1000),
        ("topped up 500 ml of 3000 ppm with 1 l of water, strength now", 1000, 1500),
        ("1 litre of 2000ppm plus 3 litres of water, what ppm", 500, 4000),
    ],
)
def test_mixes_poured_together(line, ppm, total, place):
    values = told(line, place).values
    assert values["strength"].value == pytest.approx(ppm) and values["total_volume"].value == pytest.approx(total)


@pytest.mark.parametrize(
    ("line", "water", "ppm"),
    [
        ("3 litres at 4000 ppm are too strong, need 1000, how much water", 9000, 1000),
        ("i mixed 2 l at 900 ppm and want 300 ppm, water to add?", 4000, 300),
        ("made 1 litre of 20% bleach, meant 5%. water to add", 3000, None),
        ("mixed it 1:10, meant 1:30, 500 ml of it, how much water", 1000, None),
    ],
)
def test_a_mix_made_weaker(line, water, ppm, place):
    values = told(line, place).values
    assert values["water_volume"].value == pytest.approx(water) and values["strength"].value == ppm


def test_a_mix_made_stronger(place):
    values = told("5 l of 500 ppm bleach is too weak, need 1000 ppm, bottle 5%, how much more bleach", place).values
    assert values["stock_volume"].value == pytest.approx(5000 * 500 / 49_000)


@pytest.mark.parametrize(
    ("line", "total"),
    [
        ("there are 80 ml of 6% left, how far do they go at 800 ppm", 6000),
        ("got a cup of 5% bleach, how much 500 ppm will that make", 23_659),
        ("40 ml left in the bleach jug, how much 10% is that enough for", 400),
        ("3 fl oz of 5% topped up to half a gallon", 1892.7),
        ("20 ml of 6% goes into 980 ml of water, ppm?", 1000),
    ],
)
def test_stock_that_is_there_is_the_stock(line, total, place):
    assert told(line, place).values["total_volume"].value == pytest.approx(total, rel=1e-4)


def test_too_little_stock_says_how_much_it_takes_and_makes(place):
    text = told("200 ml left in the 6% bottle, is that enough for 15 litres at 1000 ppm", place).text
    assert text.startswith("No") and "250 mL" in text and "12 L" in text


def test_more_stock_than_needed_is_enough(place):
    assert told("have 400 ml of 6% left, enough for 15 litres at 1000 ppm?", place).text.startswith("Yes")


@pytest.mark.parametrize(
    ("line", "ppm"),
    [
        ("the 20% mix from 6% bleach, how strong is that in ppm", 12_000),
        ("how strong is a 10% mix of 6% bleach in ppm", 6_000),
        ("0.05 % hypochlorite, 4 litres, my stock has 5 %", 500),
        ("undiluted 5.25% bleach in ppm", 52_500),
        ("how strong is 8% bleach straight from the bottle", 80_000),
        ("is 5% bleach 50000 ppm", 50_000),
    ],
)
def test_the_stock_as_it_is(line, ppm, place):
    assert told(line, place).values["strength"].value == pytest.approx(ppm)


@pytest.mark.parametrize(
    ("line", "ppm"),
    [
        ("10% bleach and the bottle says 6, ppm?", 6000),
        ("5 percent bleach where the jug says 8.25 - how strong is that", 4125),
    ],
)
def test_a_share_with_the_label_told_without_a_sign(line, ppm, place):
    assert told(line, place).values["strength"].value == pytest.approx(ppm)


@pytest.mark.parametrize(
    "line",
    [
        "want half a litre of 8% hypochlorite but mine is 5%",
        "i need 9% hypochlorite, the bottle in my hand is 6%, 1 litre",
        "12% hypochlorite please, i have 6% bleach",
        "need 8 % hypochlorite, a litre, there is only 6 % bleach here",
        "500 ml of 6 % hypochlorite needed, only 3 % bleach in the cupboard",
        "a litre of 9% active wanted from 5.25% bleach",
        "I want 2 litres of 9 percent active, the only stuff in is 5 percent",
    ],
)
def test_nothing_stronger_than_the_stock_is_promised(line, place):
    answer = told(line, place)
    assert answer.status == "clarify" and answer.text.startswith("Water cannot make bleach stronger")


@pytest.mark.parametrize(
    "line", ["20 oz spray bottle 5% bleach", "750 ml trigger bottle at 5%", "fill a 600 ml bottle with 5% bleach mix"]
)
def test_a_bottle_to_fill_is_no_label(line, place):
    values = told(line, place).values
    assert values["stock_volume"].value == pytest.approx(0.05 * values["total_volume"].value) and values["strength"].value is None


def test_a_pool_is_no_matter_of_a_nursery(place):
    assert told("9000 litres at 1000 ppm from 6% bleach", place).status == "unknown"
