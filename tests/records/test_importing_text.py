"""Encodings and separators are found by rule; what cannot be read is told with its line."""

from __future__ import annotations

import codecs

import pytest
from tables import NURSERY

from nurserytui.records.file_text import PIECE

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
