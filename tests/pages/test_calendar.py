"""The calendar as text: who is in it, in which order, and every date in words."""

from __future__ import annotations

from datetime import datetime

import pytest
from oracle.shelf import known, nursery

from nurserytui.pages.calendar import ALL, Page, begin, brief_words, change_words, plain, read, wave_words
from nurserytui.pages.coming_changes import Change, Wave
from nurserytui.pages.show import show
from nurserytui.records.events import Event

NOW = datetime(2031, 7, 20, 12)


def kept(*events, now=NOW):
    found = nursery([event._replace(id=str(number)) for number, event in enumerate(events)], now)
    assert not found.ledger.faults, found.ledger.faults
    return found


def labels(page: Page) -> list[str]:
    return [row.label for row in page.rows]


CAME = (
    Event("2030-05-02", "found", "old", species="Vanessa atalanta", stage="larva", count=2, enclosure="tub"),
    Event("2030-06-01", "died", "old", count=2),
    Event("2030-08-02", "found", "long", species="Papilio polyxenes", stage="pupa", count=2, enclosure="tub"),
    Event("2031-05-02", "found", "gone", species="Vanessa atalanta", stage="larva", count=2, enclosure="tub"),
    Event("2031-05-20", "released", "gone", count=2),
    Event("2031-07-02", "found", "late", species="Vanessa atalanta", stage="larva", count=2, enclosure="tub"),
    Event("2031-06-02", "found", "early", species="Vanessa atalanta", stage="larva", count=2, enclosure="tub"),
)


@pytest.mark.parametrize(
    ("which", "expected"),
    [
        ("", ["long", "early", "late", "gone"]),
        (ALL, ["long", "early", "late", "old", "gone"]),
        ("2030", ["long", "old"]),
        ("2029", []),
        ("summer", []),
    ],
)
def test_the_living_of_any_season_stand_first_then_those_that_ended_in_the_season(which, expected):
    assert labels(begin(kept(*CAME), which)) == expected


def test_a_season_that_begins_in_september_reaches_into_the_next_year():
    south = Event("2030-01-01", "setting", detail="season-start=9")
    found = kept(south, *CAME, Event("2030-10-02", "found", "spring", species="Vanessa atalanta", stage="egg", count=1))
    assert labels(begin(found)) == ["long", "spring", "early", "late", "gone"]


def test_the_demo_in_words():
    lines = "\n".join(show("calendar", known("demo")))
    assert "B: monarch (Danaus plexippus), 12 eggs in jar 2." in lines
    assert (
        "To come: hatch first Thu 18 June, middle Thu 18 June, last Fri 19 June; pupate first Thu 2 July, middle Sun 5 July"
        in lines
    )
    assert "So far: eggs: 12 laid Sun 14 June, 15:30, 12 now." in lines
    assert "E: eastern black swallowtail (Papilio polyxenes), 6 pupae in window cage.\nTo come: emerge, overdue, first" in lines
    assert "of the pupae may rest until spring: look again on Sat 1 May 2027." in lines
    assert "F: unknown, 3 larvae in sleeve on the willow.\nTo come: this cannot be forecast: its species is not known." in lines
    assert (
        "So far: larvae: 7 found Mon 11 May, none after Wed 20 May; pupae: 7 pupated between the looks of Mon 11 May and Wed 20 May, 2 now; "
        "adults: 5 emerged between the looks of Wed 20 May and Mon 1 June, none after Tue 2 June; no longer here: 5 released."
    ) in lines
    assert "So far: larvae: 1 from cohort D Sun 14 June, 1 now." in lines


def test_an_earlier_season_of_the_demo_in_words():
    lines = "\n".join(show("calendar", known("demo"), "2025"))
    assert lines.count("none left.") == 4 and "To come" not in lines
    assert (
        "kale-25: small white (Pieris rapae), none left.\nSo far: larvae: 16 found Wed 20 August 2025, none after Tue 2 September 2025; pupae: 12 "
        "pupated between the looks of Wed 20 August 2025 and Tue 2 September 2025, over the winter, none after Sun 10 May; adults: 10 emerged "
        "between the looks of Tue 2 September 2025 and Sun 12 April, none after Mon 13 April; ended Sun 10 May: 10 released, 5 died and 1 missing."
    ) in lines


def test_every_date_that_is_shown_is_in_the_words():
    page = read(known("demo"))
    text = "\n".join(plain(page))
    for row in page.rows:
        for wave in row.waves:
            for change in wave.changes:
                for one in (change.first, change.middle, change.last):
                    assert f"{one:%a} {one.day} {one:%B}" in text


def test_a_nursery_without_cohorts_says_so():
    assert show("calendar", kept())[1:] == ["No cohorts."]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            Change("hatch", datetime(2031, 7, 22, 9), datetime(2031, 7, 23), datetime(2031, 7, 24, 23)),
            "hatch first Tue 22 July, middle Wed 23 July, last Thu 24 July",
        ),
        (
            Change("emerge", datetime(2031, 12, 30), datetime(2032, 1, 2), None, overdue=True),
            "emerge, overdue, first Tue 30 December, middle Fri 2 January 2032, last later than can be foreseen",
        ),
        (
            Change("pupate", datetime(2031, 7, 22), datetime(2031, 7, 23), datetime(2031, 7, 25), alone=True),
            "pupate about Wed 23 July, nine times in ten from Tue 22 July to Fri 25 July",
        ),
        (
            Change("emerge", datetime(2031, 7, 22), datetime(2031, 7, 23), datetime(2031, 7, 25), woken=True),
            "emerge after the cold first Tue 22 July, middle Wed 23 July, last Fri 25 July",
        ),
    ],
)
def test_a_change_in_words(change, words):
    assert change_words(change, NOW) == words


def test_a_wave_in_few_words():
    first = Change("hatch", datetime(2031, 7, 22), datetime(2031, 7, 23), datetime(2031, 7, 24), overdue=True)
    then = Change("pupate", datetime(2031, 7, 30), datetime(2031, 8, 2), None)
    wave = Wave("egg", (("egg", 3),), (first, then))
    assert brief_words(wave, NOW) == "first, middle, last: hatch overdue 22, 23, 24 July; pupate 30 July, 2 August or later."
    assert wave_words(Wave("egg", (("egg", 3),)), NOW) == "being worked out."
    assert wave_words(Wave("adult", (("adult", 3),), ()), NOW) == "to be released when fit."
