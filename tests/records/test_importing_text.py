"""Encodings and separators are found by rule; what cannot be read is told with its line."""

from __future__ import annotations

import codecs

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tables import NURSERY

from nurserytui.records.file_text import PIECE
from nurserytui.records.import_options import Options
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store, StoreError

TABLE = "when,what,enclosure,note\n2031-06-01,cleaned,jar,grün und groß – 5 €\n"


@pytest.mark.parametrize(
    ("content", "note"),
    [
        (TABLE.encode("utf-8"), ()),
        (codecs.BOM_UTF8 + TABLE.encode("utf-8"), ()),
        (TABLE.encode("utf-16"), ("read as UTF-16",)),
        (codecs.BOM_UTF16_BE + TABLE.encode("utf-16-be"), ("read as UTF-16",)),
        (TABLE.encode("cp1252"), ("the file is not UTF-8; it was read as Windows-1252",)),
        (b"\n" * (PIECE - 100) + TABLE.encode("utf-8"), ()),
    ],
    ids=["utf-8", "with mark", "utf-16-le", "utf-16-be", "windows-1252", "across pieces"],
)
def test_the_encoding_is_found_and_told(load, content, note):
    report = load(content)
    assert report[:5] == ("events", 1, 0, (), note)
    assert load.store.events()[0].note == "grün und groß – 5 €"
    assert load(TABLE)[1:3] == (0, 1)  # the same table in another encoding adds nothing


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"when,what,note\n2031-06-01,note,x\n2031-06-02,note,\x81\n", "line 3: byte 0x81 is neither UTF-8 nor Windows-1252"),
        ("when,what,note\n2031-06-01,note,grün\n".encode() + b"2031-06-02,note,gr\xfcn\n", "line 3: byte 0xfc is not UTF-8, but letters elsewhere"),
        (b"when,what\n2031-06-01,fed\0\n", "line 2: there is a zero byte"),
        ("when,what\n".encode("utf-16-le"), "line 1: there is a zero byte: this is no text file, or it was saved as UTF-16"),
        (codecs.BOM_UTF16_LE + b"w\0h\0\n\0\0\xd8", "line 2: the file says that it is UTF-16 text, but is broken"),
        (b"when,what,note\n2031-06-01,note," + b"x" * 33 * PIECE, "line 2: the line is longer than 32 MB"),
        (b"when,what,note\n2031-06-01,note," + b"x" * (PIECE + 10) + b"\n", "line 2: the row cannot be read: a cell is longer than 1,000,000"),
        (",".join(["when", "what", *(f"c{at}" for at in range(10_000))]).encode(), "line 1: the header has 10,002 columns"),
        (b'when,what,note\n2031-06-01,note,x\n2031-06-01,note,"a\nb"\n2031-06-02,note,"a ""b""\nc\n', "line 5: the row cannot be read: the quote that opens here is never closed"),
        (b'when,what,by,note\n2031-06-01,note,"a\nb","c\n\n\n', "line 3: the row cannot be read: the quote that opens here is never closed"),
        (b'when,what,note\n2031-06-01,note,"a"b\n', "line 2: the row cannot be read: after a closing quote the cell goes on"),
    ],
)  # fmt: skip
def test_what_is_no_text_or_no_table_is_told_with_its_line(load, content, words):
    report = load(content)
    assert len(report.faults) == 1 and str(report.faults[0]).startswith(words)
    assert load.store.events() == []


def test_faults_before_a_row_that_cannot_be_read_are_told_too(load):
    report = load('when,what,note\nnever,note,x\n2031-06-01,note,"x\n')
    assert [fault.line for fault in report.faults] == [2, 3]


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace(",", ";"),
        lambda text: "sep=;\n" + text.replace(",", ";"),
        lambda text: '"sep=;"\r\n' + text.replace(",", ";"),
        lambda text: text.replace(",", "\t"),
        lambda text: "\n\n" + text.replace(",", ";"),
        lambda text: text.replace("\n", "\r"),
        lambda text: text.replace("when,what", '"when","what"', 1),
        lambda text: text.replace("when,what", " When ,WHAT", 1),
        lambda text: "\ufeff" + text.replace("enclosure", "ï»¿en_clo sure", 1),
    ],
)
def test_a_table_in_other_dress_is_the_same_table(load, change):
    plain = NURSERY.replace('"on the ""red"" kale, row 2"', "on the red kale")
    assert load(plain).added == 13
    assert load(change(plain))[:4] == ("events", 0, 13, ())


def test_line_numbers_count_the_lines_of_the_file(load):
    report = load('sep=;\n\nwhen;what;note\n2031-06-01;note;"two\n\nlines"\n\n2031-06-99;note;x\n')
    assert [(fault.line, fault.column) for fault in report.faults] == [(8, "when")]


def test_separators_inside_quotes_of_the_header_do_not_count(load):
    assert load('"a;b;c",when,what,enclosure\n,2031-06-01,fed,jar\n').added == 1


def test_rows_that_are_short_are_told_and_long_ones_refused(load):
    report = load("when,what,enclosure,note\n2031-06-01,fed,jar\n")
    assert report.added == 1 and report.warnings == (
        "line 2 has fewer cells than the header: what is missing was taken as empty",
    )
    assert str(load("when,what,enclosure\n2031-06-01,fed,jar,x\n").faults[0]) == "line 2: the row has 4 cells, the header 3"


PIECES = st.sampled_from(
    [b"when,what,cohort,count,enclosure,note", b"time,place,temperature_C", b'{"nursery": {"version": 1}}', b"\n", b"\r\n", b"\r", b",", b";", b"\t", b'"', b'""', b"sep=;\n",
     b"2031-06-01", b"4/6/2031", b"2031-06-01T24:00", b"fed", b"laid", b"jar", b"1", b"~80", b"1,5", b"-", b"'=1", b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b"\x81", b"\xfc", "é\u202e".encode(),
     b'{"event": {"when": "2031-06-01", "what": "fed", "enclosure": "jar", "id": "x"}}', b'{"reading": {"time": "2031-06-01", "place": "a", "low": 1, "high": 2}}', b"SQLite format 3\0"]
)  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(st.lists(st.one_of(PIECES, st.binary(max_size=6)), max_size=40), st.sampled_from(("", "day", "month")))
def test_whatever_a_file_holds_it_is_imported_or_told_and_never_twice(tmp_path_factory, pieces, dates):
    file = tmp_path_factory.getbasetemp() / "any"
    file.write_bytes(b"".join(pieces))
    with Store.memory() as store:
        for again in (False, True):
            try:
                report = import_file(file, store, options=Options(dates=dates))
            except StoreError:
                assert file.read_bytes().startswith(b"SQLite format 3\0")
                return
            held = len(store.events()) + len(store.readings())
            if report.faults:
                assert held == 0 and all(str(fault) for fault in report.faults)
            else:
                assert report.kind in ("events", "readings")
                assert not again or (report.added, report.readings_added) == (0, 0)
