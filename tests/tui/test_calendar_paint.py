"""One row of the calendar, sign by sign. Every expected row is drawn by hand: a column is a day, the first is 10 July."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest
from rich.cells import cell_len

from nurserytui.pages.calendar import Row
from nurserytui.pages.coming_changes import Change, Rest, Wave
from nurserytui.pages.past_stages import Came, End, Past, Span, Stage, Window
from nurserytui.tui.calendar_paint import lines_of, paint
from nurserytui.tui.calendar_scale import Scale

NOW = datetime(2031, 7, 15, 12)
OF = Scale(datetime(2031, 7, 10), timedelta(days=1), 30, NOW)


def at(day: int, hour: int = 9) -> datetime:
    return datetime(2031, 7, 1, hour) + timedelta(days=day - 1)


def window(first: int, last: int | None = None) -> Window:
    return Window(at(first), at(last or first))


def change(event: str, *days: int | None, **more) -> Change:
    return Change(event, *(day and at(day, 18) for day in days), **more)


def row(spans, waves=(), end=None, fates=(), stages=()) -> Row:
    return Row(
        "B", "Danaus plexippus", "monarch", ("jar",), False, Past(tuple(stages), tuple(spans), tuple(fates), end), tuple(waves)
    )


def drawn(row: Row, number: int = 0, of: Scale = OF) -> str:
    cells = paint(lines_of((row,))[number], of)
    assert len(cells) == of.width
    return "".join(cell.sign for cell in cells).rstrip()


LARVA = Span("larva", window(12), None, False)
PUPATE, EMERGE = change("pupate", 17, 18, 20), change("emerge", 24, 25, 26)


def larvae(*changes: Change, **more) -> Wave:
    return Wave("larva", (("larva", 5),), changes, **more)


@pytest.mark.parametrize(
    ("wave", "expected"),
    [
        (larvae(PUPATE, EMERGE), "  l━━━│l─(◆─)p──(◆)adult"),
        (larvae(PUPATE, change("emerge", 24, 25, None)), "  l━━━│l─(◆─)p──(◆…adult"),
        (larvae(PUPATE, why="nothing is known"), "  l━━━│l─(◆─)?"),
        (larvae(why="its species is not known"), "  l━━━│? its species is not kn"),
        (larvae(change("pupate", 15, 15, 15)), "  l━━━│◆pupa"),
        (Wave("larva", (("larva", 5),)), "  l━━━│…"),
        (larvae(PUPATE, EMERGE, rest=Rest("pupa", 0.1, 0.4, date(2031, 8, 1))), "  l━━━│l─(◆─)p──(◆)adult"),
        (larvae(PUPATE, EMERGE, rest=Rest("pupa", 0.1, 0.5, date(2031, 8, 1))), "  l━━━│l─(◆─)p──(◆)≈≈≈≈≈≈"),
        (larvae(PUPATE, EMERGE, rest=Rest("pupa", 0.9, 1.0, date(2031, 8, 9))), "  l━━━│l─(◆─)≈ winter rest ≈≈≈"),
    ],
)
def test_what_is_to_come(wave, expected):
    assert drawn(row((LARVA,), (wave,))) == expected


def test_a_stage_is_named_by_its_word_where_there_is_room_and_once():
    long = Span("larva", window(10), None, False)
    assert drawn(row((long,), (larvae(PUPATE, EMERGE),))) == "larva━│──(◆─)p──(◆)adult"
    assert drawn(row((long,), (larvae(PUPATE, change("emerge", 30, 31, 32)),))) == "larva━│──(◆─)pupa─────(◆)adult"


def test_pupae_in_the_cold_rest_until_they_may_come_out_of_it():
    pupae = Wave(
        "pupa", (("pupa", 3),), (change("emerge", 24, 26, 29, woken=True),), rest=Rest("pupa", 1.0, 1.0, date(2031, 7, 20))
    )
    span = Span("pupa", window(1, 2), None, False)
    assert drawn(row((span,), (pupae,))) == "pupa━━│≈≈≈≈≈≈───(─◆──)adult"


def test_what_lies_between_two_looks_is_dashed():
    """Laid on the 10th, hatched after the look of the 11th and by the 14th."""
    spans = (Span("egg", window(10), window(11, 14), False), Span("larva", window(11, 14), None, False))
    assert drawn(row(spans, (larvae(PUPATE, EMERGE),))) == "e━╍╍l━│l─(◆─)p──(◆)adult"
    earlier = OF._replace(left=datetime(2031, 7, 4))
    spans = (Span("egg", window(4), window(8, 12), False), Span("larva", window(8, 12), None, False))
    assert drawn(row(spans, (larvae(PUPATE, EMERGE),)), of=earlier) == "egg━━╍╍╍l━━━│l─(◆─)p──(◆)adult"


@pytest.mark.parametrize(
    ("mark", "fates", "expected"),
    [
        ("died", (("died", 5),), "larva━×│5 died"),
        ("released", (("released", 4), ("died", 1)), "larva━○│4 released, 1 died"),
        ("gone", (("gone on in cohort 蝶", 5),), "larva━→│5 gone on in cohort 蝶"),
    ],
)
def test_an_end_is_marked_and_told(mark, fates, expected):
    of = OF._replace(left=datetime(2031, 7, 9))
    ended = row((Span("larva", window(9), window(15), False),), (), End(window(15), mark), fates)
    line = paint(lines_of((ended,))[0], of)
    assert "".join(cell.sign for cell in line).rstrip() == expected
    assert cell_len("".join(cell.sign for cell in line)) == of.width


def test_an_end_before_what_is_seen_is_told_at_the_edge():
    ended = row((Span("larva", window(1), window(5), False),), (), End(window(5), "died"), (("died", 5),))
    assert drawn(ended) == "      │‹ Sat 5 July: × 5 died"
    assert drawn(ended, of=OF._replace(left=datetime(2031, 7, 8), width=28)) == "‹ Sat 5 │July: × 5 died"


def test_a_winter_is_drawn_as_rest_up_to_the_look_that_ended_it():
    spans = (Span("pupa", window(10), window(11, 15), True), Span("adult", window(11, 15), None, False))
    assert drawn(row(spans, (Wave("adult", (("adult", 2),), ()),))).startswith("p≈≈≈≈a│")


def test_those_that_go_on_by_themselves_have_a_line_of_their_own():
    eggs = Stage("egg", (Came(9, "laid", "", window(11), True),), window(11), 4, None, False)
    both = row((Span("egg", window(11), window(14), False), Span("larva", window(14), None, False)), (
        larvae(PUPATE, EMERGE), Wave("egg", (("egg", 4),), (change("hatch", 16, 17, 18),))), stages=(eggs,))  # fmt: skip
    assert drawn(both) == " e━━l━│l─(◆─)p──(◆)adult"
    assert drawn(both, 1) == " egg━━│─(◆)larva"


@pytest.mark.parametrize("left", [datetime(2031, 6, 1), datetime(2031, 7, 25), datetime(2031, 9, 1), datetime(2030, 1, 1)])
@pytest.mark.parametrize("width", [4, 5, 9, 30, 200])
def test_wherever_it_is_scrolled_the_row_keeps_its_width(left, width):
    for wave in (larvae(PUPATE, EMERGE), larvae(PUPATE, EMERGE, rest=Rest("pupa", 0.9, 1.0, date(2032, 5, 1))), larvae(why="x")):
        cells = paint(lines_of((row((LARVA,), (wave,)),))[0], OF._replace(left=left, width=width))
        assert len(cells) == width and all(len(cell.sign) == 1 for cell in cells)


def test_what_began_before_the_left_edge_is_named_at_the_edge():
    assert drawn(row((LARVA,), (larvae(PUPATE, EMERGE),)), of=OF._replace(left=datetime(2031, 7, 14))) == "l━│l─(◆─)p──(◆)adult"
    assert drawn(row((LARVA,), (larvae(PUPATE, EMERGE),)), of=OF._replace(left=datetime(2031, 7, 19))) == "─)p──(◆)adult"
