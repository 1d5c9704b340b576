"""The app through Pilot, on a copy of the demo nursery at its own moment."""

from __future__ import annotations

import pytest
from rich.cells import cell_len
from screens import SIZES, drawn, kept, opened, screen_text, send, settled
from textual.color import Color
from textual.widgets import Static

from nurserytui.demo import MOMENT, private_copy
from nurserytui.records.events import Event
from nurserytui.records.store import Store
from nurserytui.tui import app as app_module
from nurserytui.tui import desk, question_line
from nurserytui.tui.app import NurseryApp
from nurserytui.tui.desk import Desk
from nurserytui.tui.notebook import Entry, Notebook
from nurserytui.tui.question_line import QuestionLine
from nurserytui.tui.themes import LAMP, PAPER


def shown(app, selector: str) -> str:
    return "\n".join(str(widget.render()) for widget in app.query(selector).results(Static))


def page(app) -> str:
    return "\n".join(entry.visual.plain for entry in app.query(Entry).results())


@pytest.mark.parametrize("size", SIZES)
async def test_it_opens_answers_and_records_at_every_size(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await send(app, pilot, "how long until cohort B hatches")
        assert "12 eggs" in page(app) and "2026-06-1" in page(app)
        await send(app, pilot, "2 of B hatched this morning")
        assert "Recorded: 2 of B hatched" in page(app)
        assert any(row.cohort == "B" and row.stage == "larva" and row.count == 2 for row in app.sheet.rows)
        wide = size[0] >= 92
        assert app.query_one("#board").display is wide and app.query_one("#strip").display is not wide
        assert app.focused is app.query_one(QuestionLine)


async def test_the_board_shows_stage_count_enclosure_and_what_is_next(tmp_path):
    async with opened(tmp_path) as (app, _):
        rows = shown(app, "#rows")
        for words in ("B", "12 eggs", "jar 2", "monarch", "hatch", "OVERDUE", "unknown"):
            assert words in rows
        assert "Quillmere" in shown(app, "#head") and "18 June 2026" in shown(app, "#head")


async def test_the_strip_stands_for_the_board_in_forty_columns(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        strip = shown(app, "#strip")
        assert "overdue" in strip and len(strip) <= 38
        await pilot.press("f2")
        await pilot.pause()
        assert app.query_one("#board").display and not app.query_one("#notebook").display


async def test_undo_by_key_leaves_what_stands_on_the_line(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "one D died, drowned")
        app.query_one(QuestionLine).value = "half a thou"
        await pilot.press("f9")
        await settled(app, pilot)
        assert sum(row.count for row in app.sheet.rows if row.cohort == "D") == 13
        assert app.query_one(QuestionLine).value == "half a thou"
        await pilot.press("escape")
        assert app.query_one(QuestionLine).value == "half a thou"


async def test_working_folds_out_and_in(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "how long until cohort B hatches")
        assert "degree-days" not in page(app)
        await pilot.press("f8")
        await pilot.pause()
        assert "degree-days" in page(app) and "own records" in page(app)
        await pilot.press("f8")
        await pilot.pause()
        assert "degree-days" not in page(app)


@pytest.mark.parametrize(
    "text", ["[/b]", "[@click=app.bell]x[/]", "[link='x", "[[r", "note: \x1b[31mred \u202eback e\u0301\u0301 [0]", "x" * 1999]
)
async def test_hostile_text_is_shown_and_parsed_by_nothing(tmp_path, text):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.action_send(text)
        await settled(app, pilot)
        assert "\x1b" not in page(app) and text[:1] in page(app)
        assert app.is_running


async def test_what_is_typed_before_the_nursery_is_open_is_not_lost(tmp_path):
    app = NurseryApp(Desk(private_copy(tmp_path), MOMENT), demo=True)
    async with app.run_test() as pilot:
        app.action_send("how many eggs do I have")
        await settled(app, pilot)
        await settled(app, pilot)
        assert "16 eggs" in page(app)
        await app.desk.close()


async def test_the_history_of_lines_is_walked_by_arrows(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        for text in ("help", "how many D"):
            await send(app, pilot, text)
        line = app.query_one(QuestionLine)
        line.value = "draft"
        await pilot.press("up", "up")
        assert line.value == "help"
        await pilot.press("down", "down")
        assert line.value == "draft"


async def test_another_process_is_noticed(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        with Store.open(tmp_path / "demo.db") as other:
            assert not other.append([Event("2026-06-18T07:20", "died", "D", count=3, stage="larva", enclosure="tub 2")]).faults
        app.look()
        await settled(app, pilot)
        assert sum(row.count for row in app.sheet.rows if row.cohort == "D") == 10


async def test_resizing_folds_and_unfolds_the_board(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        assert not app.query_one("#board").display
        await pilot.resize_terminal(130, 40)
        await pilot.pause()
        assert app.query_one("#board").display


async def test_an_unusable_file_is_told_on_the_page(tmp_path):
    file = tmp_path / "x.db"
    file.write_text("no database " * 200, encoding="utf-8")
    app = NurseryApp(Desk(file, MOMENT))
    async with app.run_test() as pilot:
        await settled(app, pilot)
        assert "could not be opened" in page(app) and app.is_running
        await app.desk.close()


async def test_light_and_dark_are_our_own(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        assert app.screen.styles.background == Color.parse(LAMP.background)
        await pilot.press("ctrl+t")
        await pilot.pause()
        assert app.screen.styles.background == Color.parse(PAPER.background)


@pytest.mark.parametrize("size", SIZES)
async def test_a_long_answer_shows_its_first_line(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        for text in ("how much bleach for a 2 cup dish at 10%", "which host plant suits a black swallowtail egg"):
            await send(app, pilot, text)
            newest = app.query(Entry).last()
            assert newest.region.y >= app.query_one(Notebook).region.y


@pytest.mark.parametrize("width", range(20, 60))
async def test_the_strip_never_cuts_a_date(tmp_path, width):
    from datetime import datetime

    from nurserytui.answers.board import Row
    from nurserytui.tui.words import strip_line

    rows = [
        Row("H", "", "", "pupa", 3, "", overdue=True, next_event="emerge"),
        Row("C", "", "", "larva", 57, "", next_event="pupate", median=datetime(2026, 6, 18)),
    ]
    text = strip_line(rows, datetime(2026, 6, 18), width).plain
    assert len(text) <= width and not text.endswith((" 1", "Th", "T", "· "))


async def test_working_of_the_last_answer_that_has_any(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "how long until cohort B hatches")
        await send(app, pilot, "undo")
        await pilot.press("f8")
        await pilot.pause()
        assert "degree-days" in page(app)


@pytest.mark.parametrize("size", [(120, 36), (80, 24)])
async def test_the_conversation_looks_as_it_was_kept(tmp_path, size, monkeypatch):
    monkeypatch.setattr(question_line, "NOTICED", 600.0)
    async with opened(tmp_path, size) as (app, pilot):
        for text in ("how long until cohort B hatches", "2 of B hatched this morning", "one C died"):
            await send(app, pilot, text)
        kept("conversation", app)


async def test_without_colour_nothing_is_lost(tmp_path, monkeypatch):
    """NO_COLOR: every cell is grey, and what the colours say is said by words, signs and weight too."""
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(tmp_path) as (app, pilot):
        for text in ("2 of B hatched this morning", "one C died"):
            await send(app, pilot, text)
        styles = {segment.style for strip in drawn(app) for segment in strip if segment.style}
        colours = {style.color.triplet for style in styles if style.color} | {
            style.bgcolor.triplet for style in styles if style.bgcolor
        }
        assert colours and all(len(set(colour)) == 1 for colour in colours if colour)
        shown = screen_text(app)
        assert "noted ║" in shown and "which? ┆" in shown and "OVERDUE" in shown


async def test_the_mouse_unfolds_an_answer(tmp_path):
    async with opened(tmp_path, (120, 50)) as (app, pilot):
        await send(app, pilot, "how long until cohort B hatches")
        await pilot.click(app.query(Entry).last(), offset=(15, 1))
        await settled(app, pilot)
        assert "degree-days" in screen_text(app)


HOSTILE = (
    "[/b][red]x[/]",
    "\x1b[31mred",
    "left\u202eright",
    "e\u0301\u0301\u0301clair",
    "蝶" * 30,
    "k" * 10_000,
    "[@click=app.bell]x[/]",
)


@pytest.mark.parametrize("size", SIZES)
async def test_hostile_names_stand_on_the_board_as_they_are_and_break_no_row(tmp_path, size):
    with Store.open(tmp_path / "hostile.db") as store:
        for number, name in enumerate(HOSTILE):
            event = Event(
                "2026-06-17T07:00",
                "found",
                f"{name[:40]}{number}",
                species="Danaus plexippus",
                stage="larva",
                count=2,
                enclosure=name,
            )
            assert not store.append([event]).faults
    async with opened(tmp_path, size, Desk(tmp_path / "hostile.db", MOMENT)) as (app, pilot):
        await send(app, pilot, "how many larvae do I have")
        board = shown(app, "#rows")
        assert "[/b][red]x[/]" in board and "\x1b" not in board and "\u202e" not in board and "蝶" in board
        rows = screen_text(app).splitlines()
        assert len(rows) <= size[1] and all(cell_len(row) <= size[0] for row in rows) and "14" in "".join(rows)


async def test_the_board_is_shown_before_it_is_all_worked_out(tmp_path, monkeypatch):
    monkeypatch.setattr(desk, "SLICE", 0.0)
    monkeypatch.setattr(app_module, "GO_ON", 3600.0)
    async with opened(tmp_path) as (app, pilot):
        assert app.sheet.pending and "being worked out" in shown(app, "#rows") and "12 eggs" in shown(app, "#rows")
        while app.sheet.pending:
            app.look()
            await settled(app, pilot)
        assert "OVERDUE" in shown(app, "#rows") and "being worked out" not in shown(app, "#rows")


async def test_a_board_of_very_many_groups_says_how_many_more_there_are(tmp_path):
    with Store.open(tmp_path / "many.db") as store:
        finds = [
            Event("2026-06-17T07:00", "found", f"M{number}", species="Danaus plexippus", stage="adult", count=1, enclosure="tent")
            for number in range(130)
        ]
        assert not store.append(finds).faults
    async with opened(tmp_path, (120, 36), Desk(tmp_path / "many.db", MOMENT)) as (app, _):
        assert "and 30 groups more" in shown(app, "#rows")
