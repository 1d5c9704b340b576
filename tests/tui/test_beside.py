"""What happens beside the conversation: another process writes, the file goes away, time passes. Nothing typed is lost."""

from __future__ import annotations

import asyncio
import os
import time
from datetime import datetime

import pytest
from screens import Counting, opened, screen_text, send, settled
from screens.clocks import MovableClock
from textual.widgets import Static

from nurserytui.demo import MOMENT, private_copy
from nurserytui.records.events import Event
from nurserytui.records.store import Store
from nurserytui.tui.app import LOOK_EVERY
from nurserytui.tui.desk import Desk
from nurserytui.tui.notebook import Notebook
from nurserytui.tui.question_line import QuestionLine

SLOW = float(os.environ.get("SLOW_MACHINE", "1"))


async def until(true, seconds: float) -> float:
    """Seconds that it took until `true()`."""
    started = time.monotonic()
    while not true():
        assert time.monotonic() - started < seconds * SLOW, "it did not come about"
        await asyncio.sleep(0.02)
    return time.monotonic() - started


async def test_another_processs_write_shows_on_board_strip_and_leaf_in_time(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        app.push_screen(Counting())
        await settled(app, pilot)
        assert "60 animals here" in screen_text(app)
        app.conversation.query_one(QuestionLine).value = "half a thou"
        with Store.open(tmp_path / "demo.db") as other:
            assert not other.append([Event("2026-06-18T07:20", "died", "D", count=3, stage="larva", enclosure="tub 2")]).faults
        await until(lambda: "57 animals here" in screen_text(app), LOOK_EVERY + 1.5)
        await pilot.press("escape")
        await settled(app, pilot)
        assert sum(row.count for row in app.sheet.rows) == 57 and "57 animals" in str(app.query_one("#strip", Static).render())
        assert app.query_one(QuestionLine).value == "half a thou"


class Today(Counting):
    HEADING = "Today"

    def page(self, nursery):
        return f"{nursery.now:%A %d}, {super().page(nursery)}"


async def test_midnight_passes_on_the_board_and_on_the_leaf_in_front(tmp_path):
    """Twenty minutes to midnight of the 18th in the demo's season; the demo's clock runs on from there."""
    clock = MovableClock("2030-01-01T12:00Z")
    async with opened(tmp_path, desk=Desk(private_copy(tmp_path), datetime(2026, 6, 18, 23, 40), clock)) as (app, pilot):
        app.push_screen(Today())
        await settled(app, pilot)
        assert "Thursday 18, 60" in screen_text(app)
        clock.on(minutes=21)
        app.look()
        await settled(app, pilot)
        await settled(app, pilot)
        assert "Friday 19, 60" in screen_text(app) and "Friday 19 June 2026, 00:01" in str(
            app.query_one("#head", Static).render()
        )


async def test_nothing_is_drawn_while_nothing_changes(tmp_path, monkeypatch):
    clock = MovableClock("2026-06-18T05:30Z")
    async with opened(tmp_path, desk=Desk(private_copy(tmp_path), MOMENT, clock)) as (app, pilot):
        shown = []
        monkeypatch.setattr(app, "show", shown.append)
        for _ in range(3):
            app.look()
            await settled(app, pilot)
        assert shown == []
        clock.on(minutes=1)
        app.look()
        await settled(app, pilot)
        assert len(shown) == 1


@pytest.mark.parametrize("size", [(120, 36), (40, 20)])
async def test_a_file_that_goes_away_is_told_on_the_page(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        app.query_one(QuestionLine).value = "half a thou"
        (tmp_path / "demo.db").rename(tmp_path / "aside.db")
        app.look()
        await settled(app, pilot)
        assert (
            "is not there any more" in app.query_one(Notebook).exchanges[-1].told
            and app.query_one(QuestionLine).value == "half a thou"
        )
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.is_running


async def test_a_record_that_the_file_could_not_take_comes_back_to_the_line(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        (tmp_path / "demo.db").rename(tmp_path / "aside.db")
        await send(app, pilot, "one D died, drowned")
        assert app.line.value == "one D died, drowned"
        (tmp_path / "aside.db").rename(tmp_path / "demo.db")
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.line.value == "" and sum(row.count for row in app.sheet.rows) == 59
