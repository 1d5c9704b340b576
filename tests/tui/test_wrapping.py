"""No piece of a line is wider than its column, and no character is lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from nurserytui.tui.wrapping import pieces

LINES = st.text(alphabet=st.sampled_from("ab -·1.漢字e\u0301🦋 "), max_size=60)


def cut(line: str, width: int) -> list[str]:
    return [" " * indent + line[start:end] for start, end, indent in pieces(line, width)]


@pytest.mark.parametrize(
    ("line", "width", "shown"),
    [
        ("", 10, [""]),
        ("one two three", 20, ["one two three"]),
        ("one two three", 8, ["one two", "three"]),
        ("one two three", 7, ["one two", "three"]),
        ("abcdefghij", 4, ["abcd", "efgh", "ij"]),
        ("- one two three", 9, ["- one two", "  three"]),
        ("12. one two three", 12, ["12. one two", "    three"]),
        ("      deep inside", 10, ["      deep", "   inside"]),
        ("漢字漢字", 5, ["漢字", "漢字"]),
        ("漢字 漢字", 6, ["漢字", "漢字"]),
        ("漢", 1, ["漢"]),
    ],
)
def test_where_lines_are_cut(line, width, shown):
    assert cut(line, width) == shown


@given(LINES, st.integers(1, 40))
def test_no_character_is_lost_and_no_piece_is_too_wide(line, width):
    found = pieces(line, width)
    assert "".join(line[start:end] for start, end, _ in found).replace(" ", "") == line.replace(" ", "")
    assert [start for start, _, _ in found] == sorted({start for start, _, _ in found})
    for start, end, indent in found:
        assert end - start <= 1 or indent + cell_len(line[start:end].rstrip()) <= width or cell_len(line[start:end].rstrip()) <= 2
