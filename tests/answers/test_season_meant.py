"""A season is the cohorts that began in it: asked, summed up and on its page the same animals, older ones told apart."""

from __future__ import annotations

from datetime import datetime

import pytest
from oracle.shelf import nursery

from nurserytui.answers.tasks import tasks
from nurserytui.assistant import Assistant
from nurserytui.pages.season import plain, read
from nurserytui.records.events import Event

NOW = datetime(2031, 8, 10, 9)
OLD = (
    Event("2030-08-01", "found", "old", species="Pieris rapae", stage="larva", count=9, enclosure="tub"),
    Event("2030-08-20", "pupated", "old", count=8),
    Event("2030-08-21", "died", "old", stage="larva", count=1, detail="virus"),
    Event("2031-04-12", "emerged", "old", count=6),
    Event("2031-04-13", "released", "old", count=6),
    Event("2031-05-10", "died", "old", count=2, detail="dried up"),
)
NEW = (
    Event("2031-07-01", "found", "new", species="Pieris rapae", stage="larva", count=7, enclosure="jar"),
    Event("2031-07-10", "died", "new", count=3, detail="spider"),
    Event("2031-07-14", "pupated", "new", count=4),
    Event("2031-07-24", "emerged", "new", count=3),
)


def kept(*events, now=NOW):
    found = nursery([event._replace(id=str(number)) for number, event in enumerate(events)], now)
    assert not found.ledger.faults, found.ledger.faults
    return found


@pytest.mark.parametrize(
    ("said", "count", "first", "older"),
    [
        ("how many died this season", 3, "3 deaths of season 2031: 3 spider.", "In 2031, of season 2030: 2 died (old)."),
        (
            "how many adults emerged this season",
            3,
            "3 adults of season 2031 emerged.",
            "In 2031, of season 2030: 6 emerged (old).",
        ),
        ("how many were released this season", 0, "0: none released by the records of season 2031.", "6 released (old)."),
        ("how many died last season", 3, "3 deaths of season 2030: 2 dried up and 1 virus.", ""),
        ("how many died in 2031", 5, "5 deaths in 2031:", ""),
        ("how many died of virus this season", 0, "0 deaths put down to virus of season 2031 in the records.", ""),
    ],
)
def test_a_season_counts_the_cohorts_that_began_in_it(said, count, first, older):
    answer = Assistant(kept(*OLD, *NEW)).reply(said)
    assert answer.text.startswith(first), answer.text
    assert answer.values["count"].value == count
    assert older in answer.text and ("In 2031, of season" in answer.text) is bool(older)


def test_the_page_of_the_season_counts_the_same():
    here = kept(*OLD, *NEW)
    page = read(here)
    assert page.causes == (("spider", 3),) and page.older == "In 2031, of season 2030: 2 died (old)."
    assert {(row.what, row.first, row.animals) for row in page.dates} >= {("adult", "2031-07-24", 3), ("in", "2031-07-01", 7)}
    assert not any(row.first.startswith("2031-04") for row in page.dates)
    assert page.older in " ".join(" ".join(plain(page)).split())
    before = read(here, "2030")
    assert ("adult", "2031-04-12", 6) in {(row.what, row.first, row.animals) for row in before.dates}
    assert dict(before.causes) == {"dried up": 2, "virus": 1} and not before.older


def test_none_of_the_season_has_died_does_not_say_that_none_has():
    words = " ".join(" ".join(plain(read(kept(*OLD, NEW[0])))).split())
    assert "None of season 2031 has died by the records." in words and "In 2031, of season 2030: 2 died (old)." in words


def test_the_summary_tells_older_animals_apart():
    text = Assistant(kept(*OLD, *NEW)).reply("summary of the season").text
    assert "In 2031, of season 2030: 6 emerged (old)." in text and "2 died (old)" in text
    assert "first adult small white on Thu 24 July" in text


WASP = Event("2031-08-09T08:00", "died", "w", stage="larva", count=1, enclosure="tub 3", detail="wasp")
LARVAE = Event("2031-08-06T08:00", "found", "w", species="Pieris rapae", stage="larva", instar=5, count=3, enclosure="tub 3")


@pytest.mark.parametrize(
    ("change", "sure"),
    [
        ({}, False),
        ({"detail": "killed by a wasp"}, False),
        ({"detail": "parasitoid wasps"}, True),
        ({"detail": "Cotesia wasp"}, True),
        ({"note": "cocoons beside it"}, True),
        ({"note": "in the morning"}, False),
    ],
)
def test_a_death_by_a_wasp_is_no_emergence_of_wasps(change, sure):
    here = kept(LARVAE, WASP._replace(**change))
    (task,) = (task for task in tasks(here, here.now) if task.kind == "wasps")
    assert task.label.startswith("Catch the wasps loose" if sure else "Look in tub 3 whether small wasps came out of the dead")
    assert ("they came out on" in task.reason) is sure and ("not whether any came out" in task.reason) is not sure
    watch = [task for task in tasks(here, here.now) if task.kind == "watch"]
    assert watch and all(("w likely" in task.reason) is sure for task in watch)
    done = Event("2031-08-10T08:30", "checked", enclosure="tub 3", detail="no wasps")
    here = kept(LARVAE, WASP._replace(**change), done)
    assert not any(task.kind == "wasps" for task in tasks(here, here.now))
