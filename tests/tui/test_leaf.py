"""A leaf: read in the desk's thread, drawn when it is there, left by Escape."""

from __future__ import annotations

from screens import Counting, opened, screen_text, settled

from nurserytui.tui.question_line import QuestionLine


class Failing(Counting):
    def page(self, nursery):
        raise ValueError("[/b] no such thing")


async def test_a_leaf_shows_what_it_read_and_escape_goes_back_to_the_line(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.conversation.query_one(QuestionLine).value = "half a thou"
        app.push_screen(Counting())
        await settled(app, pilot)
        assert "60 animals" in screen_text(app)
        await pilot.press("escape")
        assert app.screen is app.conversation and app.query_one(QuestionLine).value == "half a thou"


async def test_a_leaf_in_front_follows_what_is_written(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.push_screen(Counting())
        await settled(app, pilot)
        app.action_send("one D died, drowned")
        await settled(app, pilot)
        await settled(app, pilot)
        assert "59 animals" in screen_text(app)


class Undrawn(Counting):
    def draw(self, page):
        raise ValueError("it has no place")


async def test_a_leaf_that_cannot_be_drawn_says_so_and_the_app_goes_on(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.push_screen(Undrawn())
        await settled(app, pilot)
        assert "could not be read: it has no place" in screen_text(app) and app.is_running


async def test_a_leaf_that_cannot_be_read_says_so_and_the_app_goes_on(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.push_screen(Failing())
        await settled(app, pilot)
        assert "could not be read: [/b] no such thing" in screen_text(app) and app.is_running
