"""The lists by cohort, kind, day and place hold what a walk over everything would find."""

from csv import DictReader

import pytest

from nurserytui.records.events import Event
from nurserytui.records.ledger import replay

TABLE = """\
when,what,cohort,species,stage,count,enclosure,to,detail
2026-06-01,found,A,Danaus plexippus,egg,6,jar 1,,
2026-06-02,laid,B,Danaus plexippus,egg,4,jar 2,,
2026-06-04,fed,,,,,jar 1,,
2026-06-05,hatched,A,,,5,,,
2026-06-05,checked,B,,,,,,
2026-06-06,moved,A,,larva,5,jar 1,tub 1,
2026-06-07,split,A,,larva,2,tub 1,C,
2026-06-08,died,C,,larva,1,,,drowned
2026-06-09,renamed,B,,,,,fennel-2,
2026-06-10,cleaned,,,,,tub 1,,
"""


@pytest.fixture
def ledger():
    rows = [{name: text for name, text in row.items() if text} for row in DictReader(TABLE.splitlines())]
    return replay([Event(**row | ({"count": int(row["count"])} if "count" in row else {})) for row in rows])


def test_postings_of_a_cohort_are_those_that_touch_it(ledger):
    for label in ledger.cohorts:
        walked = [p for p in ledger.postings if label in {key.cohort for key in (p.source, p.target) if key is not None}]
        assert ledger.chronicle.of_cohort(label) == walked != []


def test_events_by_kind_day_and_place(ledger):
    chronicle = ledger.chronicle
    assert [event.when for event in chronicle.events_of("fed")] == ["2026-06-04"]
    assert [event.what for event in chronicle.events_of("fed", "cleaned")] == ["fed", "cleaned"]
    assert [event.what for event in chronicle.on("2026-06-05")] == ["hatched", "checked"]
    assert [event.what for event in chronicle.at("tub 1")] == ["moved", "split", "cleaned"]
    assert [event.what for event in chronicle.at("jar 1")] == ["found", "fed", "moved"]
    assert chronicle.on("2026-01-01") == chronicle.at("nowhere") == chronicle.events_of("released") == []


def test_events_about_a_cohort_are_found_under_its_former_labels(ledger):
    cohort = ledger.cohorts["fennel-2"]
    assert [event.what for event in ledger.chronicle.about("fennel-2", cohort.former_labels)] == ["laid", "checked", "renamed"]


def test_family_is_who_was_split_or_merged(ledger):
    assert ledger.chronicle.family("A") == ledger.chronicle.family("C") == {"A", "C"}
    assert ledger.chronicle.family("fennel-2") == {"fennel-2"}


def test_postings_that_touch_an_enclosure(ledger):
    assert [posting.event.what for posting in ledger.chronicle.touching("tub 1")] == ["moved", "split", "died"]
    assert [posting.event.what for posting in ledger.chronicle.left("died")] == ["died"]


def test_what_stood_in_an_enclosure_before_an_event(ledger):
    for number, event in enumerate(ledger.events):
        heads: dict = {}
        for posting in (p for p in ledger.postings if ledger.events.index(p.event) < number):
            for key, change in ((posting.source, -posting.count), (posting.target, posting.count)):
                if key is not None:
                    heads[key] = heads.get(key, 0) + change
        for place in ("jar 1", "jar 2", "tub 1"):
            assert ledger.chronicle.inside(place, number) == {k: n for k, n in heads.items() if n and k.enclosure == place}, event


def test_numbers_of_events_are_joined_and_in_order(ledger):
    chronicle = ledger.chronicle
    found = chronicle.events(chronicle.numbers(names=("A",), places=("tub 1",), touching=("C",)))
    assert [event.what for event in found] == ["found", "hatched", "moved", "split", "died", "cleaned"]
    assert chronicle.days("2026-06-06", "2026-06-08") == ["2026-06-06", "2026-06-07", "2026-06-08"]
    assert [posting.count for posting in chronicle.postings_of(chronicle.numbers(whats=("split",))[0])] == [2]


def test_lists_from_a_day_on_are_the_ends_of_the_whole_lists():
    ledger = replay(
        [
            Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar", id="1"),
            *(Event(f"2031-06-{day:02}", "cleaned", enclosure="jar", id=f"c{day}") for day in (2, 5, 5, 9)),
            Event("2031-06-06", "died", "A", count=1, id="2"),
            Event("2031-06-07", "died", "A", count=2, id="3"),
        ]
    )
    chronicle = ledger.chronicle
    cleaned = chronicle.care("cleaned", "jar")
    for day in range(1, 11):
        since = f"2031-06-{day:02}"
        later = [event for event in cleaned if event.day >= since]
        assert chronicle.care("cleaned", "jar", since) == chronicle.events_of("cleaned", since=since) == later
    assert [posting.count for posting in chronicle.left("died", after=1)] == [2]
