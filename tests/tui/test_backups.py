"""The app makes the day's backup while nobody asks for anything, and tells nothing of it unless it failed."""

from __future__ import annotations

from datetime import date

import pytest
from screens import opened, settled

from nurserytui.demo import MOMENT, private_copy
from nurserytui.records.backups.kept import folder_of, kept
from nurserytui.records.checking import check
from nurserytui.tui import app as app_module
from nurserytui.tui import ending
from nurserytui.tui.desk import Desk
from nurserytui.tui.errands import begin, commands
from nurserytui.tui.hand import Hand
from nurserytui.tui.notebook import Notebook


@pytest.fixture(autouse=True)
def state(tmp_path, monkeypatch):
    monkeypatch.setenv("NURSERYTUI_STATE", str(tmp_path / "state"))


@pytest.fixture
def path(tmp_path):
    return private_copy(tmp_path)


def told(app) -> list[str]:
    return [exchange.told for exchange in app.conversation.query_one(Notebook).exchanges if exchange.told]


async def idle(app, pilot) -> None:
    """The looks at the clock and the file until the board stands, and one more."""
    sheet = app.sheet
    while sheet is not None and sheet.pending:
        sheet = await app.desk.look()
    await app.desk.look()
    if (sheet := await app.desk.watch()) is not None:
        app.show(sheet)
    await settled(app, pilot)


async def test_the_first_idle_moment_of_a_day_leaves_one_backup_and_says_nothing(tmp_path, path):
    async with opened(tmp_path, desk=Desk(path, MOMENT, backups=True)) as (app, pilot):
        before = told(app)
        for _ in range(2):
            await idle(app, pilot)
        [one] = kept(path)
        assert one.why == "daily" and abs((one.moment.date() - date.today()).days) <= 1 and check(one.path) == []
        assert told(app) == before


async def test_a_backup_gives_way_to_a_question_and_is_made_when_nobody_asks_again(tmp_path, path, monkeypatch):
    async with opened(tmp_path, desk=Desk(path, MOMENT, backups=True)) as (app, pilot):
        with monkeypatch.context() as asked:
            asked.setattr(Hand, "awaited", True)
            await idle(app, pilot)
            assert not [*folder_of(path).iterdir()]
        await idle(app, pilot)
        assert len([*kept(path)]) == 1


async def test_a_backup_that_cannot_be_made_is_told_once_on_the_page(tmp_path, path):
    folder_of(path).write_text("in the way")
    async with opened(tmp_path, desk=Desk(path, MOMENT, backups=True)) as (app, pilot):
        for _ in range(3):
            await idle(app, pilot)
        assert len([line for line in told(app) if "No backup was made today" in line]) == 1


@pytest.mark.parametrize("demo", [True, False])
def test_the_demo_makes_none(path, monkeypatch, demo):
    started = []

    async def run(app, mouse):
        started.append(app)
        return 0

    monkeypatch.setattr(ending, "run", run)
    app_module.run(path, None, demo=demo)
    assert started[0].desk._backups is not demo


async def test_one_is_made_by_hand_and_those_kept_are_told(tmp_path, path):
    async with opened(tmp_path, desk=Desk(path, MOMENT)) as (app, pilot):
        begin(app, "keep")
        await settled(app, pilot)
        [one] = kept(path)
        assert one.why == "asked" and told(app)[-1].startswith("Backed up: ") and str(one.path) in told(app)[-1]
        next(call for title, _, call in commands(app) if "restore" in title)()
        await settled(app, pilot)
        answers = [exchange.answer for exchange in app.conversation.query_one(Notebook).exchanges if exchange.answer]
        assert answers[-1].text.startswith(f"The last backup is of {one.said}")
