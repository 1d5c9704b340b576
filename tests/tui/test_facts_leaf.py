"""The facts on the screen: letters go to the line, arrows walk the list, Enter turns to the card and follows what stands there."""

from __future__ import annotations

import pytest
from rich.cells import cell_len
from screens import SIZES, kept, opened, screen_text, settled
from textual.widgets import Input

from nurserytui.knowledge.facts import Source
from nurserytui.pages.facts_words import Card, Fact, Which
from nurserytui.tui import facts_leaf
from nurserytui.tui.stops import Stops

MONARCH = Which("species", "Danaus plexippus")


async def turned(app, pilot, *of: str) -> None:
    app.action_leaf("facts", *of)
    await settled(app, pilot)
    await settled(app, pilot)


async def pressed(app, pilot, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


def line(app) -> Input:
    return app.screen.query_one("#seek", Input)


def card(app) -> Stops:
    return app.screen.query_one("#card", Stops)


def hits(app) -> Stops:
    return app.screen.query_one("#hits", Stops)


@pytest.mark.parametrize("size", SIZES)
async def test_it_stands_at_every_size_and_no_row_is_too_long(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await turned(app, pilot, "monarch")
        for keys in ((), ("enter",), ("end",), ("pageup",), ("escape",), ("pagedown",)):
            await pressed(app, pilot, *keys)
            shown = screen_text(app)
            assert all(cell_len(row) <= size[0] for row in shown.splitlines())
        assert "monarch" in shown.casefold()


@pytest.mark.parametrize("size", [(120, 36), (80, 24)])
async def test_the_facts_as_they_should_be(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await turned(app, pilot)
        await pressed(app, pilot, *"bleach")
        kept("facts", app)


async def test_letters_are_typed_and_the_list_follows_each(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        assert "3000 entries" in screen_text(app)
        await pressed(app, pilot, *"mnarch")
        assert line(app).value == "mnarch" and hits(app).at() == MONARCH
        assert "only plants of Apocynaceae [" in screen_text(app)


async def test_keys_of_other_leaves_are_only_letters_here(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        await pressed(app, pilot, *"f1l[]q ")
        assert line(app).value == "f1l[]q " and app.is_running


async def test_the_arrows_walk_the_list_and_the_card_goes_with_them(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        await pressed(app, pilot, *"nettle", "down", "down")
        assert hits(app).at() == Which("plant", "Urtica dioica") and "Stinging nettle (Urtica dioica)" in screen_text(app)
        assert "take care: Stings, also through thin cloth." in screen_text(app)
        assert app.focused is line(app)


async def test_from_a_species_to_its_plant_and_back(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        await pressed(app, pilot, *"monarch", "enter")
        assert app.focused is card(app)
        plant = Which("plant", "Asclepias syriaca")
        card(app).go_to(plant)
        await pressed(app, pilot, "enter")
        assert "Common milkweed (Asclepias syriaca)" in screen_text(app)
        card(app).go_to(MONARCH)
        await pressed(app, pilot, "enter")
        assert "Monarch (Danaus plexippus)" in screen_text(app).partition("▔▔▔")[2]
        await pressed(app, pilot, "backspace")
        assert card(app).at() == MONARCH and "main host of" in screen_text(app)
        await pressed(app, pilot, "backspace")
        assert card(app).at() == plant and line(app).value == "monarch"


async def test_a_fact_leads_to_its_source(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot, "pteromalus puparum")
        await pressed(app, pilot, "enter")
        card(app).go_to(Which("source", "takagi-1976"))
        await pressed(app, pilot, "enter")
        assert "published: read in the source" in screen_text(app) and "used in" in screen_text(app)


async def test_escape_goes_from_the_card_to_the_line_and_from_there_back(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "monarch")
        await pressed(app, pilot, "tab", "escape")
        assert app.focused is line(app) and line(app).value == "monarch"
        await pressed(app, pilot, "escape")
        assert app.screen is app.conversation


async def test_letters_typed_over_the_card_go_to_the_line(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "monarc")
        await pressed(app, pilot, "enter", "h")
        assert app.focused is line(app) and line(app).value == "monarch"


async def test_kinds_are_stepped_through_and_clicked(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot, "monarch")
        await pressed(app, pilot, "alt+right")
        assert "[species]" in screen_text(app) and hits(app).at() == MONARCH
        await pressed(app, pilot, "alt+left", "alt+left")
        assert "[source]" in screen_text(app) and hits(app).at().kind == "source"
        app.screen.action_only("rule")
        await settled(app, pilot)
        assert hits(app).at().kind == "rule"
        row = next(at for at, text in enumerate(screen_text(app).splitlines()) if "[rule]" in text)
        at = screen_text(app).splitlines()[row].index("[rule]")
        await pilot.click(app.screen, offset=(at + 2, row))
        await settled(app, pilot)
        assert "[all]" in screen_text(app)


async def test_on_a_small_screen_the_card_takes_the_place_of_the_list(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await turned(app, pilot, "stinging nettle")
        assert "take care" not in screen_text(app) and "Stinging nettle" in screen_text(app)
        await pressed(app, pilot, "enter")
        assert "take care: Stings" in screen_text(app)
        await pilot.resize_terminal(120, 36)
        await settled(app, pilot)
        assert "take care: Stings" in screen_text(app) and "Nettle" in screen_text(app)


async def test_the_place_is_kept_when_time_passes_and_when_the_size_changes(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot, "nettle")
        await pressed(app, pilot, "down", "down", "down", "enter", "down", "down")
        places = hits(app).at(), card(app).at()
        app.screen.follow()
        await settled(app, pilot)
        for size in ((80, 24), (40, 20), (160, 50)):
            await pilot.resize_terminal(*size)
            await settled(app, pilot)
            assert (hits(app).at(), card(app).at()) == places


async def test_hostile_words_of_a_card_are_only_text(tmp_path):
    hostile = "[/b][red]x \x1b[31m \u202eback 蝶蝶 e\u0301\u0301 " + "k" * 10_000
    made = Card(MONARCH, hostile, (Fact(hostile, hostile, ("x",), tone="care"),), (Source("x", hostile, "own"),), True)
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await turned(app, pilot, "monarch")
        await pressed(app, pilot, "enter")
        card(app).write(facts_leaf._strokes(made), fresh=True)
        await settled(app, pilot)
        shown = screen_text(app)
        assert "[/b][red]x" in shown and "\x1b" not in shown and "\u202e" not in shown
        assert all(cell_len(row) <= 40 for row in shown.splitlines())


@pytest.mark.parametrize("said", ["[/b][red]x", "\x1b[31m", "\u202eabc", "蝶" * 60, "e\u0301"])
async def test_whatever_is_typed_is_only_text(tmp_path, said):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await turned(app, pilot, said)
        await pressed(app, pilot, "down", "enter", "escape")
        assert app.is_running and all(cell_len(row) <= 40 for row in screen_text(app).splitlines())
