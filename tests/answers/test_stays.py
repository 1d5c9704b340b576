"""When an enclosure counts as clean again, and which stays there are."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.nurseries import random_events

from nurserytui.answers.stays import cleared, followed, of_cohort
from nurserytui.records.ledger import replay

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
FOUND = "2031-06-01T09:00,found,A,,Vanessa cardui,larva,2,4,tub,,,,,\n"
OUT = "{},moved,A,,,,,,tub,box,,,,\n"
CLEANED = "{},cleaned,,,,,,,tub,,,,,\n"
IN = "{},found,B,,Vanessa cardui,larva,2,3,tub,,,,,\n"


@pytest.mark.parametrize(
    ("rows", "clean"),
    [
        ([CLEANED.format("2031-06-03")], None),
        ([OUT.format("2031-06-03"), CLEANED.format("2031-06-03")], "2031-06-03"),
        ([CLEANED.format("2031-06-03"), OUT.format("2031-06-03")], "2031-06-03"),
        ([CLEANED.format("2031-06-03T10:00"), OUT.format("2031-06-03T12:00")], None),
        ([OUT.format("2031-06-03T10:00"), CLEANED.format("2031-06-03T12:00")], "2031-06-03"),
        ([CLEANED.format("2031-06-03"), OUT.format("2031-06-04")], None),
        # Others were put in before it was cleaned, on a day without clock times.
        ([OUT.format("2031-06-03"), IN.format("2031-06-03"), CLEANED.format("2031-06-03")], None),
        ([OUT.format("2031-06-03"), CLEANED.format("2031-06-03"), IN.format("2031-06-03")], "2031-06-03"),
        ([OUT.format("2031-06-03"), IN.format("2031-06-04"), CLEANED.format("2031-06-05")], None),
    ],
)
def test_clean_is_what_was_cleaned_while_it_stood_empty(keeping, rows, clean):
    nursery = keeping.nursery(HEAD + FOUND + "".join(rows), "2031-06-20T09:00")
    assert not nursery.ledger.faults
    found = cleared(nursery, "tub", datetime(2031, 6, 2))
    assert (found and found.date().isoformat()) == clean


def test_stays_in_an_enclosure_since_a_day(keeping):
    rows = FOUND + OUT.format("2031-06-03") + IN.format("2031-06-04")
    nursery = keeping.nursery(HEAD + rows, "2031-06-20T09:00")
    trace = followed(nursery.ledger)
    assert [stay.group.cohort for stay in trace.at("tub", datetime(2031, 6, 1))] == ["A", "B"]
    assert [stay.group.cohort for stay in trace.at("tub", datetime(2031, 6, 4))] == ["B"]
    assert [stay.group.cohort for stay in of_cohort(nursery.ledger, "A")] == ["A", "A"]


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10_000))
def test_the_stays_of_a_cohort_by_its_own_postings_are_those_of_the_whole_history(seed):
    ledger = replay(random_events(seed))
    stays = followed(ledger).since(datetime.min)[0]
    for label in (*ledger.cohorts, "nobody"):
        assert of_cohort(ledger, label) == [stay for stay in stays if stay.group.cohort == label]
