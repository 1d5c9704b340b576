"""Everything is reached by a key, the foot says which, and the palette lists them all."""

from __future__ import annotations

import pytest
from screens import SIZES, opened, screen_text, send, settled
from textual.command import CommandList
from textual.widgets import Input

from nurserytui.tui.app import NurseryApp
from nurserytui.tui.keys_row import KeysRow
from nurserytui.tui.notebook import Notebook
from nurserytui.tui.question_line import QuestionLine


@pytest.mark.parametrize("size", SIZES)
async def test_the_foot_names_whole_keys_only_and_always_the_way_to_all_of_them(tmp_path, size):
    async with opened(tmp_path, size) as (app, _):
        foot = screen_text(app).splitlines()[-1]
        assert foot.endswith("^p All") and "F1 Help" in foot
        labels = {f"{app.get_key_display(binding)} {binding.description}" for binding in NurseryApp.BINDINGS} | {"^p All"}
        assert all(any(label.startswith(said) and label == said for label in labels) for said in foot.strip().split("  "))


async def test_a_key_that_comes_or_goes_while_the_foot_is_drawn_spoils_nothing(tmp_path, monkeypatch):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        row, shown, asked = app.conversation.query_one(KeysRow), KeysRow._shown, []

        def going(row):
            asked.append(row)
            return shown(row)[: -len(asked)]

        monkeypatch.setattr(KeysRow, "_shown", going)
        assert row._fitting(40)


async def test_a_key_at_the_foot_can_be_clicked(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        foot = screen_text(app).splitlines()[-1]
        await pilot.click("KeysRow", offset=(foot.index("F1") + 1, 0))
        await settled(app, pilot)
        assert app.query_one(Notebook).exchanges[-1].asked == "help"


async def test_the_palette_lists_every_action(tmp_path):
    async with opened(tmp_path) as (app, _):
        listed = {command.title for command in app.get_system_commands(app.screen)}
        for binding in NurseryApp.BINDINGS:
            if app.check_action(*_parsed(binding.action)):
                assert any(title.startswith(f"{binding.description} (") for title in listed), binding
        assert all(binding.tooltip for binding in NurseryApp.BINDINGS)


def _parsed(action: str):
    from textual.actions import parse

    _, name, parameters = parse(action)
    return name, parameters


async def palette(app, pilot, *typed: str) -> list[str]:
    """Open the palette, type, and read what it offers."""
    await pilot.press("ctrl+p")
    await pilot.pause(0.3)
    if typed:
        app.screen.query_one(Input).value = typed[0]
    await pilot.pause(0.6)
    options = app.screen.query_one(CommandList)
    return [options.get_option_at_index(at).hit.text for at in range(options.option_count)]


@pytest.mark.parametrize("leaf", ["", "round", "facts"])
async def test_the_palette_offers_everything_on_every_screen(tmp_path, leaf):
    async with opened(tmp_path) as (app, pilot):
        if leaf:
            app.action_leaf(leaf)
            await settled(app, pilot)
        offered = await palette(app, pilot)
        assert len(offered) == len(set(offered))
        for title in ("Round (F3)", "Calendar (F4)", "Facts (F7)", "Help (F1)", "Undo (F9)", "Paper or lamp", "Import", "Quit"):
            assert any(title in each for each in offered), (title, offered)


async def test_the_palette_does_what_is_picked_and_gives_the_line_back(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        app.query_one(QuestionLine).value = "half a thou"
        for typed, done in (
            ("paper or lamp", lambda: app.theme == "paper"),
            ("round", lambda: type(app.screen).__name__ == "RoundLeaf"),
        ):
            await palette(app, pilot, typed)
            await pilot.press("enter")
            await settled(app, pilot)
            await settled(app, pilot)
            assert done(), typed
        await pilot.press("escape")
        assert app.line.value == "half a thou"


@pytest.mark.parametrize("size", [(80, 24), (40, 20)])
async def test_the_board_in_front_is_scrolled_by_keys_and_left_by_escape_or_by_an_answer(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await pilot.press("f2")
        await settled(app, pilot)
        before = screen_text(app)
        await pilot.press("pagedown", "down")
        await settled(app, pilot)
        assert screen_text(app) != before and app.query_one("#board").scroll_y > 0
        await pilot.press("escape")
        assert app.query_one(Notebook).display and app.focused is app.line
        await pilot.press("f2")
        await pilot.press(*"how many D")
        await pilot.press("enter")
        await settled(app, pilot)
        assert "how many D" in screen_text(app) and app.query_one(Notebook).display


async def test_beside_the_page_the_board_is_scrolled_then_put_away(tmp_path):
    async with opened(tmp_path, (120, 24)) as (app, pilot):
        board = app.query_one("#board")
        await pilot.press("f2", "down", "down")
        assert app.focused is board and board.scroll_y > 0
        await pilot.press("f2")
        assert not board.display and app.focused is app.line
        await pilot.press("f2")
        assert board.display


async def test_the_arrows_and_page_keys_of_the_line_reach_the_page(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        for text in ("what do monarchs eat", "what do red admirals eat"):
            await send(app, pilot, text)
        notebook = app.query_one(Notebook)
        before = notebook.scroll_y
        await pilot.press("pageup", "pageup")
        assert notebook.scroll_y < before
        await pilot.press("pagedown", "pagedown", "pagedown", "pagedown")
        assert notebook.scroll_y == notebook.max_scroll_y


async def test_the_board_in_front_of_a_narrow_page_stands_beside_a_wide_one(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await pilot.press("f2")
        await pilot.resize_terminal(120, 36)
        await settled(app, pilot)
        assert app.query_one("#board").display and app.query_one(Notebook).display


async def test_escape_goes_back_the_way_one_came(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        app.line.value = "half a thou"
        await pilot.press("f4")
        await settled(app, pilot)
        calendar = app.screen
        app.action_leaf("cohort", "C")
        await settled(app, pilot)
        assert app.screen is not calendar
        await pilot.press("escape")
        await settled(app, pilot)
        assert app.screen is calendar
        app.action_leaf("cohort", "C")
        await settled(app, pilot)
        await pilot.press("f3")
        await settled(app, pilot)
        assert type(app.screen).__name__ == "RoundLeaf" and len(app.screen_stack) == 2
        await pilot.press("escape")
        assert app.screen is app.conversation and app.line.value == "half a thou"
