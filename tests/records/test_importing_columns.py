"""Columns are found by name; a near miss is asked about; numbers that could be two are none; labels have nothing unseen in them."""

from __future__ import annotations

import pytest

from nurserytui.records.columns import near_miss
from nurserytui.records.event_rows import COLUMNS


@pytest.mark.parametrize(
    ("name", "ours"),
    [
        ("enclousure", "enclosure"),
        ("cohorts", "cohort"),
        ("specis", "species"),
        ("lattitude", "latitude"),
        ("notes", "note"),
        ("hots", "host"),
        ("weather", ""),
        ("cost", ""),
        ("mood", ""),
        ("temperature", ""),
        ("wingspan", ""),
        ("t", ""),
    ],
)
def test_a_near_miss_is_a_letter_or_two_away(name, ours):
    assert near_miss(name, COLUMNS) == ours


def test_a_near_miss_imports_nothing_until_the_keeper_says_what_it_is(load):
    table = "when,what,enclousure\n2031-06-01,cleaned,jar\n"
    report = load(table)
    assert [str(fault) for fault in report.faults] == [
        "line 1, enclousure: this is none of our columns: did you mean enclosure? import again with --column enclousure=enclosure, "
        "or --column enclousure=note to keep it in the note"
    ]
    assert load(table, columns={"Enclousure": "enclosure"}).added == 1
    assert load("when,what,enclosure\n2031-06-01,cleaned,jar\n")[1:3] == (0, 1)


def test_a_column_like_one_that_is_there_goes_into_the_note(load):
    report = load("when,what,enclosure,note,notes\n2031-06-01,cleaned,jar,a,b\n")
    assert report.added == 1 and load.store.events()[0].note == "a; notes: b"


@pytest.mark.parametrize(
    ("head", "columns", "note"),
    [
        ("remarks", {"remarks": "note"}, "wet"),
        ("remarks,note", {"remarks": "note"}, "remarks: wet"),
        ("remarks,mood", {"remarks": "note", "mood": "note"}, "remarks: wet"),
        ("remarks", {}, "remarks: wet"),
    ],
)
def test_what_is_said_to_be_the_note_is_the_note_where_there_is_no_other(load, head, columns, note):
    assert load(f"when,what,enclosure,{head}\n2031-06-01,cleaned,jar,wet\n", columns=columns).added == 1
    assert load.store.events()[0].note == note


@pytest.mark.parametrize(
    ("header", "columns", "words"),
    [
        ("when,what,enclosure", {"cage": "enclosure"}, "cage: there is no such column in the file; it has when, what, enclosure"),
        ("when,what,cage", {"cage": "enclousre"}, "cage: enclousre is none of our columns; did you mean enclosure?"),
        ("when,what,cage,jar", {"cage": "enclosure", "jar": "enclosure"}, "column enclosure is there twice"),
        ("date,what,enclosure", {}, "when: there is no column when; did you mean date? import again with --column date=when"),
        ("when,event,enclosure", {}, "if you meant it so, import again with --column event=what"),
    ],
)
def test_columns_that_cannot_be_matched_are_told(load, header, columns, words):
    report = load(f"{header}\n2031-06-01,cleaned,jar,x\n", columns=columns)
    assert len(report.faults) == 1 and words in str(report.faults[0])


@pytest.mark.parametrize(
    ("text", "count", "estimate"),
    [("12", 12, False), ("12.0", 12, False), ("12,00", 12, False), ("~80", 80, True), ("~ 80", 80, True), ("1234", 1234, False)],
)
def test_counts_are_read(load, text, count, estimate):
    assert load(f"when;what;species;count\n2031-06-01;laid;Pieris rapae;{text}\n").added == 1
    assert load.store.events()[0][7:9] == (count, estimate)


@pytest.mark.parametrize("text", ["1,234", "1.234", "1 234", "1'234", "12.000", "1,234.5", "1.234.567"])
def test_a_mark_for_thousands_is_told_and_not_guessed(load, text):
    report = load(f"when;what;species;count\n2031-06-01;laid;Pieris rapae;{text}\n")
    assert len(report.faults) == 1 and "write it without a mark for thousands" in report.faults[0].reason


@pytest.mark.parametrize(
    ("text", "value"),
    [("51,5", 51.5), ("-33.25", -33.25), ("\u221233,25", -33.25), ("1_0", None), ("51,5,1", None), ("N51", None)],
)
def test_decimals_have_a_point_or_a_comma(load, text, value):
    report = load(f"when;what;species;stage;count;latitude\n2031-06-01;found;Pieris rapae;egg;1;{text}\n")
    if value is None:
        assert report.faults[0].column == "latitude" and "write 51.5" in report.faults[0].reason
    else:
        assert load.store.events()[0].latitude == value


@pytest.mark.parametrize("column", ["cohort", "mark", "enclosure", "to", "parent"])
@pytest.mark.parametrize(("sign", "words"), [("\u202e", "U+202E (right-to-left override), sign 2"), ("\u200b", "an invisible sign"), ("\u200d", "U+200D"), ("\x07", "a control character"), ("\u2028", "a line separator")])  # fmt: skip
def test_what_cannot_be_seen_in_a_label_is_refused(load, column, sign, words):
    names = ["cohort", "mark", "enclosure", "to", "parent"]
    cells = [f"B{sign}x" if name == column else {"cohort": "B", "enclosure": "jar"}.get(name, "") for name in names]
    report = load(f"when,what,species,stage,count,{','.join(names)}\n2031-06-01,found,Pieris rapae,egg,1,{','.join(cells)}\n")
    assert [(fault.line, fault.column) for fault in report.faults] == [(2, column)] and words in report.faults[0].reason


def test_free_text_keeps_what_cannot_be_seen(load):
    assert load("when,what,note\n2031-06-01,note,a \u202ejoined\u200d sign\n").added == 1
    assert load.store.events()[0].note == "a \u202ejoined\u200d sign"


def test_a_letter_composed_or_not_is_one_cohort(load):
    head = "when,what,cohort,species,stage,count,enclosure\n"
    assert load(head + "2031-06-01,found,\u00e9toile,Pieris rapae,egg,3,tub 1\n").added == 1
    composed = "2031-06-01,found,e\u0301toile,Pieris rapae,egg,3,\u00a0tub\u00a01 \n"
    assert load(head + composed)[1:3] == (0, 1)
    assert load(head + "2031-06-02,hatched,e\u0301toile,,,2,tub\u00a01\n").added == 1
    assert {key[:3] + (key.enclosure,): count for key, count in load.store.heads().items()} == {
        ("\u00e9toile", "", "egg", "tub 1"): 1,
        ("\u00e9toile", "", "larva", "tub 1"): 2,
    }
