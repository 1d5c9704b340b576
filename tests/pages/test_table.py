"""Rows in columns, by the cells that they take on a screen."""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from nurserytui.pages.table import clean, fit, padded, table


@pytest.mark.parametrize(
    ("text", "cells", "shown"),
    [
        ("monarch", 7, "monarch"),
        ("monarch", 6, "monar…"),
        ("蝶蝶蝶", 6, "蝶蝶蝶"),
        ("蝶蝶蝶", 5, "蝶蝶…"),
        ("蝶蝶蝶", 4, "蝶…"),
        ("a\x1b[31mb", 20, "a\ufffd[31mb"),
        ("a\u202eb\nc", 9, "a\ufffdb c"),
        ("x", 0, ""),
    ],
)
def test_a_text_is_cut_by_cells(text, cells, shown):
    assert fit(text, cells) == shown


def test_marks_do_not_climb_over_other_rows():
    assert clean("e" + "\u0301" * 5000) == "e" + "\u0301" * 3


@pytest.mark.parametrize("right", [True, False])
def test_a_column_has_its_cells(right):
    for text in ("", "a", "蝶蝶蝶", "e\u0301" * 9, "[/b]" * 500):
        assert cell_len(padded(text, 5, right=right)) == 5


def test_numbers_stand_to_the_right_and_names_to_the_left():
    assert table([("monarch", "3", "12"), ("cabbage white", "14", "5")], 80, head=("kind", "in", "out")) == [
        "kind           in  out",
        "monarch         3   12",
        "cabbage white  14    5",
    ]


def test_the_first_column_gives_way():
    rows = [("spicebush swallowtail", "14", "50 %")]
    assert table(rows, 29) == ["spicebush swallowt…  14  50 %"]
    assert table(rows, 40) == ["spicebush swallowtail  14  50 %"]


def test_where_it_would_get_too_little_each_row_stands_by_itself_and_nothing_is_lost():
    rows = [("spicebush swallowtail", "14", "50 %"), ("monarch", "3", "")]
    assert table(rows, 22, head=("kind", "in", "reached")) == [
        "kind spicebush swallo…",
        "  in 14, reached 50 %",
        "kind monarch",
        "  in 3",
    ]
    assert table(rows, 14, head=("", "in", "reached")) == ["spicebush swa…", "  in 14,", "  reached 50 %", "monarch", "  in 3"]


@pytest.mark.parametrize("width", [20, 38, 80])
def test_no_row_is_wider_than_told(width):
    rows = [("蝶" * 900, "12", "3 of 4 (75 %)"), ("[/b]\x1b[0m" * 99, "1", ""), ("e\u0301" * 10_000, "", "1")]
    assert all(cell_len(line) <= width for line in table(rows, width, head=("who", "n", "reached")))
