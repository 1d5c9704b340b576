"""A leaf: read in the desk's thread, drawn when it is there, left by Escape."""

from __future__ import annotations

from time import sleep

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


class Slow(Counting):
    def page(self, nursery):
        sleep(1.0)
        return super().page(nursery)


async def test_a_leaf_that_takes_long_says_that_it_is_being_worked_out(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.push_screen(Slow())
        await pilot.pause(0.7)
        assert screen_text(app).startswith(" Counting  working it out")
        await settled(app, pilot)
        assert screen_text(app).splitlines()[0].strip() == "Counting" and "60 animals" in screen_text(app)


async def test_a_line_that_takes_long_to_answer_says_so(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.desk.aside(sleep, 1.0)
        app.action_send("how many B")
        await pilot.pause(0.8)
        assert "working it out" in screen_text(app)
        await settled(app, pilot)
        assert "working it out" not in screen_text(app) and "12 eggs" in screen_text(app)


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
