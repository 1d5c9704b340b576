"""A row without an id is known again, whatever it is dressed in and whichever version of the program imported it."""

from __future__ import annotations

import pytest
from tables import NURSERY

from nurserytui.records.events import Event

PLAIN = "when,what,cohort,species,count,enclosure\n2031-06-04T08:30,laid,B,Pieris rapae,12,jar\n2031-06-05,died,B,,1,\n"
DRESSED = "Date;What;Cohort;Species;Number;Cage\n04.06.2031 8:30;Laid;B;Pieris rapae;12,0;jar\n5.6.2031;DIED;B;;1;\n"
NAMES = {"date": "when", "number": "count", "cage": "enclosure"}


def test_ids_of_rows_are_those_that_every_version_gave(load):
    load(NURSERY)
    assert [event.id for event in load.store.events()][:3] == [
        "row-321056f4584a36e51efa-1",
        "row-0186dccbfa7a315b38e3-1",
        "row-b6c273524fd2b02b4946-1",
    ]


@pytest.mark.parametrize("tables", [(PLAIN, DRESSED), (DRESSED, PLAIN), (DRESSED, DRESSED)])
def test_the_same_table_under_other_names_adds_nothing(load, tables):
    for at, table in enumerate(tables):
        names = NAMES if table is DRESSED else {}
        assert load(table, columns=names, dates="day")[:4] == ("events", 2 * (not at), 2 * at, ())


def test_rows_that_an_earlier_version_hashed_as_they_were_written_are_known(load):
    """Those of `2031-06-01 08:30,Laid,12.0,Pieris rapae,B,jar,sunny`, twice."""
    laid = Event("2031-06-01T08:30", "laid", "B", species="Pieris rapae", count=12, enclosure="jar", note="weather: sunny")
    load.store.append([laid._replace(id=f"row-7f95e3e026af4f35e027-{number}") for number in (1, 2)])
    row = "2031-06-01 08:30,Laid,12.0,Pieris rapae,B,jar,sunny\n"
    head = "When,what,count,species,cohort,enclosure,weather\n"
    assert load(head + row * 2)[1:3] == (0, 2)
    assert load(head + row * 3)[1:3] == (1, 2)
    assert load(head + row * 3)[1:3] == (0, 3)


def test_like_rows_in_unlike_dress_are_as_many_events(load):
    head = "when,what,cohort,species,count\n"
    begun = "2031-06-01,laid,B,Pieris rapae,30\n"
    rows = "2031-06-02,died,B,,1.0\n2031-06-02,died,B,,1\n"
    assert load(head + begun + rows).added == 3
    assert load(head + begun + rows)[1:3] == (0, 3)
    assert load(head + begun + rows + "2031-06-02,died,B,,1\n")[1:3] == (1, 3)
    assert sum(load.store.heads().values()) == 27
