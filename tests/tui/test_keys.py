"""Everything is reached by a key, the foot says which, and the palette lists them all."""

from __future__ import annotations

import pytest
from screens import SIZES, opened, screen_text, send, settled
from textual.widgets import Input

from nurserytui.tui.app import NurseryApp
from nurserytui.tui.notebook import Notebook
from nurserytui.tui.question_line import QuestionLine


@pytest.mark.parametrize("size", SIZES)
async def test_the_foot_names_whole_keys_only_and_always_the_way_to_all_of_them(tmp_path, size):
    async with opened(tmp_path, size) as (app, _):
        foot = screen_text(app).splitlines()[-1]
        assert foot.endswith("^p All") and "F1 Help" in foot
        labels = {f"{app.get_key_display(binding)} {binding.description}" for binding in NurseryApp.BINDINGS} | {"^p All"}
        assert all(any(label.startswith(said) and label == said for label in labels) for said in foot.strip().split("  "))


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


async def test_the_palette_does_what_is_picked_and_gives_the_line_back(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        app.query_one(QuestionLine).value = "half a thou"
        await pilot.press("ctrl+p")
        await pilot.pause(0.3)
        app.screen.query_one(Input).value = "paper or lamp"
        await pilot.pause(0.5)
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.theme == "paper" and app.query_one(QuestionLine).value == "half a thou"


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
