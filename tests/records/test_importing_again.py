"""A keeper's table that comes again after it was changed, or after what it brought was taken back."""

from __future__ import annotations

from datetime import datetime

from nurserytui.records.events import Event
from nurserytui.records.row_identity import row_id

HEAD = "when,what,cohort,species,stage,count,enclosure\n"
FOUND = "2031-06-01,found,B,Pieris rapae,larva,12,jar\n"
ONE = "2031-06-03,died,B,,larva,1,jar\n"
TWO = "2031-06-03,died,B,,larva,2,jar\n"


def count(load):
    return sum(load.store.heads().values())


def test_a_corrected_row_is_noted_with_both_and_the_older_can_be_taken_back_as_told(load):
    load(HEAD + FOUND + ONE)
    report = load(HEAD + FOUND + TWO)
    assert (report.added, report.known, count(load)) == (1, 1, 9)
    (note,) = report.warnings
    assert "line 3: 2031-06-03 died, cohort B, stage larva, count 2" in note and "stage larva, count 1, enclosure jar" in note
    names, row = note.partition("the columns ")[2].split(" and the row ")
    assert load(f"{names}\n{row}\n").added == 1 and count(load) == 10


def test_rows_that_only_grew_in_number_are_no_correction(load):
    load(HEAD + FOUND + ONE)
    assert load(HEAD + FOUND + ONE + TWO).warnings == ()
    assert load(HEAD + "2031-06-03,died,B,,larva,3,jar\n2031-06-04,died,B,,larva,1,jar\n").warnings[0].startswith("line 2: ")


def test_known_rows_that_were_taken_back_are_told(load):
    load(HEAD + FOUND + ONE)
    load.store.append([Event("2031-06-04", "withdrawn", withdraws=load.store.events()[-1].id)])
    report = load(HEAD + FOUND + ONE)
    assert (report.added, report.known, count(load)) == (0, 2, 12)
    assert report.warnings == ("of the rows already known 1 was taken back since (line 3) and stay so",)


def test_dates_ahead_and_dates_of_long_ago_are_told(load):
    rows = FOUND + "2032-06-02,fed,B,,,,jar\n2031-06-02,fed,B,,,,jar\n2033-06-02,fed,B,,,,jar\n1931-06-02,cleaned,,,,,jar\n"
    assert load(HEAD + rows, now=datetime(2031, 6, 2, 8)).warnings == (
        "2 rows lie ahead of today, the first in line 3 (2032-06-02): they are not seen until then; if the year is wrong, go back and import "
        "it put right",
        "1 row is dated before 1970, the first in line 6 (1931-06-02): is the year right?",
    )


def test_two_blanks_in_a_label_are_one(load):
    doubled = FOUND.replace(",jar", ",Box  1")
    assert load(HEAD + FOUND.replace(",jar", ",Box 1")).added == 1
    assert load(HEAD + "2031-06-02,died,B,,larva,1,Box  1\n").added == 1
    assert {key.enclosure for key in load.store.heads()} == {"Box 1"}
    assert load(HEAD + doubled)[1:4] == (0, 1, ())


def test_a_label_with_two_blanks_that_is_on_record_stays_known(load):
    """As earlier versions recorded it, under the identity of `2031-06-01,found,B,Pieris rapae,larva,12,Box  1`."""
    doubled = HEAD + FOUND.replace(",jar", ",Box  1")
    cells = HEAD.strip().split(","), doubled.splitlines()[1].split(",")
    id = row_id(repr(sorted((name, cell) for name, cell in zip(*cells))), 1)
    load.store.append([Event("2031-06-01", "found", "B", "", "Pieris rapae", "larva", None, 12, enclosure="Box  1", id=id)])
    assert load(doubled)[1:4] == (0, 1, ())
    assert load(HEAD + "2031-06-02,died,B,,larva,1,Box  1\n").added == 1
