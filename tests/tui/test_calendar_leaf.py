"""The calendar through Pilot: what it shows at every size, its keys, the place it keeps, and what hostile names do to it."""

from __future__ import annotations

import re
from datetime import datetime

import pytest
from rich.cells import cell_len
from screens import SIZES, kept, opened, screen_text, settled
from textual.widgets import Static

from nurserytui.demo import MOMENT, private_copy
from nurserytui.records.events import Event
from nurserytui.records.store import Store
from nurserytui.tui.calendar_chart import Chart
from nurserytui.tui.calendar_leaf import CalendarLeaf
from nurserytui.tui.desk import Desk

NOW = datetime(2031, 7, 20, 12)
HOSTILE = {
    "markup": "[b]bold[/] [@click=app.bell]x[/]",
    "escapes": "red\x1b[31m\u202eback\x07",
    "combining": "e\u0301\u0301\u0301 a\u0308",
    "wide": "蝶々の群れ🦋🦋",
    "long": "x" * 10_000,
}


async def turned(app, pilot) -> Chart:
    """The calendar in front, with everything worked out."""
    app.action_leaf("calendar")
    await settled(app, pilot)
    await settled(app, pilot)
    assert isinstance(app.screen, CalendarLeaf)
    return app.screen.query_one(Chart)


def filled(folder, *events) -> Desk:
    with Store.open(folder / "n.db") as store:
        assert not store.append(list(events)).faults
    return Desk(folder / "n.db", NOW)


def lines(app) -> list[str]:
    return screen_text(app).splitlines()


def line_of(app, label: str) -> str:
    return next(line for line in lines(app) if re.match(rf" [› ] {label}\b", line))


def dates(app) -> str:
    return str(app.screen.query_one("#dates", Static).render())


@pytest.mark.parametrize("size", SIZES)
async def test_every_cohort_stands_there_at_every_size(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        chart = await turned(app, pilot)
        assert [line.row.label for line in chart.lines] == ["H", "E", "C", "D", "A", "K", "B", "G", "F"]
        assert all(cell_len(line) <= size[0] for line in lines(app))
        bars = {line.index("│") for line in lines(app) if re.match(r" [› ] [A-Z] ", line)}
        assert len(bars) == 1, "now is one line through all rows"
        assert "◆" in line_of(app, "B") and "━" in line_of(app, "A") and "?" in line_of(app, "F")
        assert chart.has_focus and app.is_running


@pytest.mark.parametrize("size", [(120, 36), (80, 24), (40, 20)])
async def test_the_screens_that_were_looked_at(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await turned(app, pilot)
        await pilot.press("down", "down")
        await settled(app, pilot)
        kept("calendar", app)


async def test_the_cursor_walks_and_says_its_dates_in_words(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        chart = await turned(app, pilot)
        assert "emerge, overdue, first Thu 18 June, middle Fri 19 June, last Fri 19 June" in dates(app)
        await pilot.press(*["down"] * 6)
        await pilot.pause()
        assert chart.line.row.label == "B" and line_of(app, "B").startswith(" › B")
        assert "12 eggs: hatch first Thu 18 June, middle Thu 18 June, last Fri 19 June; pupate first Thu 2 July" in dates(app)
        await pilot.press("pagedown")
        assert chart.line.row.label == "F"
        await pilot.pause()
        assert "cannot be forecast: its species is not known" in dates(app)
        await pilot.press("pageup")
        assert chart.line.row.label == "H"


async def test_escape_leads_from_a_cohort_back_to_where_it_was_opened(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await turned(app, pilot)
        await pilot.press("down", "down", "enter")
        await settled(app, pilot)
        assert app.screen.HEADING == "Cohort" and app.screen.label == "C"
        await pilot.press("escape")
        await settled(app, pilot)
        assert app.screen.query_one(Chart).line.row.label == "C"


async def test_labels_that_differ_at_their_end_are_told_apart_and_take_from_the_species(tmp_path):
    events = [
        Event("2031-07-10", "found", f"nettle-row-31{end}", species="Vanessa atalanta", stage="larva", count=5) for end in "abc"
    ]
    for size, told in (((40, 20), "net…1{}"), ((80, 24), "nettle…w-31{}"), ((120, 36), "nettle-row-31{}")):
        (tmp_path / f"{size[0]}").mkdir()
        async with opened(tmp_path, size, filled(tmp_path / f"{size[0]}", *events)) as (app, pilot):
            await turned(app, pilot)
            for end in "abc":
                assert any(line.lstrip(" ›").startswith(told.format(end) + " ") for line in lines(app)), (size, lines(app))


async def test_the_foot_names_days_zoom_and_the_way_back_where_there_is_hardly_room(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await turned(app, pilot)
        assert lines(app)[-1].strip() == "← → Days  + - Zoom  esc Back  ^p All"
        assert lines(app)[0].strip() == "Calendar  Thu 18 June · 9 cohorts"


async def test_few_columns_say_the_dates_in_few_words(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await turned(app, pilot)
        await pilot.press(*["down"] * 6)
        await pilot.pause()
        words = "12 eggs, first, middle, last: hatch 18, 18, 19 June; pupate 2, 5, 8 July; emerge 12, 15, 19 July."
        assert words in dates(app)


async def test_zoom_and_arrows_and_back_to_now(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        chart = await turned(app, pilot)
        left = chart.left
        await pilot.press("plus")
        assert chart.zoom == "week" and chart.scale.bar is not None
        await pilot.press("plus", "minus", "minus", "minus")
        assert chart.zoom == "season" and chart.scale.bar is not None
        await pilot.press("plus")
        assert chart.zoom == "month"
        await pilot.press("right", "right", "right", "right")
        assert chart.left > left and chart.scale.bar is None
        await pilot.press("n")
        assert chart.scale.bar is not None
        await pilot.press("left", "left", "left", "left", "left", "left")
        assert chart.left < left and chart.scale.bar is None
        await pilot.press("home")
        assert chart.scale.left == chart.scale._replace(left=left).left or chart.scale.bar is not None
        await pilot.press("end")
        last = chart.line.wave.changes[-1].last
        assert chart.scale.left < last < chart.scale.end


async def test_the_place_is_kept_when_it_is_read_again_and_resized(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        chart = await turned(app, pilot)
        await pilot.press("plus", "right", *["down"] * 5)
        place = (chart.line.name, chart.zoom, chart.left)
        with Store.open(tmp_path / "demo.db") as other:
            event = Event("2026-06-18T07:20", "found", "AA", species="Vanessa atalanta", stage="egg", count=2, enclosure="jar 9")
            assert not other.append([event]).faults
        app.screen.follow()
        await settled(app, pilot)
        await settled(app, pilot)
        assert (chart.line.name, chart.zoom, chart.left) == place
        assert "AA" in [line.row.label for line in chart.lines]
        for width, height in ((40, 20), (160, 50), (80, 24)):
            await pilot.resize_terminal(width, height)
            await settled(app, pilot)
            assert (chart.line.name, chart.zoom, chart.left) == place
            assert line_of(app, chart.line.row.label).startswith(" › ")


async def test_the_place_is_kept_while_another_leaf_is_in_front(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        chart = await turned(app, pilot)
        await pilot.press("plus", "right", *["down"] * 5)
        place = chart.place
        await pilot.press("escape")
        await settled(app, pilot)
        assert app.screen is app.conversation
        chart = await turned(app, pilot)
        assert chart.place == place and chart.line.row.label == "K"


async def test_what_has_ended_stands_below_and_can_be_left_out(tmp_path):
    events = [
        Event("2031-06-01", "found", "old", species="Vanessa atalanta", stage="larva", count=3, enclosure="tub"),
        Event("2031-06-20", "released", "old", count=3),
        Event("2030-06-01", "found", "older", species="Vanessa atalanta", stage="larva", count=1, enclosure="tub"),
        Event("2030-06-20", "died", "older", count=1),
        Event("2031-07-10", "found", "new", species="Vanessa atalanta", stage="larva", count=3, enclosure="tub"),
    ]
    async with opened(tmp_path, (120, 36), filled(tmp_path, *events)) as (app, pilot):
        chart = await turned(app, pilot)
        assert [line.row.label for line in chart.lines] == ["new", "old"]
        assert "  ended" in "\n".join(lines(app)) and "3 released" in line_of(app, "old")
        await pilot.press("down")
        await pilot.pause()
        assert chart.line.row.label == "old" and dates(app).startswith("old  ended Fri 20 June: 3 released")
        await pilot.press("e")
        await settled(app, pilot)
        assert [line.row.label for line in chart.lines] == ["new"]
        await pilot.press("e")
        await settled(app, pilot)
        assert [line.row.label for line in chart.lines] == ["new", "older", "old"]


async def test_enter_and_a_second_click_open_the_cohort(tmp_path, monkeypatch):
    async with opened(tmp_path) as (app, pilot):
        await turned(app, pilot)
        opened_pages = []
        monkeypatch.setattr(type(app), "action_leaf", lambda self, *of: opened_pages.append(of))
        await pilot.press("down", "enter")
        await pilot.pause()
        assert opened_pages == [("cohort", "E", "calendar")]
        chart = app.screen.query_one(Chart)
        await pilot.click(Chart, offset=(6, 2 + 3))
        assert chart.line.row.label == "D"
        await pilot.click(Chart, offset=(6, 2 + 3), times=2)
        await pilot.pause()
        assert opened_pages[1:] == [("cohort", "D", "calendar")]
        await pilot.click(Chart, offset=(6, 0))
        assert chart.line.row.label == "D"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("kind", HOSTILE)
async def test_hostile_names_break_no_row_and_are_shown_as_they_are(tmp_path, size, kind):
    name = HOSTILE[kind]
    events = [
        Event("2031-07-10", "found", name, species="Vanessa atalanta", stage="larva", count=5, enclosure=name),
        Event("2031-07-12", "split", name, stage="larva", count=2, to=name[:50] + "2"),
        Event("2031-07-14", "merged", name[:50] + "2", to=name),
        Event("2031-07-16", "found", "Z", species="unknown", stage="larva", count=1, enclosure="tub"),
    ]
    async with opened(tmp_path, size, filled(tmp_path, *events)) as (app, pilot):
        chart = await turned(app, pilot)
        assert all(cell_len(line) <= size[0] for line in lines(app))
        marked = [line for line in lines(app)[3 : 3 + len(chart.lines)] if "│" in line]
        assert len({cell_len(line[: line.index("│")]) for line in marked}) == 1
        assert "\x1b" not in screen_text(app) and "\u202e" not in screen_text(app)
        if kind == "markup" and size[0] >= 120:
            assert "[b]bold[/]" in screen_text(app)
        await pilot.press("down", "down", "down", "plus", "minus", "minus")
        await settled(app, pilot)
        assert app.is_running


@pytest.mark.parametrize("size", SIZES)
async def test_an_empty_nursery_says_how_to_begin(tmp_path, size):
    async with opened(tmp_path, size, Desk(tmp_path / "empty.db", NOW)) as (app, pilot):
        await turned(app, pilot)
        assert "No cohorts yet. Write down the first find" in dates(app)
        await pilot.press("down", "up", "plus", "minus", "n", "end", "enter", "pagedown", "left", "right", "e")
        await settled(app, pilot)
        assert app.is_running


async def test_without_colour_every_sign_says_what_it_means(tmp_path, monkeypatch):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        coloured = screen_text(app)
    monkeypatch.setenv("NO_COLOR", "1")
    folder = tmp_path / "again"
    folder.mkdir()
    async with opened(folder, (120, 36)) as (app, pilot):
        chart = await turned(app, pilot)
        assert app.no_color and screen_text(app) == coloured
        greys = {
            style.color.triplet
            for strip in app.screen._compositor.render_strips()
            for _, style, _ in strip
            if style and style.color and style.color.triplet
        }
        assert all(one.red == one.green == one.blue for one in greys)
        # What was, what lies between looks, what is to come, rest, now and the three marks are different signs.
        signs = "━ ─ ≈ │ ( ◆ ) ! ?".split()
        assert all(sign in coloured for sign in signs) and chart.line is not None


async def test_the_legend_is_whole_at_every_width(tmp_path):
    async with opened(tmp_path, (160, 50)) as (app, pilot):
        await turned(app, pilot)
        for width in (160, 120, 100, 80, 60, 48, 40):
            await pilot.resize_terminal(width, 24)
            await settled(app, pilot)
            for where in ("#signs", "#letters"):
                text = str(app.screen.query_one(where, Static).render())
                assert 0 < cell_len(text) <= width - 2 and text.rstrip("…") == text


async def test_three_hundred_cohorts_scroll_and_what_is_in_sight_is_worked_out_first(tmp_path):
    events = [
        Event(f"2031-07-{10 + number % 9}", "found", f"c{number:03}", species="unknown", stage="larva", count=2, enclosure="tub")
        for number in range(299)
    ]
    events.append(Event("2031-07-19", "found", "zz", species="Danaus plexippus", stage="egg", count=2, enclosure="jar"))
    async with opened(tmp_path, (80, 24), filled(tmp_path, *events)) as (app, pilot):
        chart = await turned(app, pilot)
        assert len(chart.lines) == 300 and chart.size.height < 30
        await pilot.press(*["pagedown"] * 30)
        await settled(app, pilot)
        assert chart.line.row.label == "zz" and "◆" in line_of(app, "zz")
        assert chart.in_sight()[-1] == "zz" and len(chart.in_sight()) <= 30
        await pilot.press("up")
        assert chart.scroll_y > 270


async def test_a_cohort_that_is_renamed_while_its_dates_are_worked_out_hinders_nothing(tmp_path, monkeypatch):
    from nurserytui.tui import calendar_leaf

    monkeypatch.setattr(calendar_leaf, "BUDGET", 0.0)
    work_on, seen = calendar_leaf.work_on, []

    def renamed_on_the_way(nursery, page, first=()):
        seen.append(len(page.waiting))
        if len(seen) == 3:
            assert not nursery.write([Event("2026-06-18T07:25", "renamed", "F", to="willow")]).faults
        return work_on(nursery, page, ("F",) if len(seen) == 3 else first)

    monkeypatch.setattr(calendar_leaf, "work_on", renamed_on_the_way)
    async with opened(tmp_path, (80, 24), Desk(private_copy(tmp_path), MOMENT)) as (app, pilot):
        chart = await turned(app, pilot)
        app.screen.follow()
        await settled(app, pilot)
        await settled(app, pilot)
        labels = [line.row.label for line in chart.lines]
        assert "willow" in labels and "F" not in labels
        assert not app.screen._real.waiting


async def test_what_the_wheel_was_turned_to_stays_when_it_is_read_again(tmp_path):
    events = [
        Event("2031-07-10", "found", f"c{number:03}", species="unknown", stage="larva", count=2, enclosure="tub")
        for number in range(120)
    ]
    async with opened(tmp_path, (80, 24), filled(tmp_path, *events)) as (app, pilot):
        chart = await turned(app, pilot)
        chart.scroll_to(y=60, animate=False, immediate=True)
        app.screen.follow()
        await settled(app, pilot)
        assert chart.scroll_y == 60 and chart.at == 0
        await pilot.press("down")
        assert chart.at == 1 and chart.scroll_y <= 1


async def test_the_row_of_the_cursor_stands_on_a_ground_of_its_own(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        chart = await turned(app, pilot)
        ground = chart.get_component_rich_style("chart--cursor", partial=True).bgcolor
        here, other = (list(chart.render_line(2 + at)) for at in (0, 1))
        assert sum(segment.style.bgcolor == ground for segment in here) > 5
        assert not any(segment.style.bgcolor == ground for segment in other)
        # What was keeps its tone.
        past = [segment for segment in here if "━" in segment.text]
        assert past and all(segment.style.bgcolor != ground for segment in past)


async def test_a_screen_of_rows_is_drawn_within_a_frame(tmp_path):
    """The processor time of drawing every row in sight anew, of 300 cohorts, the best of five: 50 ms are the most."""
    from time import thread_time

    events = [
        Event(
            f"2031-07-{10 + number % 9}",
            "found",
            f"c{number:03}",
            species="Danaus plexippus",
            stage="egg",
            count=2,
            enclosure="t",
        )
        for number in range(300)
    ]
    desk = filled(tmp_path, *events)
    async with opened(tmp_path, (160, 50), desk) as (app, pilot):
        app.action_leaf("calendar")
        while not (isinstance(app.screen, CalendarLeaf) and app.screen.query(Chart) and app.screen.query_one(Chart).lines):
            await pilot.pause()
        chart = app.screen.query_one(Chart)
        for act in (lambda: chart.action_shift(1), lambda: chart.action_rows(1), lambda: chart.action_zoom(1)):
            taken = []
            for _ in range(5):
                before = thread_time()
                act()
                for y in range(chart.size.height):
                    chart.render_line(y)
                taken.append(thread_time() - before)
            assert min(taken) < 0.05
        await app.desk.close()


async def test_a_desk_that_is_slow_shows_the_past_at_once(tmp_path, monkeypatch):
    from nurserytui.tui import calendar_leaf

    monkeypatch.setattr(calendar_leaf, "BUDGET", 0.0)
    shown = []
    draw = Chart.show
    monkeypatch.setattr(Chart, "show", lambda self, page: (shown.append(len(page.waiting)), draw(self, page)))
    monkeypatch.setattr(calendar_leaf, "REDRAW", 0.0)
    async with opened(tmp_path, (80, 24), Desk(private_copy(tmp_path), MOMENT)) as (app, pilot):
        await turned(app, pilot)
        assert shown[:9] == [8, 7, 6, 5, 4, 3, 2, 1, 0]
        assert "being worked out" not in screen_text(app)
