"""Lines, bands and marks of the season's plots, cell by cell on canvases small enough to draw by hand."""

from __future__ import annotations

from datetime import date, datetime
from types import SimpleNamespace

import pytest

from nurserytui.pages.season_warmth import Day, Heat, Place
from nurserytui.tui.season_drawing import (
    Drawing,
    Line,
    band_cells,
    by_column,
    cells_of,
    cut_words,
    drawing,
    entries,
    evened,
    marks,
    row_of,
    sign,
)


def shown(x=(0, 10), y=(0, 100), band=()) -> Drawing:
    return Drawing((), band, x, y, (), ())


def picture(line: Line, of: Drawing, columns: int, rows: int) -> list[str]:
    canvas = [[" "] * columns for _ in range(rows)]
    for cell in cells_of(line, of, columns, rows):
        canvas[rows - 1 - cell.row][cell.column] = cell.sign
    return ["".join(row).rstrip() for row in canvas]


def test_a_curve_falls_in_steps_signed_on_its_way_and_at_its_end():
    line = Line("o", 9, True, ((0, 100), (3, 50), (7, 0), (10, 0)))
    assert picture(line, shown(), 10, 3) == ["━━o┓", "   ┗━━━┓", "       ┗━o"]


def test_a_sum_rises_and_a_line_behind_is_thin():
    line = Line("x", 9, False, ((0, 0), (5, 100), (10, 100)))
    assert picture(line, shown(), 10, 3) == ["     ┌───x", "     │", "──x──┘"]


def test_a_line_is_signed_every_so_often_and_each_at_its_own_place():
    flat = ((0, 50), (30, 50))
    rows = [picture(Line(sign(at), at, False, flat), shown((0, 30)), 30, 3)[1] for at in range(3)]
    assert rows == ["──o─────o─────o─────o────────o", "────+─────+─────+─────+──────+", "x─────x─────x─────x─────x────x"]


def test_a_line_ends_where_it_was_watched_no_longer_and_breaks_where_nothing_was_measured():
    assert by_column(((0, 1.0), (4, 2.0)), shown(), 10) == [1.0] * 4 + [2.0] + [None] * 5
    assert by_column(((2, 1.0), (4, 1.0), None, (6, 3.0), (7, 3.0)), shown(), 10) == [
        None, None, 1.0, 1.0, 1.0, None, 3.0, 3.0, None, None,
    ]  # fmt: skip


def test_of_several_days_in_a_column_the_band_holds_them_all():
    assert band_cells(shown(band=((0, 1, 40, 60), (1, 2, 0, 60), (2, 4, 50, 50))), 5, 3) == [(0, 0), (0, 1), (1, 1)]


@pytest.mark.parametrize(
    ("low", "high", "most", "found"),
    [
        (0, 100, 5, [0, 20, 40, 60, 80, 100]),
        (16.8, 28.2, 4, [20, 25]),
        (0, 7, 4, [0, 2, 4, 6]),
        (3, 3, 4, [3]),
        (-4, 4, 4, [-4, -2, 0, 2, 4]),
    ],
)
def test_marks_are_round_numbers(low, high, most, found):
    assert marks(low, high, most) == found


@pytest.mark.parametrize(
    ("low", "high", "rows", "marked"),
    [
        (0, 100, 31, [0, 20, 40, 60, 80, 100]),  # six rows a step
        (0, 100, 6, [0, 20, 40, 60, 80, 100]),
        (0, 100, 5, [0, 25, 50, 75, 100]),
        (0, 475.3, 8, [0, 250, 500]),  # three rows a step
        (0, 475.3, 6, [0, 100, 200, 300, 400, 500]),
        (-4, 4, 9, [-4, -2, 0, 2, 4]),
        (3, 3, 4, [2, 3]),
    ],
)
def test_marks_stand_on_rows_that_lie_evenly_and_hold_all_there_is(low, high, rows, marked):
    of = evened(shown(y=(low, high)), rows)
    assert [value for value, _ in of.up] == marked
    found = [row_of(value, of, rows) for value in marked]
    assert len({after - before for before, after in zip(found, found[1:], strict=False)}) == 1
    assert marked[0] <= low and high <= marked[-1] and found[-1] < rows


def test_shares_are_drawn_from_where_the_curves_are_where_rows_are_few_and_that_is_said():
    curve = Line("o", 0, True, ((0, 100), (3, 91.5), (8, 85), (14, 85)))
    of = shown(x=(0, 14))._replace(lines=(curve,), unit=" %", cuts=True)
    few, many = evened(of, 6), evened(of, 31)
    assert [words for _, words in few.up] == ["85 %", "90 %", "95 %", "100 %"]
    assert cut_words(few) == "scale from 85 %" and many.up[0] == (0, "0 %") and not cut_words(many)
    # Half a row at most between a share and where it is drawn.
    a_row = (few.y[1] - few.y[0]) / 5
    for _, share in curve.points:
        assert abs(few.y[0] + row_of(share, few, 6) * a_row - share) <= a_row / 2


def test_one_day_is_no_run_of_days():
    page = SimpleNamespace(places=(place("jar", (1, 10, 15, 20)),), now=datetime(2031, 6, 4, 7), unit="C")
    assert drawing(page, "warmth", 0) is None


def place(name: str, *days: tuple[int, float, float, float]) -> Place:
    return Place(name, len(days), 20.0, tuple(Day(date(2031, 6, day), low, mean, high) for day, low, mean, high in days))


def test_the_day_that_is_not_over_is_not_drawn_and_days_without_readings_are_left_open():
    page = SimpleNamespace(
        places=(place("jar", (1, 10, 15, 20), (3, 12, 16, 22), (4, 9, 9, 9)),), now=datetime(2031, 6, 4, 7), unit="C"
    )
    first = date(2031, 6, 1).toordinal()
    of = drawing(page, "warmth", 0)
    assert of.lines[0].points == ((first, 15), (first + 1, 15), None, (first + 2, 16), (first + 3, 16))
    assert of.band == ((first, first + 1, 10, 20), (first + 2, first + 3, 12, 22)) and of.x == (first, first + 3)


def test_degree_days_compare_species_in_one_place_or_the_places_of_one_species():
    def heat(species, where, total):
        return Heat(species, species, where, 10.0, total, ((date(2031, 6, 1), 0.0), (date(2031, 6, 2), total)))

    rows = (heat("a", "jar", 9.0), heat("b", "jar", 8.0), heat("a", "tub", 7.0))
    page = SimpleNamespace(heats=rows, whose="", unit="C")
    assert sorted(line.at for line in drawing(page, "heat", 0).lines) == [0, 1]
    assert [line.at for line in drawing(page, "heat", 2).lines] == [2]
    page = SimpleNamespace(heats=(rows[0], rows[2]), whose="a", unit="C")
    assert sorted(line.at for line in drawing(page, "heat", 0).lines) == [0, 1]
    assert [entry.label for entry in entries(page, "heat")] == ["a, jar", "a, tub"]


def test_the_line_in_front_lies_above_the_others():
    def heat(species, total):
        return Heat(species, species, "jar", 10.0, total, ((date(2031, 6, 1), 0.0), (date(2031, 6, 2), total)))

    page = SimpleNamespace(heats=tuple(heat(name, 9.0) for name in "abcdef"), whose="", unit="C")
    lines = drawing(page, "heat", 4).lines
    assert len(lines) == 4 and lines[-1].at == 4 and lines[-1].front and not any(line.front for line in lines[:-1])
