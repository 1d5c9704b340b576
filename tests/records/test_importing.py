"""Importing: everything or nothing, every bad row told with its line, and nothing twice."""

from __future__ import annotations

import time

import pytest
from tables import NURSERY

from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

HEAD = "when,what,cohort,species,stage,instar,count,enclosure,to,detail,id,withdraws\n"
START = "2031-06-01,laid,B,Pieris rapae,egg,,3,jar,,,,\n"


@pytest.mark.parametrize(
    ("row", "line", "column", "words"),
    [
        ("2031-06-02,hatched,B,,,,5,jar,,,,", 3, "", "cohort B has 3 eggs in jar, not 5"),
        ("2031-06-02,hatched,Z,,,,1,,,,,", 3, "", "there is no cohort Z"),
        ("2031-06-02,hatched,,,,,1,jar,,,,", 3, "cohort", "hatched needs cohort"),
        ("2031-06-02,died,B,,egg,,,jar,,infertile,,", 3, "count", "died needs count or mark"),
        ("2031-06-02,died,B,,egg,,two,jar,,,,", 3, "count", "'two' is no count: write a whole number, or ~80 for an estimate"),
        ("2031-06-02,died,B,,egg,,-2,jar,,,,", 3, "count", "'-2' is no count"),
        ("2031-06-02,died,B,,egg,,1.5,jar,,,,", 3, "count", "'1.5' is no count"),
        ("2031-06-02,died,B,,egg,,0,jar,,,,", 3, "count", "0 is too few for died"),
        ("2031-06-31,checked,B,,,,,,,,,", 3, "when", "'2031-06-31' is no date"),
        ("6/2/2031,checked,B,,,,,,,,,", 3, "when", "'6/2/2031' is no date"),
        (",checked,B,,,,,,,,,", 3, "when", "when it happened is not said"),
        ("2031-06-02T25:00,checked,B,,,,,,,,,", 3, "when", "is no date"),
        ("2031-06-02,blessed,B,,,,,,,,,", 3, "what", "there is no event called 'blessed'"),
        ("2031-06-02,,B,,,,,,,,,", 3, "what", "what happened is not said"),
        ("2031-06-02,died,B,,worm,,1,jar,,,,", 3, "stage", "'worm' is no stage"),
        ("2031-06-02,found,C,Pieris rapae,egg,3,1,jar,,,,", 3, "instar", "only a larva has an instar, not egg"),
        ("2031-06-02,found,C,Pieris rapae,larva,30,1,jar,,,,", 3, "instar", "there is no instar 30"),
        ("2031-06-02,found,C,,larva,,1,jar,,,,", 3, "", "the species of a new cohort is not said"),
        ("2031-06-02,laid,B,Vanessa cardui,egg,,1,jar,,,,", 3, "", "cohort B is Pieris rapae, not Vanessa cardui"),
        ("2031-06-02,moved,B,,,,1,jar,,,,", 3, "to", "moved needs to"),
        ("2031-06-02,sign,B,,,,,,,,,", 3, "detail", "sign needs detail"),
        ("2031-06-02,temperature,,,,,,,,24,,", 3, "detail", "'24' is no temperature"),
        ("2031-06-02,temperature,,,,,,,,-127 C,,", 3, "detail", "a sensor that failed"),
        ("2031-06-02,setting,,,,,,,,units=K,,", 3, "detail", "units are C or F"),
        ("2031-06-02,withdrawn,,,,,,,,,,nothing", 3, "withdraws", "there is no event nothing before this row"),
        ("2031-06-02,checked,B,,,,,,,,,x", 3, "withdraws", "only a withdrawn event withdraws another"),
        ("2031-06-02,checked,B,,,,,,,,,,one,more", 3, "", "the row has 14 cells, the header 12"),
        ('2031-06-02,note,B,,,,,,,"never closed,,', 3, "", "the row cannot be read"),
        ("2031-06-02,note,,,,,,,,,,", 3, "note", "note needs note"),
    ],
)  # fmt: skip
def test_a_bad_row_is_told_with_line_and_column_and_nothing_is_imported(load, row, line, column, words):
    report = load(HEAD + START + row + "\n")
    assert report.added == 0 and load.store.events() == []
    assert [(fault.line, fault.column) for fault in report.faults] == [(line, column)]
    assert words in report.faults[0].reason


def test_every_bad_row_is_told_in_one_pass_and_only_those(load):
    report = load(
        HEAD
        + START
        + "2031-06-02,hatched,B,,,,5,jar,,,,\n"  # 3: too many
        + "2031-06-03,died,B,,larva,,4,jar,,,,\n"  # follows from line 3, and is no fault of its own
        + "2031-06-04,laid,Q,Pieris rapae,egg,,lots,jar,,,,\n"  # 5
        + "2031-06-05,hatched,Q,,,,2,jar,,,,\n"  # hangs on line 5
        + '2031-06-05,cleaned,,,,,,jar,,"two\nlines",,\n'
        + "2031-06-99,fed,,,,,,jar,,,,\n"  # 9, because the row before has two lines
        + "2031-06-06,hatched,Z,,,,2,jar,,,,\n"  # 10
    )
    assert [fault.line for fault in report.faults] == [3, 5, 9, 10]
    assert [str(fault) for fault in report.faults][:2] == [
        "line 3: cohort B has 3 eggs in jar, not 5",
        "line 5, count: 'lots' is no count: write a whole number, or ~80 for an estimate",
    ]
    assert any("cohort Q after line 5 could not be checked" in warning for warning in report.warnings)
    assert load.store.events() == []


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "the file is empty"),
        (b"\n\n", "the file is empty"),
        (b"name,age\nx,3\n", "the header is neither"),
        (b"what,cohort\nfed,B\n", "there is no column when"),
        (b"when|what|cohort\n", "separated by commas, semicolons or tabs"),
        (b"when,what,when\n", "column when is there twice"),
        ("when,what\n".encode("utf-32"), "the file is UTF-32 text"),
        (b"when,what\n\0\0", "line 2: there is a zero byte"),
        (b"time,place\n2031-06-01T08:00,shed\n", "the header is neither"),
        (b"time,place,temperature\n2031-06-01T08:00,shed,20\n", "the unit is not said"),
        (b"time,place,temperature_K\n2031-06-01T08:00,shed,20\n", "k is no unit"),
        (b"time,temperature_C\n2031-06-01T08:00,20\n", "there is no column place"),
    ],
)
def test_a_file_that_is_no_table_of_ours_is_told_in_one_line(load, content, words):
    report = load(content)
    assert len(report.faults) == 1 and words in str(report.faults[0]) and "\n" not in str(report.faults[0])


def test_a_file_that_cannot_be_read_is_told(tmp_path):
    with Store.memory() as store:
        assert "cannot be read" in str(import_file(tmp_path / "none.csv", store).faults[0])


@pytest.mark.parametrize("change", [lambda text: text, lambda text: "\ufeff" + text, lambda text: text.replace("\n", "\r\n"), lambda text: text + "\n,,,\n"])  # fmt: skip
def test_the_same_events_are_known_whatever_dress_they_come_in(load, change):
    assert load(NURSERY).added == 13
    report = load(change(NURSERY))
    assert report[:4] == ("events", 0, 13, ())


def test_column_order_and_missing_columns_do_not_matter(load):
    assert load("count,what,when,species\n3,laid,2031-06-01,Pieris rapae\n").added == 1
    assert load("species,note,when,what,count\nPieris rapae,,2031-06-01,laid,3\n").known == 1


def test_like_rows_are_as_many_events(load):
    row = "2031-06-02,died,B,,egg,,1,jar,,,,\n"
    assert load(HEAD + START + row + row).added == 3
    report = load(HEAD + START + row + row + row)
    assert (report.added, report.known) == (1, 3)
    assert [count for count in load.store.heads().values()] == []


def test_known_events_are_recognised_before_counts_are_checked(load):
    load(HEAD + START + "2031-06-02,hatched,B,,,,3,jar,,,,\n")
    load.store.append([Event("2031-06-03", "died", "B", stage="larva", count=3)])
    assert load(HEAD + START + "2031-06-02,hatched,B,,,,3,jar,,,,\n")[:4] == ("events", 0, 2, ())


def test_a_file_that_grew_adds_only_what_is_new(load):
    load(HEAD + START)
    report = load(HEAD + START + "2031-06-02,hatched,B,,,,2,jar,,,,\n")
    assert (report.added, report.known) == (1, 1)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("2031-06-02,fed,,,,,,jar,,,e1,\n2031-06-03,fed,,,,,,jar,,,e1,\n", "id e1 stands for another row on line 2"),
        ("2031-06-02,fed,,,,,,jar,,,mine,\n", "event mine is on record with other content"),
    ],
)
def test_an_id_stands_for_one_event(load, rows, words):
    load.store.append([Event("2031-06-01", "fed", enclosure="box", id="mine")])
    report = load(HEAD + rows)
    assert words in report.faults[0].reason


def test_a_row_that_makes_a_recorded_event_impossible_is_told(load):
    load(HEAD + START + "2031-06-05,hatched,B,,,,3,jar,,,,\n")
    report = load(HEAD + "2031-06-02,died,B,,egg,,1,jar,,,,\n")
    assert report.faults[0].line == 2 and "hatched on 2031-06-05, which is on record" in report.faults[0].reason


def test_unknown_columns_are_kept_in_the_note_with_a_warning(load):
    report = load("when,what,note,weather\n2031-06-01,note,went out,sunny\n2031-06-02,note,stayed in,\n")
    assert report.warnings == ("column weather is not known: what it says was kept in the note (line 2)",)
    assert [event.note for event in load.store.events()] == ["went out; weather: sunny", "stayed in"]


@pytest.mark.parametrize(
    ("said", "warning"),
    [
        ((), "column weather is not known, and says nothing"),
        ((1, 3), "column weather is not known: what it says was kept in the note (lines 2, 4)"),
        (range(1, 9), "column weather is not known: what it says was kept in the note (lines 2, 3, 4, 5, 6 and 3 more)"),
    ],
)
def test_the_warning_names_the_lines_in_which_an_unknown_column_says_something(load, said, warning):
    rows = [f"2031-06-0{day},note,went out,{'sunny' if day in said else ''}" for day in range(1, 9)]
    assert load("\n".join(["when,what,note,weather", *rows, ""])).warnings == (warning,)


def test_times_with_an_offset_become_the_nurserys_own(load):
    load("when,what,detail\n2031-01-01,setting,timezone=Europe/Paris\n")
    load("when,what,note\n2031-06-01T08:00Z,note,x\n2031-06-01 09:30,note,y\n")
    assert [event.when for event in load.store.events()[1:]] == ["2031-06-01T10:00", "2031-06-01T09:30"]


# Readings ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("time,place,temperature_C\n2031-06-01T08:00,shed,20.5\n", 20.5),
        ("time,place,temperature_F,humidity\n2031-06-01 08:00:00,shed,68,55\n", 20),
        ("temperature,unit,place,time\n77,F,shed,2031-06-01T08:00\n", 25),
        ("time,place,temperature (°C)\n2031-06-01T08:00,shed,20.5\n", 20.5),
    ],
)
def test_readings_are_imported_in_celsius(load, text, expected):
    report = load(text)
    assert report[:4] == ("readings", 1, 0, ())
    assert load.store.readings("shed")[0].low == pytest.approx(expected, abs=1e-3)


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("yesterday,shed,20", "time", "'yesterday' is no time"),
        ("2031-06-01T08:00,shed,warm", "temperature_c", "'warm' is no number"),
        ("2031-06-01T08:00,shed,85", "temperature_c", "a sensor that failed"),
        ("2031-06-01T08:00,shed,-127", "temperature_c", "a sensor that failed"),
        ("2031-06-01T08:00,shed,inf", "temperature_c", "is no temperature"),
        ("2031-06-01T08:00,,20", "place", "the place is not said"),
        ("2031-06-01T08:00,shed", "temperature_c", "the row is too short"),
    ],
)
def test_a_bad_reading_is_told_and_none_are_imported(load, row, column, words):
    report = load(f"time,place,temperature_C\n2031-06-01T07:00,shed,20\n{row}\n2031-06-01T09:00,shed,20\nbad,shed,20\n")
    assert [fault.line for fault in report.faults] == [3, 5]
    assert report.faults[0].column == column and words in report.faults[0].reason
    assert load.store.readings() == []


def test_two_hundred_thousand_readings_in_seconds_and_not_twice(tmp_path):
    rows = ["time,place,temperature_C"]
    for place in "abcdef":
        rows += [f"2031-{1 + at // 2880:02}-{1 + at // 96 % 28:02}T{at // 4 % 24:02}:{at % 4 * 15:02},{place},{15 + at % 12}" for at in range(33600) if at // 96 % 30 < 28]  # fmt: skip
    (tmp_path / "log.csv").write_text("\n".join(rows), encoding="utf-8")
    with Store.open(tmp_path / "n.db") as store:
        start = time.perf_counter()
        first = import_file(tmp_path / "log.csv", store)
        taken = time.perf_counter() - start
        again = import_file(tmp_path / "log.csv", store)
    assert not first.faults and first.added + first.known == len(rows) - 1 > 180_000
    assert (again.added, again.known) == (0, len(rows) - 1)
    assert taken < 15
