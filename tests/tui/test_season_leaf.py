"""The season's leaf through Pilot: every view at every size, its keys, what stays chosen, and what it leaves behind when it is closed."""

from __future__ import annotations

import gc
import subprocess
import sys
import weakref
from datetime import datetime

import pytest
from rich.cells import cell_len
from screens import SIZES, kept, opened, screen_text, settled
from textual.color import Color

from nurserytui.demo import MOMENT
from nurserytui.pages.season_text import SECTIONS
from nurserytui.records.events import Event
from nurserytui.records.store import Store
from nurserytui.tui.desk import Desk
from nurserytui.tui.season_leaf import Numbers, SeasonLeaf, Views
from nurserytui.tui.season_plot import SeasonPlot

NASTY = "[/b]\x1b[31m\u202e" + "e\u0301" * 40 + "蝶" * 300
FOUND = Event("2026-06-02T09:00", "found", "N", species="Pieris rapae", stage="larva", count=9, enclosure="jar")


async def turned(app, pilot, which: str = "") -> SeasonLeaf:
    """The leaf, read and drawn."""
    app.action_leaf("season", *([which] if which else []))
    await settled(app, pilot)
    await settled(app, pilot)
    assert isinstance(app.screen, SeasonLeaf)
    return app.screen


async def press(app, pilot, *keys: str) -> str:
    """What the screen shows after these keys."""
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
        await settled(app, pilot)
    return screen_text(app)


def desk(folder, *events, now=MOMENT) -> Desk:
    path = folder / "own.db"
    with Store.open(path) as store:
        assert not events or not store.append(list(events)).faults
    return Desk(path, now)


def fits(app) -> bool:
    width, height = app.size
    lines = screen_text(app).splitlines()
    return len(lines) <= height and all(cell_len(line) <= width for line in lines)


@pytest.mark.parametrize("size", SIZES)
async def test_every_view_stands_at_every_size(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        leaf = await turned(app, pilot, "2025")
        for number, name in enumerate(SECTIONS, 1):
            shown = await press(app, pilot, str(number))
            assert leaf.view == name and fits(app) and "2025: all" in shown
            # Of warmth that season has one reading: a number, and no run of days to draw.
            assert leaf.query_one(SeasonPlot).display is (name not in ("warmth", "heat"))
            assert leaf.query_one(Numbers).size.height >= 5
        assert "red admiral, cold porch" in shown


@pytest.mark.parametrize("size", [(120, 36), (80, 24)])
async def test_the_screen_as_it_should_be(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await turned(app, pilot, "2025")
        kept("season", app)


@pytest.mark.parametrize("size", SIZES)
async def test_the_curve_lies_on_the_shares_of_the_table_and_its_scale_is_even(tmp_path, size):
    """9 of 12 are alive after the deaths of day 2, and on day 6, the last of the table."""
    found = Event("2026-06-02T09:00", "found", "N", species="Pieris rapae", stage="larva", count=12, enclosure="jar")
    died = Event("2026-06-04T09:00", "died", "N", count=3, enclosure="jar")
    async with opened(tmp_path, size, desk(tmp_path, found, died, now=datetime(2026, 6, 8, 12))) as (app, pilot):
        shown = (await turned(app, pilot)) and screen_text(app)
        lines = shown.splitlines()
        marks = {at: int(line.split("%")[0]) for at, line in enumerate(lines) if "%┤" in line}
        rows, shares = list(marks), list(marks.values())
        assert len(rows) >= 2 and shares[0] == 100
        per_row = {(shares[at] - shares[at + 1]) / (rows[at + 1] - rows[at]) for at in range(len(rows) - 1)}
        assert len(per_row) == 1
        end = max((line.partition("▊")[0].rfind("o"), at) for at, line in enumerate(lines) if "│" in line or "┤" in line)[1]
        assert abs(100 - (end - rows[0]) * per_row.pop() - 75) <= 2.5
        assert ("scale from" in shown) is (shares[-1] > 0)
        days = lines[next(at for at, line in enumerate(lines) if "└" in line) + 1].partition("▊")[0].split()
        assert days[0] == "0" and days[-1] in ("5", "6")


async def test_few_columns_name_every_view_and_the_way_back(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await turned(app, pilot)
        lines = screen_text(app).splitlines()
        assert lines[1].strip() == "1 Came ‹2 Alive› 3 Lost 4 Warm 5 Heat"
        assert lines[-1].strip() == "← → Season  tab View  esc Back  ^p All"
        await pilot.click(Views, offset=(29, 0))
        await settled(app, pilot)
        assert "‹4 Warm›" in screen_text(app)


@pytest.mark.parametrize("size", [(40, 12), (30, 8), (20, 6), (10, 3)])
async def test_where_there_is_hardly_room_the_numbers_stay(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        leaf = await turned(app, pilot, "2025")
        assert app.is_running and fits(app)
        assert not leaf.query_one(SeasonPlot).display or size[1] > 11


async def test_numbers_stand_beside_the_plot_where_it_is_wide_and_below_it_where_not(tmp_path):
    async with opened(tmp_path, (160, 50)) as (app, pilot):
        leaf = await turned(app, pilot, "2025")
        plot, numbers = leaf.query_one(SeasonPlot), leaf.query_one(Numbers)
        assert plot.region.y == numbers.region.y and plot.region.right <= numbers.region.x
        await pilot.resize_terminal(80, 24)
        await settled(app, pilot)
        assert plot.region.bottom <= numbers.region.y and numbers.region.height >= plot.region.height


async def test_the_arrows_turn_the_season_and_stop_at_the_last(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        assert "2026 so far" in screen_text(app)
        assert "2025: all species" in await press(app, pilot, "left")
        assert "2025: all species" in await press(app, pilot, "left")
        assert "2026 so far" in await press(app, pilot, "right", "right")


async def test_s_goes_through_the_species_and_the_choice_is_kept_through_seasons(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot, "2025")
        assert "2025: monarch" in await press(app, pilot, "s")
        assert "2026 so far: monarch" in await press(app, pilot, "right")
        assert "2025: monarch" in await press(app, pilot, "left")
        names = [(await press(app, pilot, "s")).splitlines()[0] for _ in range(4)]
        assert len(set(names)) == 4 and "all species" in names[-1]
        assert "red admiral" in await press(app, pilot, "S")


async def test_g_brings_a_line_to_the_front_and_it_is_told_by_its_sign(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot, "2025")
        shown = await press(app, pilot, "g")
        assert "▸ + monarch" in shown and "Alive by days since coming in: monarch" in shown
        assert any("━" in line and "+" in line.partition("▊")[0] for line in shown.splitlines())
        assert "▸ o all species" in await press(app, pilot, "G")


async def test_clicks_do_the_same(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        leaf = await turned(app, pilot, "2025")
        await pilot.click(Views, offset=(28, 0))
        await settled(app, pilot)
        assert leaf.view == "losses"
        await press(app, pilot, "2")
        await pilot.click(Numbers, offset=(8, 2))
        await settled(app, pilot)
        assert "▸ x eastern black swallowtail" in screen_text(app)


async def test_tab_goes_round_the_views_and_escape_back(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        leaf = await turned(app, pilot)
        seen = []
        for _ in SECTIONS:
            await press(app, pilot, "tab")
            seen.append(leaf.view)
        assert seen == ["losses", "warmth", "heat", "animals", "survival"]
        await press(app, pilot, "shift+tab")
        assert leaf.view == "animals"
        await press(app, pilot, "escape")
        assert app.screen is app.conversation


async def test_what_is_chosen_stays_through_resizing_and_refreshing(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        leaf = await turned(app, pilot, "2025")
        await press(app, pilot, "g")
        leaf.query_one(Numbers).scroll_to(y=6, animate=False)
        await settled(app, pilot)
        before = screen_text(app)
        leaf.follow()
        await settled(app, pilot)
        assert screen_text(app) == before and leaf.query_one(Numbers).scroll_offset.y == 6
        await pilot.resize_terminal(160, 50)
        await settled(app, pilot)
        assert "2025: all species" in screen_text(app) and "▸ + monarch" in screen_text(app)
        await pilot.resize_terminal(80, 24)
        await settled(app, pilot)
        leaf.query_one(Numbers).scroll_to(y=6, animate=False)
        await settled(app, pilot)
        assert screen_text(app) == before


async def test_the_plot_is_drawn_again_when_something_changed_and_not_by_the_clock(tmp_path, monkeypatch):
    drawn = []
    draw = SeasonPlot._draw
    monkeypatch.setattr(SeasonPlot, "_draw", lambda self, *of: drawn.append(of) or draw(self, *of))
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        leaf = await turned(app, pilot)
        before = len(drawn)
        leaf.follow()
        await settled(app, pilot)
        leaf.draw(leaf._page._replace(now=datetime(2026, 6, 18, 7, 45)))
        await settled(app, pilot)
        assert before and len(drawn) == before
        with Store.open(app.desk.path) as other:
            assert not other.append(
                [Event("2026-06-18T07:20", "died", "D", count=3, stage="larva", enclosure="tub 2", detail="drowned")]
            ).faults
        leaf.follow()
        await settled(app, pilot)
        assert len(drawn) > before and "3 died" in screen_text(app)


async def test_an_empty_nursery_says_what_to_write_down(tmp_path):
    async with opened(tmp_path, (40, 20), desk(tmp_path)) as (app, pilot):
        leaf = await turned(app, pilot)
        for number in range(1, 6):
            await press(app, pilot, str(number))
            assert not leaf.query_one(SeasonPlot).display and fits(app)
        assert "Write one down" in screen_text(app)
        assert "found 3 monarch eggs" in " ".join((await press(app, pilot, "1")).split())
        await press(app, pilot, "s", "g", "left", "right", "G", "S")


async def test_too_few_are_said_to_be_too_few_and_no_curve_is_drawn(tmp_path):
    async with opened(tmp_path, (80, 24), desk(tmp_path, FOUND._replace(count=1))) as (app, pilot):
        leaf = await turned(app, pilot)
        assert "1 animal, 0 dead: too few for a curve, which needs 5 at least." in screen_text(app)
        assert not leaf.query_one(SeasonPlot).display


async def test_hostile_names_are_shown_and_parsed_by_nothing(tmp_path):
    events = [
        FOUND._replace(enclosure=NASTY, cohort="[@click=app.quit]x"),
        FOUND._replace(when="2026-06-03T09:00", cohort="M"),
        Event("2026-06-04T09:00", "died", "M", stage="larva", count=2, enclosure="jar", detail=NASTY),
        Event("2026-06-05", "temperature", enclosure=NASTY, detail="24 C"),
    ]
    async with opened(tmp_path, (80, 24), desk(tmp_path, *events)) as (app, pilot):
        await turned(app, pilot, "small white")
        for number in range(1, 6):
            for _ in range(2):
                shown = await press(app, pilot, str(number), "g")
                assert "\x1b" not in shown and "\u202e" not in shown and fits(app) and app.is_running
        await turned(app, pilot, NASTY)
        assert "is not in this season" in screen_text(app) and fits(app)


async def test_the_colours_are_the_theme_s_and_the_signs_need_none(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot, "2025")

        def colours() -> set:
            return {segment.style.color.triplet for strip in app.screen._compositor.render_strips() for segment in strip
                    if "━" in segment.text and segment.style.color}  # fmt: skip

        before = screen_text(app)
        assert colours() == {Color.parse(app.theme_variables["primary"]).rich_color.triplet}
        await press(app, pilot, "ctrl+t")
        assert app.theme == "paper" and colours() == {Color.parse(app.theme_variables["primary"]).rich_color.triplet}
        assert screen_text(app) == before


async def test_without_colour_the_screen_reads_the_same(tmp_path, monkeypatch):
    texts = []
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        async with opened(tmp_path / name, (80, 24)) as (app, pilot):
            await turned(app, pilot, "2025")
            texts.append(screen_text(app))
            assert app.no_color is (name == "b")
        monkeypatch.setenv("NO_COLOR", "1")
    assert texts[0] == texts[1]


async def test_fifty_times_opened_and_closed_nothing_is_left_behind(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        gone, counts = [], []
        for turn in range(52):
            leaf = await turned(app, pilot, "2025")
            gone += [weakref.ref(leaf), weakref.ref(leaf.query_one(SeasonPlot))]
            del leaf
            await pilot.press("escape")
            await pilot.pause()
            if turn in (1, 51):
                gc.collect()
                counts.append(len(gc.get_objects()))
        assert sum(one() is not None for one in gone) <= 2
        assert counts[1] < counts[0] + 4000, "fifty leaves of about 6,000 objects each would be 300,000"


def test_the_plots_are_loaded_by_the_leaf_alone():
    script = "import sys, nurserytui.tui.app; print(*[name for name in sys.modules if 'plotext' in name])"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0 and done.stdout.strip() == ""
