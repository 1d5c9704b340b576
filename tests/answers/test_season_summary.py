"""A season in sentences, against earlier ones by the same date, its first and last dates, and its degree-days."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.answers.lives import day
from nurserytui.answers.season_sums import same_day, season


def test_this_season_beside_the_last_by_the_same_date(ask):
    answer = ask("survival", "how does this season compare with last season")
    # By 10 August 2030 all was over: 20 + 12 in, 4 + 5 dead, 15 + 3 adults.
    assert answer.text.startswith(
        "By 10 August season 2031, still running, had 49 animals in, 4 dead and 0 adults emerged; "
        "season 2030 by the same date, that day included, 32 animals in, 9 dead and 18 adults emerged."
    )
    assert (
        "Dead by that date: 4 of 49 (8.2 %) against 9 of 32 (28 %) in season 2030; for the days that each was watched"
        in answer.text
    )
    assert 0 < answer.values["p"].value <= 1 and "log-rank test" in answer.working[-1]
    assert [item["name"] for item in answer.items] == ["season 2031", "season 2030"]


def test_an_earlier_season_is_cut_at_the_same_date(keeping):
    nursery = keeping.nursery(keeping.EVENTS, "2031-06-20T09:00")
    other = season(nursery, 2030, until=same_day(nursery, 2030, 2031))
    # By 20 June 2030, that day included: the four larvae given away at some time of it are gone, whatever hour it is now; no spider yet.
    assert (other.total, other.ended["died"], other.ended["given"], other.reached["adult"]) == (32, 4, 4, 15)
    assert other.here == {"larva": 8}


def test_leap_days_have_a_neighbour(keeping):
    nursery = keeping.nursery(keeping.EVENTS, "2032-02-29T09:00")
    assert day(same_day(nursery, 2031, 2032)) == datetime(2031, 2, 28)


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        (
            "summary of the season",
            (
                "Season 2031, still running: 49 animals of 4 species in 5 cohorts came in, 39 laid here and 10 found.",
                "Of those that began in it 28 hatched and 3 pupated.",
                "4 died: 2 Pteromalus wasp and 2 virus.",
                "Season 2030 by the same date had 32 animals in",
                "Still open: 45 of the season alive (11 eggs, 33 larvae and 1 pupa).",
                "too early to judge",
            ),
        ),
        (
            "summary of 2030",
            (
                "Season 2030: 32 animals of 2 species in 2 cohorts came in, 20 laid here and 12 found.",
                "First in eastern black swallowtail on Wed 1 May 2030 (2030-05-01)",
                "18 of 27 with a known fate reached adult (67 %, 95 % interval 48-81 %)",
                "9 died: 5 spider and 4 infertile; 1 missing, which is not dead; 1 escaped.",
                "There is no earlier season to compare with.",
                "Still open: ",
            ),
        ),
    ],
)
def test_summaries(ask, text, holds):
    answer = ask("survival", text)
    assert [words for words in holds if words not in answer.text] == []
    assert answer.values["rate"].level == 0.95 and answer.values["count"].value in (49, 32)


def test_a_season_without_records(ask):
    assert ask("survival", "summary of 2019").status == "unknown"


def test_the_limit_stands_in_the_summary(ask, keeping):
    nursery = keeping.nursery(keeping.EVENTS + "2031-08-01,setting,,,,,,,,,,limit=60,,\n")
    answer = ask("survival", "summary of the season", nursery=nursery)
    assert "Your limit is 60 a season: 49 are handled, 11 more remain." in answer.text and answer.cautions


DATES = [
    # text, slots, {species: item part}
    (
        "first egg of each species this year",
        {"stages": ("egg",)},
        {"Papilio polyxenes": "2031-07-20", "Pieris rapae": "2031-08-09"},
    ),
    ("first adult of each species in 2030", {}, {"Papilio polyxenes": "2030-06-05", "Vanessa cardui": "2030-07-08"}),
    ("last release by species last year", {}, {"Papilio polyxenes": "2030-06-06", "Vanessa cardui": "2030-07-09"}),
]


@pytest.mark.parametrize(("text", "slots", "expected"), DATES)
def test_first_and_last_dates(ask, text, slots, expected):
    answer = ask("history", text, **slots)
    assert {item["name"]: item["first"] for item in answer.items} == expected
    assert all(day in answer.text for day in expected.values())


def test_all_first_and_last_dates(ask):
    answer = ask("history", "first and last dates by species in 2030")
    (fennel, thistle) = answer.items
    assert (fennel["first came in"], fennel["first emerged"], fennel["last released"]) == (
        "2030-05-01",
        "2030-06-05",
        "2030-06-06",
    )
    assert (thistle["first came in"], thistle["first pupated"], thistle["last released"]) == (
        "2030-06-10",
        "2030-06-28",
        "2030-07-09",
    )


def test_degree_days_of_a_season_by_species(ask):
    answer = ask("temperature", "degree days so far this season")
    bases = {item["name"]: item["base"] for item in answer.items}
    assert answer.status == "answered" and bases and "left out, not guessed" in answer.text
    assert len({item["base"] for item in answer.items}) == len(set(bases.values()))
    item = answer.items[0]
    # Three days with readings in the jar: 20 to 30 °C, then 68 °F (20 °C) and 24 °C on the second day, above the base of the species.
    low = item["base"]
    assert item["days"] == 2 and 25 - low + 20 - low <= item["degree_days"] <= 25 - low + 24 - low + 0.5


def test_first_and_last_stand_in_the_first_line_and_other_seasons_below(ask):
    answer = ask("history", "first and last dates by species in 2030")
    assert answer.text.startswith("First date in season 2030: eastern black swallowtail (Papilio polyxenes), Wed 1 May 2030")
    assert "last date: painted lady (Vanessa cardui), Tue 9 July 2030" in answer.text.splitlines()[0]
    one = ask("history", "first and last dates by species", species=("Vanessa cardui",))
    assert "- season 2030: Mon 10 June 2030 (2030-06-10) to Tue 9 July 2030 (2030-07-09)" in one.text


def test_a_record_of_death_changes_what_was_kept(keeping, tmp_path):
    """Sums are kept until the records change, and not beyond."""
    from nurserytui.answers import respond
    from nurserytui.nursery import Nursery
    from nurserytui.records.events import Event
    from nurserytui.records.store import Store

    small = keeping.nursery()
    with Store.open(tmp_path / "n.db") as store:
        store.append([event._replace(id="") for event in small.events])
        nursery = Nursery(store, small.knowledge, small.now)
        asked = [keeping.request(text, "survival") for text in ("survival by species", "causes of death")]
        before = [respond(one, nursery).text for one in asked]
        assert before == [respond(one, nursery).text for one in asked]
        died = Event("2031-08-10T08:00", "died", "R", stage="larva", count=1, enclosure="box C", detail="virus")
        assert not nursery.write([died]).faults
        after = [respond(one, nursery).text for one in asked]
    assert "3 of 10" in before[0] and "3 of 11" in after[0]
    assert before[1].startswith("13 deaths: ") and after[1].startswith("14 deaths: ")
