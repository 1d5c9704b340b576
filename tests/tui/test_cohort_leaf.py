"""A cohort's page on the screen: sections that fold, keys that jump, links that lead on, and the list to choose from."""

from __future__ import annotations

from datetime import datetime

import pytest
from rich.cells import cell_len
from screens import SIZES, kept, opened, screen_text, settled
from textual.widgets import Input

from nurserytui.records.events import Event
from nurserytui.records.store import Store
from nurserytui.tui.desk import Desk
from nurserytui.tui.question_line import QuestionLine
from nurserytui.tui.stops import Stops

NOW = datetime(2031, 8, 10, 9)
HOSTILE = (
    "[/b][red]x[/]",
    "\x1b[31mred",
    "left\u202eright",
    "e\u0301\u0301\u0301\u0301clair",
    "蝶" * 30,
    "k" * 10_000,
)


async def turned(app, pilot, *of: str) -> None:
    app.action_leaf("cohort", *of)
    await settled(app, pilot)
    await settled(app, pilot)


async def pressed(app, pilot, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)


def page(app) -> Stops:
    return app.screen.query_one("#page", Stops)


def desk_of(tmp_path, *events: Event) -> Desk:
    with Store.open(tmp_path / "n.db") as store:
        assert not store.append(list(events)).faults
    return Desk(tmp_path / "n.db", NOW)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("of", [("D",), ()])
async def test_it_stands_at_every_size_and_no_row_is_too_long(tmp_path, size, of):
    async with opened(tmp_path, size) as (app, pilot):
        await turned(app, pilot, *of)
        shown = screen_text(app)
        assert "small white" in shown and all(cell_len(line) <= size[0] for line in shown.splitlines())
        await pressed(app, pilot, "pagedown", "pagedown", "end", "home", "up", "down")
        assert "small white" in screen_text(app)


@pytest.mark.parametrize("size", [(120, 36), (80, 24)])
async def test_the_page_as_it_should_be(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await turned(app, pilot, "D")
        kept("cohort", app)
        await pressed(app, pilot, "l")
        kept("cohorts", app)


async def test_sections_fold_and_a_digit_opens_its_own(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "D")
        await pressed(app, pilot, "enter")
        assert "▸ 1 Now  13 larvae in tub 2" in screen_text(app) and "instar 4, in tub 2" not in screen_text(app)
        await pressed(app, pilot, "enter")
        assert "larvae, noted as instar 4, in tub 2" in screen_text(app)
        await pressed(app, pilot, "f")
        assert "13 larvae in tub 2 pupate: first" not in screen_text(app).replace("│ ", "").partition("3 Food")[2]
        await pressed(app, pilot, "7")
        assert "▾ 7 History" in screen_text(app) and "14 larvae found in tub 2" in screen_text(app)
        assert page(app).at() == "History"
        await pressed(app, pilot, "f", "f")
        assert not page(app).folded - {"Send"}


async def test_brackets_and_arrows_step_through_the_cohorts_and_round(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "D")
        seen = []
        for key in ("right_square_bracket", "left_square_bracket", "right", "left"):
            await pressed(app, pilot, key)
            seen.append(app.screen.label)
        assert seen == ["A", "D", "A", "D"]


async def test_a_link_leads_to_the_other_cohort(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "D")
        await pressed(app, pilot, "5", "down")
        assert page(app).at() == "K"
        await pressed(app, pilot, "enter")
        assert app.screen.label == "K" and "small white" in screen_text(app) and "isolation box" in screen_text(app)


async def test_a_sentence_at_the_foot_is_sent(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.conversation.query_one(QuestionLine).value = "half a thou"
        await turned(app, pilot, "D")
        await pressed(app, pilot, "8", "down", "enter")
        assert app.screen is app.conversation and "how long until D pupates" in screen_text(app)
        assert app.query_one(QuestionLine).value == "half a thou"


async def test_the_facts_of_its_species_are_one_key_away(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot, "D")
        await pressed(app, pilot, "i")
        await settled(app, pilot)
        assert screen_text(app).startswith(" Facts") and "Small white (Pieris rapae)" in screen_text(app)
        await turned(app, pilot, "F")
        assert "Facts of it" not in screen_text(app)
        await pressed(app, pilot, "i")
        assert app.screen.label == "F"


async def test_text_of_the_page_can_be_selected(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "D")
        row = next(at for at, line in enumerate(screen_text(app).splitlines()) if "larvae, noted as instar 4" in line)
        await pilot.mouse_down(app.screen, offset=(17, row))
        await pilot.hover(app.screen, offset=(53, row))
        await pilot.mouse_up(app.screen, offset=(53, row))
        assert "larvae, noted as instar 4, in tub 2" in (app.screen.get_selected_text() or "")


async def test_the_mouse_does_the_same(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "D")
        await pilot.click("#page", offset=(8, 0))
        await settled(app, pilot)
        assert page(app).folded == {"Now"}
        await pressed(app, pilot, "5")
        row = next(at for at, line in enumerate(screen_text(app).splitlines()) if "split off to K" in line)
        await pilot.click(app.screen, offset=(30, row))
        await settled(app, pilot)
        await settled(app, pilot)
        assert app.screen.label == "K"


async def test_the_list_is_narrowed_by_typing_and_opened_by_enter(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        assert "13 to choose from" in screen_text(app)
        await pressed(app, pilot, *"kale", "enter")
        await settled(app, pilot)
        assert app.screen.label == "kale-25" and "none left" in screen_text(app).casefold()
        await pressed(app, pilot, "l")
        assert app.focused.id == "which"


async def test_letters_that_are_keys_of_a_page_are_typed_in_the_list(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        await pressed(app, pilot, *"fl1]")
        assert app.screen.query_one("#which", Input).value == "fl1]" and "No cohort fits." in screen_text(app)


async def test_the_arrows_walk_the_list_from_the_line(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        await pressed(app, pilot, "down", "down", "up", "enter")
        await settled(app, pilot)
        assert app.screen.label == "E"


async def test_an_unknown_label_says_so_and_shows_the_list(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "zz")
        assert "no cohort is called “zz”" in screen_text(app) and "common buckeye" in screen_text(app)
        await pressed(app, pilot, "b", "enter")
        await settled(app, pilot)
        assert app.screen.label == "B"


async def test_the_place_is_kept_when_it_is_drawn_again_and_when_the_size_changes(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "D")
        await pressed(app, pilot, "4")
        at, top = page(app).at(), page(app).scroll_offset.y
        app.screen.follow()
        await settled(app, pilot)
        assert (page(app).at(), page(app).scroll_offset.y) == (at, top) and top > 0
        for size in ((40, 20), (160, 50), (40, 20)):
            await pilot.resize_terminal(*size)
            await settled(app, pilot)
            assert page(app).at() == at and "4 Watch" in screen_text(app)


async def test_what_is_written_meanwhile_is_shown(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot, "D")
        app.action_send("one D died, drowned")
        await settled(app, pilot)
        await settled(app, pilot)
        assert "12 │ larvae, noted as instar 4, in tub 2" in screen_text(app)


async def test_an_empty_nursery_says_so(tmp_path):
    async with opened(tmp_path, (80, 24), desk_of(tmp_path)) as (app, pilot):
        await turned(app, pilot)
        assert "No cohorts yet: nothing has been recorded." in screen_text(app)
        await pressed(app, pilot, "enter", "down", "x", "enter")
        assert app.is_running


@pytest.mark.parametrize("size", [(120, 36), (40, 20)])
async def test_hostile_names_are_shown_as_they_are_and_break_no_row(tmp_path, size):
    events = [
        Event("2031-08-09T08:00", "found", name, species="Pieris rapae", stage="larva", count=2, enclosure=name, note=name)
        for name in HOSTILE
    ]
    async with opened(tmp_path, size, desk_of(tmp_path, *events)) as (app, pilot):
        await turned(app, pilot)
        assert "[/b][red" in screen_text(app)
        for name in HOSTILE:
            await turned(app, pilot, name)
            assert app.screen.label == name
            for key in ("7", "end", "home"):
                await pressed(app, pilot, key)
                shown = screen_text(app)
                assert all(cell_len(line) <= size[0] for line in shown.splitlines())
                assert "\x1b" not in shown and "\u202e" not in shown
