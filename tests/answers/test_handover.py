"""The page for whoever covers: each day, each enclosure, in plain words, with what to leave alone and what to do when something is wrong."""

from __future__ import annotations

import pytest

NOW = "2031-07-20T09:00"
ROWS = """when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by
2031-07-17T10:00,laid,A,,Papilio polyxenes,egg,,9,jar 2,,Foeniculum vulgare,,,
2031-07-10,found,B,,Papilio polyxenes,larva,2,5,tub 9,,Foeniculum vulgare,,,
2031-07-19T08:00,fed,,,,,,,tub 9,,,,,
2031-07-15,cleaned,,,,,,,tub 9,,,,,
2031-07-14,found,C,,Danaus plexippus,pupa,,4,shelf,,,,,
2031-07-10,found,D,,Vanessa atalanta,larva,4,3,tub 4,,Urtica dioica,,,
2031-07-19,sign,D,,,larva,,1,tub 4,,,limp and leaking,,
2031-07-18,found,E,,unknown,larva,,2,pot 1,,,,,
2031-07-18,found,F,,Danaus plexippus,adult,,1,net cage,,,,,
"""


@pytest.fixture
def page(ask, keeping):
    def asked(
        text="handover sheet for my neighbour until Wednesday", rows=ROWS, period=("2031-07-20", "2031-07-23T23:59:59"), **slots
    ):
        return ask("round", text, nursery=keeping.nursery(rows, now=NOW), period=period, said="until Wednesday", **slots)

    return asked


def section(text: str, head: str) -> str:
    """What stands under a head, up to the next empty line."""
    return text.partition(f"\n{head}")[2].partition("\n\n")[0]


def test_it_says_until_when_and_for_how_many(page):
    answer = page()
    # 20, 21, 22 and 23 July; 9 + 5 + 4 + 3 + 2 + 1 animals in six enclosures
    assert answer.text.startswith("Handover until Wed 23 July (2031-07-23): 4 days, 6 enclosures, 24 animals.")
    assert answer.topic == "round" and answer.status == "answered"
    assert answer.values["days"].value == 4


def test_every_day_has_the_enclosures_in_the_order_of_a_careful_round(page):
    lines = section(page().text, "EVERY DAY").splitlines()[1:]
    names = [line.removeprefix("- ").partition(":")[0] for line in lines]
    assert names[-1] == "tub 4 (LAST, then wash your hands)"
    assert names.index("jar 2") < names.index("tub 9")  # eggs before larvae
    assert "fresh fennel leaf" in next(line for line in lines if "tub 9" in line)
    assert "5 caterpillars" in next(line for line in lines if "tub 9" in line)


def test_every_day_of_it_is_there_with_what_falls_on_it(page):
    text = page().text
    days = text.partition("DAY BY DAY")[2].partition("LEAVE ALONE")[0]
    for day in (
        "Sun 20 July (2031-07-20):",
        "Mon 21 July (2031-07-21):",
        "Tue 22 July (2031-07-22):",
        "Wed 23 July (2031-07-23):",
    ):
        assert day in days
    cleaning = days.partition("Tue 22 July")[2].partition("Wed 23 July")[0]
    assert "- tub 9: take out droppings" in cleaning  # cleaned on the 15th, seven days later is the 22nd
    assert "9 eggs (A) may hatch" in days


def test_what_is_not_touched_and_what_to_do_when_something_is_wrong(page):
    text = page().text
    assert "- shelf: 4 chrysalises." in section(text, "LEAVE ALONE")
    assert "changing its skin" in section(text, "IF SOMETHING IS WRONG")
    assert "limp, dark, leaking" in section(text, "IF SOMETHING IS WRONG")
    assert page().cautions


def test_no_word_of_the_trade_stands_in_the_daily_acts(page):
    text = page().text
    acts = section(text, "EVERY DAY") + section(text, "DAY BY DAY") + section(text, "LEAVE ALONE")
    for word in ("larva", "prepupa", "pupa", "instar", "moult", "cohort"):
        assert word not in acts


def test_what_the_records_lack_is_said(page):
    lacking = section(page().text, "WHAT THE RECORDS DO NOT SAY")
    assert "The plant that E eats" in lacking
    assert "What E is: no species" in lacking


def test_items_are_dated_and_within_the_days(page):
    items = page().items
    assert items and all("2031-07-20" <= item["due"] <= "2031-07-23" for item in items)
    fed = [item["due"] for item in items if item["kind"] == "feed" and item["enclosure"] == "tub 9"]
    assert fed == ["2031-07-20", "2031-07-21", "2031-07-22", "2031-07-23"]


def test_without_a_day_it_reaches_three_days(ask, keeping):
    answer = ask("round", "handover sheet for the sitter", nursery=keeping.nursery(ROWS, now=NOW))
    assert "until Wed 23 July (2031-07-23)" in answer.text


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (ROWS.splitlines()[0] + "\n2031-07-14,found,C,,Danaus plexippus,pupa,,1,shelf,,,,,\n", "1 enclosure, 1 animal"),
        (
            ROWS.splitlines()[0] + "\n2031-07-14,found,C,,Danaus plexippus,larva,,1,,,,,,\n",
            "Where C stands: no enclosure is recorded",
        ),
    ],
)
def test_one_animal_and_no_enclosure(page, rows, words):
    assert words in page(rows=rows).text


def test_what_only_the_keeper_does_is_not_asked_of_whoever_covers(page):
    """An adult among eggs is to be taken out today: that stands under the keeper's own head, not among the days."""
    text = page(rows=ROWS + "2031-07-19,found,G,,Danaus plexippus,adult,,1,jar 2,,,,,\n").text
    assert "Take 1 adult of G out of jar 2" in section(text, "FOR THE KEEPER")
    assert "Take 1 adult" not in text.partition("FOR THE KEEPER")[0]
