"""Amounts as they are typed, all in one conversation (so that whole lines also stand alone): bare per cents, several vessels, boxes, sums,
units that come first, and lines that change one number."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store


@pytest.fixture(scope="module")
def assistant(tmp_path_factory):
    with Store.open(tmp_path_factory.mktemp("amounts") / "n.db") as store:
        yield Assistant(Nursery(store, load(), datetime(2026, 6, 22, 9)))


def last(assistant, lines):
    for line in lines.split(" // "):
        answer = assistant.reply(line)
    return answer


@pytest.mark.parametrize(
    ("lines", "stock"),
    [
        ("91 percent isopropyl down to 70 percent 250 ml", 192.3),
        ("6% bleach to 500 ppm 2 l // and with 7.5", 13.33),
        ("6% bleach to 500 ppm 2 l // suppose the carton is 5", 20),
        ("5% bleach 2 l // scale it to 3 l", 150),
        ("6% bleach, 500 ppm, V = 3 l // V = 600 ml?", 5),
        ("1000 ppm bleach, 3 l: how much stock // stock = 5 %", 60),
        ("5% bleach 2 l // scale down to 400 ml please", 20),
        ("bleahc 5% 3 l", 150),
        ("20 % of belach, a litre", 200),
        ("99% alcohol to 70, 250ml", 176.8),
        ("99 to 70% alcohol 250 ml", 176.8),
        ("from 90% to 70% isopropyl, 250 ml total", 194.4),
        ("12% peroxide -> 3%, 2 litres", 500),
        ("peroxide: have 12%, want 3%, make 1 litre", 250),
        ("dilute 9% peroxide down to 3 for a litre", 333.3),
        ("70 percent from 99, half a litre of alcohol", 353.5),
        ("one to ten bleach in all, 500 ml", 50),
        ("one to nine bleach to water, 1 litre total", 100),
        ("one part in ten bleach, 1 litre", 100),
        ("ten to one water to bleach, 2.2 litres", 200),
        ("9:1 water to bleach 500 ml", 50),
        ("1/10 bleach 5 l", 500),
        ("a tenth bleach, 5 l bucket", 500),
        ("fill two 5 litre buckets with 10% bleach, how much bleach altogether", 1000),
        ("3 spray bottles of 500 ml each at 20% bleach, bleach in all", 300),
        ("three 1 l jars at 5% bleach, total bleach", 150),
        ("2 x 750 ml at 1:10 bleach", 150),
        ("1:10 bleach one us gallon, in cups", 378.5),
        ("10% bleach 800 ml // no, 1.6 litres", 160),
        ("10% bleach 800 ml // 5% i meant", 40),
        ("8.25% bleach to 1000 ppm 4 l // its 6% actually, and 5 l", 83.3),
        ("1000 ppm from 6% 500 ml // double it", 16.7),
        ("1000ppm 4 litres bleach is 6%", 66.7),
        ("500 ppm, 4 l, 6% label", 33.3),
        ("20% bleach half a us gallon", 378.5),
        ("1 litre of half bleach half water", 500),
        ("how much water and bleach for 600 ml of 1 to 4", 120),
        ("1:100 half a us gallon bleach", 18.93),
        ("0.2% bleach 1 litre", 2),
        ("1 us pint of 10 percent bleach", 47.3),
        ("20% bleach, 2 uk pints", 227),
        ("need 2 litres of 10 percent bleach how much bleach goes in", 200),
        ("9% bleach half a litre", 45),
        ("600ml one in ten", 60),
        ("2% bleach 1 us gallon", 75.7),
        ("bleach 5% 5l", 250),
        ("4 litres @ 2% bleach", 80),
        ("a tenth bleach, 1 litre", 100),
        ("1:16 bleach for a litre", 62.5),
        ("for 1 litre of 1:50 bleach i need what", 20),
        ("2 litres, 20% bleach", 400),
        ("20pct bleach / 2 l", 400),
        ("1 litre 5000 ppm from 5.25", 95.24),
        ("10000 ppm out of 8.25% 1 l", 121.2),
        ("0.5% from 6% one litre", 83.3),
        ("0.4% hypochlorite from 6%, 1L", 66.7),
        ("make 1 L of 3% peroxide from 6", 500),
        ("70% ipa from 98%, 1 litre", 714.3),
        ("half litre 70 pct isopropanol from 91 pct", 384.6),
        ("70% ethanol from 95% ethanol half a litre", 368.4),
        ("1% bleach 3 l", 30),
        ("1% bleach 3 l // make that 2 l", 20),
        ("1% bleach 3 l // only half a percent", 15),
        ("1% bleach 3 l // 5% sorry", 150),
        ("1% bleach 3 l // for 6 l instead", 60),
        ("1% bleach 3 l // what about 6 litres", 60),
        ("1% bleach 3 l // and 4%", 120),
        ("1% bleach 3 l // 0.4 us gallons", 15.14),
        ("1:10 bleach 3 l // 1 in 10 right", 300),
        ("1:10 bleach 3 l // and one in twenty?", 150),
        ("1:10 bleach 3 l // 1:50", 60),
        ("1000 ppm from 6% 3 l // 2000", 100),
        ("1000 ppm from 6% 3 l", 50),
        ("1000 ppm from 6% 3 l // 500 ppm", 25),
        ("1000 ppm from 6% 3 l // if its 5.25", 57.1),
        ("1000 ppm from 6% 3 l // what if the bottle is 8.25%", 36.4),
        ("70% alcohol from 99% 500 ml // and 300 ml", 212.1),
        ("70% alcohol from 99% 500 ml // 50%", 252.5),
        ("10% bleach 3 l // 20%", 600),
        ("1:8 bleach for three litres", 375),
        ("bleach 1:20, 3l please", 150),
        ("can you do me half a litre of one-in-ten bleach", 50),
        ("5 dl of 10 % bleach", 50),
        ("1 part bleach to 3 parts water 3 litres", 750),
        ("bleach and water 1 to 3, a litre", 250),
        ("half and half bleach water 2 litres", 1000),
        ("2 litres at 10 percent household bleach by volume", 200),
        ("10ml of 6% bleach made up to 1 l, what ppm", 10),
        ("10% bleach for a 250 ml spray bottle", 25),
        ("ten percent bleach solution, one litre", 100),
        ("how much 6 % bleach for 500 ml at 5000 ppm", 41.67),
        ("5.25% bleach: 820 ppm in a litre", 15.63),
        ("1% bleach in a us gallon", 37.85),
        ("20% bleach, 1 imperial pint... no wait 0.8 imperial pints", 90.92),
        ("us gallon of 10 percent bleach", 378.5),
        ("10 % bleach in five us quarts", 473.2),
        ("bleach 12.5% imperial pint", 71),
        ("1 in 16 bleach, 2 us cups", 29.57),
        ("2500 ppm half a litre bleach label 6%", 20.83),
        ("1 in 1000 bleach us gallon", 3.79),
        ("5000 ppm from 6% in 1000 ml", 83.3),
        ("12% -> 6% peroxide 1 l", 500),
        ("peroxide 3% from 5% 1 litre", 600),
        ("80 % alcohol, have 95, need 300 ml", 252.6),
        ("i have 95% alcohol and want 80% 300 ml", 252.6),
        ("95% alcohol, i need 300 ml at 80%", 252.6),
        ("from 30% peroxide to 2% in one litre", 66.7),
        ("15 ml bleach in 1 l water ppm at 8.25%", 15),
        ("2 % bleach 75ml", 1.5),
        ("2 x 5 l buckets 10% bleach, total", 1000),
        ("four 500 ml bottles of 10% bleach, how much bleach in total", 200),
        ("1 in 25 bleach. one litre.", 40),
        ("bleach 1 ml per 250ml water for a litre", 4),
        ("100 ml bleach topped up with 900 ml water, strength", 100),
        ("a 2% bleach bath, litre", 20),
        ("enough for 6 trays, 500 ml each at 2000 ppm from 6%", 100),
        ("made up 4 l using 50 ml of 5%, strength?", 50),
        ("i poured 200 ml into 1.8 litres is that 10 percent", 200),
        ("prepare 2 l of 10% bleach in a 6 l bucket", 200),
        ("bleach: 3 litres: 5 percent", 150),
        ("1.2 L 20% bleach soak for pop-up cage", 240),
        ("20 prcent bleach 300ml", 60),
        ("2.5 litres of 10% bleach, how much bleach n how much water", 250),
        ("got 150 ml bleach left, how much water for 10 %", 150),
        ("fivteen pecent bleach, two lirtes", 300),
        ("hlaf a liter of 10% bleech", 50),
        ("tow litres of ten perecnt bleach", 200),
        ("10 % bleach, quater of a litre", 25),
        ("750 ml of 10 % bleach // what abt 1 in 30", 25),
        ("750 ml of 10 % bleach // half as strong?", 37.5),
        ("750 ml of 10 % bleach // and 1 to 14?", 50),
        ("750 ml of 10 % bleach // how much would that be for 2 l", 200),
        ("750 ml of 10 % bleach // the jug says 8.25 % // what would it be at 1 in 15", 50),
        ("2 liters of 2000 ppm with 6 % bleach // and if it only has 4%", 100),
        ("2 liters of 2000 ppm with 6 % bleach // ours has just 3.2 %", 125),
        ("2 liters of 2000 ppm with 6 % bleach // twice the strength", 133.3),
        ("2 l of 0.5 % from a 5 % bottle // what if it's 12.5 %", 80),
        ("2 l of 0.5 % from a 5 % bottle // and with 4 % only", 250),
        ("my can says 13 % sodium hypochlorite. how much of it for 4 l with 1 %", 307.7),
    ],
)
def test_what_is_poured(assistant, lines, stock):
    answer = last(assistant, lines)
    assert answer.status == "answered" and answer.topic == "dilution"
    assert answer.values["stock_volume"].value == pytest.approx(stock, rel=0.006)


@pytest.mark.parametrize(
    ("lines", "ppm"),
    [
        ("30 ml of bleach topped up to 2 litres, the 8.25 kind, ppm?", 1237.5),
        ("1:20 with the 6 percent stuff what ppm", 3000),
        ("6% bleach at 1:30, how strong", 2000),
    ],
)
def test_how_strong_it_is(assistant, lines, ppm):
    assert last(assistant, lines).values["strength"].value == pytest.approx(ppm)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ("1:10 bleach one us gallon, in cups", "1.6 US cups of bleach"),
        ("1 in 10 bleach half a us gallon // how many cups of bleach is that", "0.8 US cups of bleach"),
        ("10% bleach 1 l // and in tablespoons", "6.763 US Tbsp of bleach"),
    ],
)
def test_the_volume_in_the_unit_that_is_asked_for(assistant, lines, said):
    assert said in last(assistant, lines).text.splitlines()[0]


@pytest.mark.parametrize(
    ("lines", "result"),
    [
        ("how many tsp in 1/4 cup", 12),
        ("half a pint (uk) in ml", 284.1),
        ("24 pupae, 4 to a box, how many boxes", 6),
        ("ml in 3/4 cup", 177.4),
        ("cm in 7 in", 17.78),
        ("oz in 1/4 lb", 4),
        ("what is 70 f in c // 100?", 37.78),
        ("30 c in old money", 86),
        ("3 litres in old money", 0.66),
        ("1500 ppm as a percentage", 0.15),
        ("only a tablespoon to hand, how many for 60 ml", 4.06),
        ("how many 200 ml jars does 3 litres fill", 15),
        ("eight trays with fifteen on each, total?", 120),
        ("90 shared among 12 crates, how many apiece", 7.5),
        ("40 between 5 pots how many each", 8),
        ("4 stems evry day for 6 days how many is that", 24),
        ("if seven larvae get through 5 leaves apiece how many leaves is that", 35),
        ("33 take away 8", 25),
        ("double 400 ml", 800),
        ("6 out of 24 as a percentage", 25),
        ("the freezer dial says 14 f, turn that into c please", -10),
        ("10 c in f // 15", 59),
        ("inches to cm 5", 12.7),
        ("f to c 76", 24.44),
        ("c to f: 25", 77),
        ("cups in ml 2", 473.2),
        ("350 ml to oz", 11.83),
        ("inch in cm", 2.54),
        ("30 x 30 x 60 cm in litres", 54),
        ("volume of a 30cm cube in litres", 27),
        ("how big in litres is a tent 36 x 36 x 50 cm", 64.8),
        ("40 x 30 x 50 cm box in us gallons", 15.85),
        ("volume of a box 50x50x50", 125),
        ("tank 60cm x 40cm x 20cm how many litres", 48),
        ("1 ft x 1 ft x 2 ft cage volume", 56.63),
        ("500 ml plus 1.2 l in ml", 1700),
        ("0.5 l + 1.2 l", 1.7),
        ("4 lots of 500 ml and another 250 ml", 2250),
        ("250 ml and 1 litre together in ml", 1250),
        ("2 litres minus 350 ml in ml", 1650),
        ("0.75 l / 5 in ml", 150),
        ("6 caterpillars at 2 leaves a day for a week", 84),
        ("5 larvae x 4 leaves x 7 days", 140),
        ("12 caterpillars 5 leaves each", 60),
        ("1 1/4 inch in cm", 3.175),
        ("four and a half cm in mm", 45),
        ("half a us gallon in ml", 1893),
        ("half cup in ml", 118.3),
        ("10 us quarts in l", 9.46),
        ("half an imperial gallon ml", 2273),
        ("500ml in us quarts", 0.5283),
        ("litre in imperial pints", 1.76),
        ("thirty celsius in fahrenheit", 86),
        ("10 degrees celsius fahrenheit", 50),
        ("4 oz in grams", 113.4),
        ("0.8 percent in ppm", 8000),
        ("500 ppm in percent", 0.05),
        ("whats 72f", 22.2),
        ("37 c to f", 98.6),
        ("61 f to celsius", 16.1),
        ("0f in c", -17.8),
        ("0 c to f", 32),
        ("76°F in °C", 24.4),
        ("59 F -> C", 15),
        ("an ounce in grams", 28.35),
        ("1 lb in grams", 453.6),
        ("1 kg in lb", 2.2),
        ("a foot in cm", 30.48),
        ("6cm in inches", 2.36),
        ("3/4 inch in mm", 19.05),
        ("quarter inch in mm", 6.35),
        ("2cm in inches", 0.79),
        ("tbsp in ml", 14.79),
        ("how many ml in a teaspoon", 4.93),
        ("ml in a us gallon", 3785),
        ("ml in an imperial gallon", 4546),
        ("cup to ml", 236.6),
        ("how many tablespoons in a cup", 16),
        ("a litre in us quarts", 1.06),
        ("1 litre in fl oz", 33.8),
        ("1.5 oz in ml", 44.36),
        ("5000 ml to litres", 5),
        ("2.5 l in ml", 2500),
        ("1 week in hours", 168),
        ("3 days in hours", 72),
        ("1% in ppm", 10000),
        ("1000 ppm as percent", 0.1),
        ("8 x 7", 56),
        ("39 / 3", 13),
        ("12 * 4", 48),
        ("12 + 15", 27),
        ("6 caterpillars times 4", 24),
        ("12 cats x 8 leaves", 96),
        ("14 larvae x 6 leaves each", 84),
        ("20 larvae at 2 leaves a day each for a week", 280),
        ("5 leaves a day for 12 days", 60),
        ("15 cats at 7 stems each", 105),
        ("500 ml plus 1 l in ml", 1500),
        ("1.25 l plus 750 ml", 2),
        ("total of 500 ml, 700 ml and 800 ml in ml", 2000),
        ("6 bottles of 300 ml", 1800),
        ("3 x 1.5 l in ml", 4500),
        ("2.5 l / 4 in ml", 625),
        ("2 l minus 1.5 l in ml", 500),
        ("1 litre less 100 ml in ml", 900),
        ("30 x 30 x 30 cm how many litres", 27),
        ("24 x 12 x 24 inches in litres", 113.3),
        ("24 x 12 x 24 inches in us gallons", 29.9),
        ("20cm cube litres", 8),
        ("1m x 1m x 1m litres", 1000),
        ("jar 16 cm across and 30 cm tall how many litres", 6.03),
        ("box 60 by 40 by 30 in litres", 72),
        ("18 x 12 x 14.4 inch box capacity in litres", 50.97),
        ("40 degrees c as f", 104),
        ("70 degrees fahrenheit is what", 21.1),
        ("50f celsius please", 10),
        ("20 degrees f in c", -6.7),
        ("sixty five f to c", 18.3),
        ("eighty degrees fahrenheit in celsius", 26.7),
        ("one inch in mm", 25.4),
        ("18in in cm", 45.7),
        ("30cm to inches", 11.8),
        ("5 cm in inches", 1.97),
        ("3 ft in cm", 91.44),
        ("2 m in feet", 6.56),
        ("2.5 us gal in litres", 9.46),
        ("2.5 imp gal in litres", 11.36),
        ("2 imperial pints in ml", 1136.5),
        ("2 us pints in ml", 946.4),
        ("2 tbsp in ml", 29.57),
        ("2 metric teaspoons in ml", 10),
        ("3 metric tablespoons in ml", 45),
        ("an australian tablespoon in ml", 20),
        ("250 ml in metric cups x 8", 8),
        ("250 ml in us fl oz", 8.45),
        ("2.5 oz in g", 70.87),
        ("100 g in oz", 3.53),
        ("0.5 days in hours", 12),
        ("4 days in hours", 96),
        ("3.5 x 5", 17.5),
        ("100/8", 12.5),
        ("5 jars at 6 leaves each", 30),
        ("9 larvae x 5", 45),
        ("9 cats need 7 leaves each", 63),
        ("7 leaves each for 18 caterpillars", 126),
        ("10 cats 3 leaves each a day for a week", 210),
        ("10 litres split 4 ways in litres", 2.5),
        ("1 l / 4", 0.25),
        ("1 litre divided by 3 in ml", 333.3),
        ("half a litre divided by 3 in ml", 166.7),
        ("4 x 250ml", 1000),
        ("750 ml x 2 in litres", 1.5),
        ("1.5 l and 1.5 l together in litres", 3),
        ("40x40x40 cm in litres", 64),
        ("how many litres is 40x40x60", 96),
        ("50cm cube, how many litres", 125),
        ("20x20x30cm, litres?", 12),
        ("16 x 16 x 21.6 inches, liters", 90.6),
        ("a jar 10 cm across and 15 cm tall, volume in litres", 1.18),
        ("17 larvae multiplied with 4 leaves", 68),
        ("2 gallns in litres", 7.571),
        ("100 sq cm in sq inch", 15.5),
        ("4 feet 3 inches in cm", 129.54),
        ("2 lb 4 oz in grams", 1020.6),
        ("five below zero C in F", 23),
        ("20 degrees below zero F in C", -28.9),
        ("10 C below zero in F", 14),
        ("six imperial pints, that comes to in litres", 3.41),
        ("how many C is 68 F", 20),
        ("what F is 15 C", 59),
    ],
)
def test_what_it_comes_to(assistant, lines, result):
    answer = last(assistant, lines)
    assert answer.status == "answered" and answer.topic == "convert"
    assert answer.values["result"].value == pytest.approx(result, rel=0.006)


def test_the_share_asked_for_before_becomes_no_label(assistant):
    """`10 % bleach` is a share: a later `1 in 40` replaces it, and no strength is reckoned from a stock of 10 %."""
    assert last(assistant, "1 l of 10 % bleach // and 1 in 40").values["strength"].value is None


def test_how_long_the_last_mix_must_act_and_keeps(assistant):
    assert last(assistant, "2 l of 20 % bleach for the tubs // how long must it act").values["contact_time"].value == 240
    assert last(assistant, "2 l of 20 % bleach for the tubs // and how long does it keep").values["keeps"].value == 1440


def test_litres_of_which_the_number_cannot_be_read_are_not_taken_for_one(assistant):
    assert last(assistant, "gnarf litres of ten percent bleach").values["stock_volume"].value is None


def test_a_product_that_nobody_knows_is_not_taken_for_bleach(assistant):
    answer = last(assistant, "scrubolin 2 % 3 litres")
    assert answer.status == "clarify" and "scrubolin" in answer.text and "label" in answer.text


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("does 1:25 mean one and twenty-four", "one part in ten in all"),
        ("what is the difference between 1:4 and 1:5", "one part in ten in all"),
        ("when can the larvae go back in after bleaching", "dry in air until no smell"),
        ("must the tubs be rinsed after the bleach", "Rinse twice"),
        ("for how many hours is mixed bleach usable", "within 24 hours"),
        ("life of a made up bleach mix", "within 24 hours"),
        ("may I store mixed bleach until sunday", "within 24 hours"),
        ("bleach and water, good for how many hours", "within 24 hours"),
        ("is diluted bleach of tuesday any use on friday", "within 24 hours"),
        ("expiry date for a blaech mix", "within 24 hours"),
        ("will the bleach mix hold over the weekend or must i make it fresh", "within 24 hours"),
        ("how long may i use a bleach mix before making a new one", "within 24 hours"),
    ],
)
def test_what_is_asked_about_mixes(assistant, line, said):
    answer = last(assistant, line)
    assert answer.status == "answered" and answer.topic == "dilution" and said in answer.text


@pytest.mark.parametrize(
    "lines",
    [
        "10% bleach 3 l // 5",
        "10% bleach 3 l // 7?",
        "bleach 3 litres // 2025",
    ],
)
def test_a_number_of_which_it_is_not_clear_what_it_replaces_is_not_guessed(assistant, lines):
    assert last(assistant, lines).status in ("clarify", "unknown")
