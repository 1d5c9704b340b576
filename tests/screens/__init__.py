"""The app opened in a test, what its screen shows as text, and the screens that were kept as they should be."""

from __future__ import annotations

import os
from contextlib import asynccontextmanager
from pathlib import Path

from textual.widgets import Static

from nurserytui.demo import MOMENT, private_copy
from nurserytui.tui.app import NurseryApp
from nurserytui.tui.desk import Desk
from nurserytui.tui.leaf import Leaf
from nurserytui.tui.question_line import QuestionLine

KEPT = Path(__file__).parent / "kept"
"""Screens as they should be, one text file each: name, columns, rows."""
SIZES = [(160, 50), (120, 36), (80, 24), (40, 20)]


@asynccontextmanager
async def opened(folder, size=(120, 36), desk=None):
    """The app on a private copy of the demo nursery at its own moment (or at the desk given), settled."""
    app = NurseryApp(desk or Desk(private_copy(folder), MOMENT), demo=desk is None)
    async with app.run_test(size=size) as pilot:
        await settled(app, pilot)
        yield app, pilot
        await app.desk.close()


async def settled(app, pilot) -> None:
    """Until nothing is being worked on or drawn."""
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause()


async def send(app, pilot, text: str) -> None:
    """Type a line and send it."""
    app.conversation.query_one(QuestionLine).value = text
    await pilot.press("enter")
    await settled(app, pilot)


def drawn(app) -> list:
    """What is drawn on the screen in front, a strip a row."""
    return app.screen._compositor.render_strips()


def screen_text(app) -> str:
    """The screen in front as lines of text, without trailing blanks."""
    strips = drawn(app)
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips) + "\n"


def kept(name: str, app) -> None:
    """Hold the screen against the one kept under that name and its size. With KEEP_SCREENS=1 what is shown now is kept instead."""
    width, height = app.size
    file = KEPT / f"{name}-{width}x{height}.txt"
    shown = screen_text(app)
    if os.environ.get("KEEP_SCREENS"):
        KEPT.mkdir(exist_ok=True)
        file.write_text(shown, encoding="utf-8")
    assert file.is_file(), f"no screen is kept as {file.name}: look at it, then keep it with KEEP_SCREENS=1"
    # The keys at the foot name whatever leaves there are: they have tests of their own.
    assert shown.splitlines()[:-1] == file.read_text(encoding="utf-8").splitlines()[:-1]


class Counting(Leaf):
    """The least leaf that there can be."""

    HEADING = "Counting"

    def body(self):
        yield Static("", id="count")

    def page(self, nursery):
        return sum(count for _, count in nursery.heads())

    def draw(self, page):
        self.query_one("#count", Static).update(f"{page} animals here")
