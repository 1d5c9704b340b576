"""Animals handled in a season, the limit that the keeper sets, and what it leaves."""

from __future__ import annotations

import pytest

from nurserytui.answers.headcount_asked import asks_handled
from nurserytui.records.events import Event
from nurserytui.records.settings import Settings

COUNTS = [
    # text, slots, all, found
    ("how many animals have I handled this year", {}, 49, 10),  # 30 + 9 eggs laid; 2 + 1 + 1 + 6 found
    ("how many animals did I handle in 2030", {}, 32, 12),
    ("how many animals did I handle last year", {}, 32, 12),
    ("how many painted ladies have I handled this year", {"species": ["Vanessa cardui"]}, 6, 6),
]


@pytest.mark.parametrize(("text", "slots", "total", "found"), COUNTS)
def test_what_came_in_whatever_became_of_it(ask, text, slots, total, found):
    answer = ask("headcount", text, **slots)
    assert (answer.values["count"].value, answer.values["found"].value) == (total, found)
    assert f"{total} animals" in answer.text and answer.cautions
    assert sum(item["count"] for item in answer.items) == total


def limited(keeping, limit: str):
    return keeping.nursery(keeping.EVENTS + f"2031-08-01,setting,,,,,,,,,,limit={limit},,\n")


@pytest.mark.parametrize(
    ("limit", "begins", "left"),
    [
        ("60", "11 more by your limit of 60 for season 2031.", 11),
        ("50 animals a year", "1 more by your limit of 50", 1),
        ("49", "None: your limit of 49 for the season is reached.", 0),
        ("40", "None: 49 came in, 9 more than your limit of 40 for the season.", 0),
    ],
)
def test_how_many_more(ask, keeping, limit, begins, left):
    answer = ask("headcount", "how many more may I take in", nursery=limited(keeping, limit))
    assert answer.text.startswith(begins) and answer.values["left"].value == left
    assert any("permits decide" in caution for caution in answer.cautions)


def test_without_a_limit_it_is_asked_for(ask):
    answer = ask("headcount", "how many more may I take in")
    assert answer.status == "clarify" and "my limit is 50 animals a year" in answer.options
    assert answer.values["limit"].value is None and answer.values["limit"].reason


def test_an_animal_that_was_missing_is_counted_once(ask, keeping):
    rows = keeping.EVENTS.splitlines()[0] + (
        "\n2031-05-01,found,A,,Pieris rapae,larva,,10,jar,,Brassica oleracea,,,\n2031-05-03,missing,A,,,larva,,3,jar,,,,,\n"
        "2031-05-06,returned,A,,,larva,,2,jar,,,,,\n"
    )
    answer = ask("headcount", "how many animals have I handled this year", nursery=keeping.nursery(rows))
    assert answer.values["count"].value == 10


def test_a_season_that_starts_in_october_takes_two_calendar_years(ask, keeping):
    rows = keeping.EVENTS.splitlines()[0] + (
        "\n2030-01-01,setting,,,,,,,,,,season-start=October,,\n2030-09-30,found,A,,Pieris rapae,larva,,3,jar,,,,,\n"
        "2030-10-01,found,B,,Pieris rapae,larva,,4,jar,,,,,\n2031-08-01,found,C,,Pieris rapae,larva,,5,jar,,,,,\n"
    )
    answer = ask("headcount", "how many animals have I handled this season", nursery=keeping.nursery(rows))
    assert answer.values["count"].value == 9  # the season of October 2030, in which August 2031 lies


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("how many more may i take in", True),
        ("am i over my limit", True),
        ("how many animals have i", False),
        ("how many larvae fit in a 10 litre tub", False),
        ("how many did i find", False),
    ],
)
def test_which_lines_ask(text, asks):
    assert asks_handled(text) is asks


@pytest.mark.parametrize(
    ("detail", "limit"),
    [("limit=50", 50), ("limit = 50 animals a year", 50), ("limit=none", None), ("limit=many", None), ("limit=-3", None)],
)
def test_the_setting(detail, limit):
    assert Settings.of([Event("2031-01-01", "setting", detail=detail)]).limit == limit


@pytest.mark.parametrize(
    ("line", "detail"),
    [
        ("my limit is 50 animals a year", "limit=50"),
        ("limit=50", "limit=50"),
        ("set my limit to 120", "limit=120"),
        ("our quota is 30 per season", "limit=30"),
        ("no limit any more", "limit=none"),
    ],
)
def test_the_line_that_sets_it(small, tmp_path, line, detail):
    from nurserytui.assistant import Assistant
    from nurserytui.records.store import Store

    with Store.open(tmp_path / "n.db") as store:
        small.store = store
        small.refresh()
        answer = Assistant(small).reply(line, small.now)
    assert answer.status == "recorded" and small.events[-1].detail == detail


def test_a_past_year_taken_for_history_is_counted_too(ask):
    answer = ask("history", "how many did i handle in 2030")
    # 20 eggs of fennel-1 laid and 12 larvae of thistle-1 found.
    assert "32 animals handled in season 2030: 20 laid here and 12 found" in answer.text


def test_only_the_families_that_animals_came_into_are_looked_through(keeping, monkeypatch):
    from nurserytui.answers import handled

    nursery = keeping.nursery(
        keeping.EVENTS + "2032-02-01,found,new,,Danaus plexippus,egg,,4,jar 9,,,,\n", now="2032-08-10T09:00"
    )
    everything = [handled._came_in(nursery, year, handled.EVERY) for year in (2030, 2031, 2032)]
    read = []
    monkeypatch.setattr(handled, "shelf", lambda nursery, family: read.append(family) or {"entries": {}})
    handled._came_in(nursery, 2032, handled.EVERY)
    assert len(read) == 1 and [sum(one.values()) for one in everything] == [32, 49, 4]
