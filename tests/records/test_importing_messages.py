"""What is told of a file that cannot be imported: first what is the matter, then what to do."""

from __future__ import annotations

import os
from zipfile import ZipFile

import pytest

from nurserytui.records.importing import import_file


def packed(path, name):
    with ZipFile(path, "w") as archive:
        archive.writestr(name, "x")
    return path.read_bytes()


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("xl/workbook.xml", "this is an Excel file: save the sheet as CSV"),
        ("content.xml", "this is an OpenDocument file: save the sheet as CSV"),
        ("rows.csv", "this is a packed file (zip): unpack it"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "this is an old Excel file"),
        (b"\x89PNG\r\n\x1a\n", "this is a picture (PNG)"),
        (b"\xff\xd8\xff\xe0", "this is a picture (JPEG)"),
        (b"%PDF-1.7\n", "this is a PDF"),
        (b"PK\x03\x04broken", "this is a packed file (zip)"),
    ],
)
def test_a_file_of_another_kind_is_named_with_what_to_do(load, tmp_path, part, words):
    content = part if isinstance(part, bytes) else packed(tmp_path / "made.zip", part)
    for name in ("rows.xlsx", "rows.csv"):
        assert str(load(content, name=name).faults[0]).startswith(words)


def test_a_folder_is_told_as_one(load, tmp_path):
    assert str(import_file(tmp_path, load.store).faults[0]) == "this is a folder: say which file in it"


def test_a_pipe_is_not_waited_for(load, tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert "this is no file" in str(import_file(tmp_path / "pipe", load.store).faults[0])


@pytest.mark.parametrize(
    ("above", "words"),
    [
        ("My butterflies\n\n", "line 1: this does not look like a header, but line 3 does: delete lines 1 to 2"),
        ("Season 2031;;;\n", "line 1: this does not look like a header, but line 2 does: delete line 1 and"),
    ],
)
def test_a_title_above_the_header_is_to_be_deleted(load, above, words):
    assert words in str(load(f"{above}when;what;enclosure\n2031-06-01;fed;jar\n").faults[0])
    assert words in str(load(f"{above}time;place;temperature_C\n2031-06-01;shed;20\n").faults[0])


@pytest.mark.parametrize(
    ("what", "meant"), [("dead", "died"), ("hatchd", "hatched"), ("Eclosed", "emerged"), ("feeding", "fed"), ("blessed", "")]
)
def test_an_event_that_is_none_is_told_with_the_one_that_is_meant(load, what, meant):
    told = str(load(f"when,what,cohort\n2031-06-01,{what},B\n").faults[0])
    asked = f"did you mean {meant}? " if meant else ""
    assert told == f"line 2, what: there is no event called {what.lower()!r}: {asked}nurserytui import --help lists them"


def test_a_column_that_is_not_there_is_told_also_of_a_table_that_is_none(load):
    told = [str(fault) for fault in load("Day,Cage\n2031-06-01,jar\n", columns={"nosuch": "what"}).faults]
    assert told[1] == "line 1, nosuch: there is no such column in the file; it has Day, Cage"


def test_one_way_out_is_named_once(load):
    told = str(load("when,what,enclosure,notes\n2031-06-01,fed,jar,x\n").faults[0])
    assert told.endswith("did you mean note? import again with --column notes=note")
