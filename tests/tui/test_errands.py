"""Long work in the app: asked for on one line, told in one row, stopped with nothing kept, its faults as lines on the page."""

from __future__ import annotations

import asyncio
import sqlite3
import time
from datetime import datetime, timedelta

import pytest
from screens import SIZES, Counting, opened, screen_text, settled
from textual.widgets import Input, OptionList

from nurserytui.demo import MOMENT, private_copy
from nurserytui.exports.export import export_records
from nurserytui.records.progress import Stopped
from nurserytui.records.store import Store
from nurserytui.tui.desk import Desk, Doing
from nurserytui.tui.doing_row import DoingRow, said
from nurserytui.tui.errands import ERRANDS, begin, commands
from nurserytui.tui.notebook import Notebook
from nurserytui.tui.path_line import Asked, PathLine, judged, parted, there
from nurserytui.tui.question_line import QuestionLine


def told(app) -> list[str]:
    return [exchange.told for exchange in app.conversation.query_one(Notebook).exchanges if exchange.told]


async def until(true, seconds: float = 30) -> None:
    started = time.monotonic()
    while not true():
        assert time.monotonic() - started < seconds, "it did not come about"
        await asyncio.sleep(0.02)


async def sent(app, pilot, name: str, path) -> None:
    """Begin an errand and send the path."""
    begin(app, name)
    await until(lambda: isinstance(app.screen, PathLine))
    app.screen.query_one(Input).value = str(path)
    await pilot.press("enter")
    await until(lambda: not isinstance(app.screen, PathLine))
    await settled(app, pilot)


def readings(folder, rows: int):
    file, began = folder / "logger.csv", datetime(2025, 6, 1)
    lines = [f"{began + timedelta(minutes=at)},tub 2,{20 + at % 7}" for at in range(rows)]
    file.write_text("\n".join(["time,place,temperature_C", *lines]) + "\n", encoding="utf-8")
    return file


@pytest.mark.parametrize("size", SIZES)
async def test_a_file_is_imported_by_key_at_every_size_and_the_line_stays(tmp_path, size):
    file = readings(tmp_path, 40)
    async with opened(tmp_path, size) as (app, pilot):
        app.query_one(QuestionLine).value = "half a thou"
        await pilot.press("ctrl+o")
        await until(lambda: isinstance(app.screen, PathLine))
        await pilot.pause()
        assert "Import which file" in screen_text(app)
        app.screen.query_one(Input).value = str(file)
        await pilot.press("enter")
        await until(lambda: not isinstance(app.screen, PathLine))
        await settled(app, pilot)
        assert told(app)[-1].startswith("logger.csv: 40 readings imported, 0 already known.")
        assert app.query_one(QuestionLine).value == "half a thou" and app.focused is app.query_one(QuestionLine)


@pytest.mark.parametrize(
    ("name", "ending"),
    [
        ("csv", ".csv"),
        ("jsonl", ".jsonl"),
        ("readings", ".csv"),
        ("ics", ".ics"),
        ("zip", ".zip"),
        ("html", ".html"),
        ("backup", ".db"),
    ],
)
async def test_files_are_written_and_said(tmp_path, name, ending):
    target = tmp_path / f"out{ending}"
    async with opened(tmp_path) as (app, pilot):
        await sent(app, pilot, name, target.with_suffix(""))
        assert ("names left out, notes left out" in told(app)[-1]) == name.endswith("for others")
        assert target.stat().st_size > 100 and str(target) in told(app)[-1] and not list(tmp_path.glob("*.part"))


async def test_a_check_says_that_all_is_well_and_what_is_not(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        begin(app, "check")
        await until(lambda: "is whole" in "".join(told(app)))
        other = sqlite3.connect(tmp_path / "demo.db")
        other.execute("UPDATE heads SET count = count + 1 WHERE cohort = 'D'")
        other.commit()
        other.close()
        begin(app, "check")
        await until(lambda: "is not whole" in told(app)[-1])
        assert "cohort D has 13 larvae in tub 2 by the events, but 14 in the file" in told(app)[-1]


async def test_faults_of_a_file_are_lines_on_the_page_and_nothing_is_written(tmp_path):
    file = tmp_path / "[b]bad\x1b.csv"
    rows = [f"2026-06-09,died,D,many {number}" for number in range(40)]
    file.write_text(
        "\n".join(["when,what,cohort,count", "never,died,D,1", "2026-06-09,flew,D,1", *rows]) + "\n", encoding="utf-8"
    )
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        before = len(app.desk._store.events())
        await sent(app, pilot, "import", file)
        lines = told(app)[-1].splitlines()
        assert lines[0].endswith("42 faults.") and lines[1].startswith("line 2, when: ") and lines[2].startswith("line 3, what: ")
        assert lines[-2:] == ["and 12 more:", "  12 × count: … is no count (first in line 32)"] and "\x1b" not in screen_text(app)
        assert len(app.desk._store.events()) == before


@pytest.mark.parametrize(
    "content", [b"", b"a;b\n1;2\n", b"\xff\xfea\x00", b'when,what\n"2026-06-01,note\n', b"\x00\x01", b"colour,size\n1,2\n"]
)
async def test_what_is_no_table_is_one_sentence(tmp_path, content):
    file = tmp_path / "x.csv"
    file.write_bytes(content)
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await sent(app, pilot, "import", file)
        assert told(app)[-1].startswith("Nothing was imported from x.csv: one fault.") and app.is_running


async def test_esc_stops_an_import_and_nothing_of_it_is_kept(tmp_path):
    file = readings(tmp_path, 200_000)
    async with opened(tmp_path) as (app, pilot):
        begin(app, "import")
        await until(lambda: isinstance(app.screen, PathLine))
        app.screen.query_one(Input).value = str(file)
        app.simulate_key("enter")  # the pilot's own press waits until the work is done
        row = app.conversation.query_one(DoingRow)
        await until(lambda: row.display and "of 200,000 rows" in str(row.render()))
        assert "Esc stops it" in str(row.render()) and "what you ask waits" in str(row.render())
        app.action_send("how many D")
        app.simulate_key("escape")
        await until(lambda: "Stopped importing logger.csv" in "".join(told(app)))
        await settled(app, pilot)
        assert "nothing of it was kept" in told(app)[-1]
        with Store.open(tmp_path / "demo.db") as store:
            assert not store.readings("tub 2", until=datetime(2025, 12, 31))
        assert any(exchange.answer for exchange in app.query_one(Notebook).exchanges), "what was asked meanwhile is answered"
        await until(lambda: not row.display)
        await pilot.press("escape")
        assert app.is_running


async def test_quitting_while_a_file_is_imported_is_prompt_and_keeps_nothing(tmp_path):
    file = readings(tmp_path, 200_000)
    async with opened(tmp_path) as (app, pilot):
        before = len(app.desk._store.readings())
        begin(app, "import")
        await until(lambda: isinstance(app.screen, PathLine))
        app.screen.query_one(Input).value = str(file)
        app.simulate_key("enter")  # the pilot's own press waits until the work is done
        await until(lambda: app.desk.doing is not None and app.desk.doing.done)
        app.simulate_key("ctrl+q")
        await until(lambda: not app.is_running, 2)
    with Store.open(tmp_path / "demo.db") as store:
        assert len(store.readings()) == before


async def test_one_thing_at_a_time_and_the_palette_offers_to_stop(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        assert "Stop what is being done" not in [title for title, *_ in commands(app)]
        errand = asyncio.ensure_future(app.desk.errand("counting", lambda nursery, progress: _until_stopped(progress)))
        await until(lambda: app.desk.doing is not None)
        begin(app, "check")
        await until(lambda: "One thing at a time: counting goes on." in told(app))
        assert [title for title, *_ in commands(app)][0] == "Stop what is being done"
        app.desk.stop()
        with pytest.raises(Stopped):
            await errand


async def test_a_leaf_that_is_turned_to_meanwhile_says_that_it_waits(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, _):
        errand = asyncio.ensure_future(app.desk.errand("counting", lambda nursery, progress: _until_stopped(progress)))
        await until(lambda: app.desk.doing is not None)
        app.push_screen(Counting())
        await until(lambda: "counting: 1 of 2 sheep" in screen_text(app))
        assert "animals here" not in screen_text(app)
        app.desk.stop()
        await until(lambda: "60 animals here" in screen_text(app))
        await until(lambda: "sheep" not in screen_text(app))
        with pytest.raises(Stopped):
            await errand


def _until_stopped(progress) -> None:
    while True:
        progress(1, 2, "sheep")
        time.sleep(0.01)


async def test_every_errand_is_in_the_palette(tmp_path):
    async with opened(tmp_path) as (app, _):
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert {errand.title for errand in ERRANDS.values()} <= set(titles)


async def test_a_path_is_completed_by_tab_arrows_and_mouse_and_left_by_escape(tmp_path):
    for name in ("seasons.csv", "season-2.csv", "notes.md"):
        (tmp_path / name).write_text("x", encoding="utf-8")
    (tmp_path / "sea side").mkdir()
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        begin(app, "import")
        await until(lambda: isinstance(app.screen, PathLine))
        line, listed = app.screen.query_one(Input), app.screen.query_one(OptionList)
        line.value = f"{tmp_path}/s"
        await until(lambda: listed.option_count == 3)
        await pilot.press("tab")
        assert line.value == f"{tmp_path}/sea"
        await until(lambda: listed.option_count == 3)
        await pilot.press("down", "down", "tab")
        assert line.value == f"{tmp_path}/season-2.csv"
        line.value = f"{tmp_path}/sea"
        await until(lambda: listed.region.height == 3)
        await pilot.pause()
        await pilot.click(OptionList, offset=(2, 2))
        assert line.value == f"{tmp_path}/seasons.csv"
        line.value = f"{tmp_path}/nothing.csv"
        await pilot.press("enter")
        await until(lambda: "There is no such file." in screen_text(app))
        await pilot.press("escape")
        await settled(app, pilot)
        assert app.screen is app.conversation and not [text for text in told(app) if "import" in text.lower()]


async def test_a_file_that_is_there_is_written_over_only_when_said_twice(tmp_path):
    target = tmp_path / "out.csv"
    with Store.memory() as empty:
        export_records(empty, target, "csv")
    older = target.read_bytes()
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        begin(app, "csv")
        await until(lambda: isinstance(app.screen, PathLine))
        assert app.screen.query_one(Input).value == "demo-2026-06-18.csv"
        app.screen.query_one(Input).value = str(target)
        await pilot.press("enter")
        await until(lambda: "Enter again writes over it" in screen_text(app))
        assert target.read_bytes() == older
        await pilot.press("enter")
        await until(lambda: not isinstance(app.screen, PathLine))
        await settled(app, pilot)
        assert target.stat().st_size > 1000


async def test_an_export_never_writes_over_what_is_no_older_export(tmp_path):
    target = tmp_path / "out.csv"
    target.write_text("mine", encoding="utf-8")
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        begin(app, "csv")
        await until(lambda: isinstance(app.screen, PathLine))
        app.screen.query_one(Input).value = str(target)
        await pilot.press("enter")
        await until(lambda: "Enter again" in screen_text(app))
        await pilot.press("enter")
        await until(lambda: "is no older export" in "".join(told(app)))
        assert target.read_text(encoding="utf-8") == "mine"


async def test_a_backup_never_writes_over_what_is_no_backup(tmp_path):
    target = tmp_path / "mine.db"
    target.write_text("mine " * 100, encoding="utf-8")
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        begin(app, "backup")
        await until(lambda: isinstance(app.screen, PathLine))
        app.screen.query_one(Input).value = str(target)
        await pilot.press("enter")
        await until(lambda: "Enter again" in screen_text(app))
        await pilot.press("enter")
        await until(lambda: "is not a backup" in "".join(told(app)))
        assert target.read_text(encoding="utf-8") == "mine " * 100


async def test_a_nursery_that_cannot_be_written_says_so(tmp_path):
    file, nursery = readings(tmp_path, 10), private_copy(tmp_path)
    nursery.chmod(0o444)
    async with opened(tmp_path, (80, 24), desk=Desk(nursery, MOMENT)) as (app, pilot):
        await sent(app, pilot, "import", file)
        assert "read-only" in told(app)[-1] and told(app)[-1].endswith("Nothing was written.")


READ = Asked("?", "", (".csv",), False)
WRITE = Asked("?", "", (".ics",), True)


@pytest.mark.parametrize(
    ("typed", "asked", "wrong"),
    [
        ("", READ, "Which file?"),
        ("gone.csv", READ, "There is no such file."),
        ("here.csv", READ, ""),
        ("'here.csv'", READ, ""),
        ("sub", READ, "That is a folder: which file in it?"),
        ("a\0b", READ, "Th"),
        ("x" * 5000, READ, "Th"),
        ("new", WRITE, ""),
        ("new.csv", WRITE, "The name has to end in .ics."),
        ("nowhere/new.ics", WRITE, "There is no such folder."),
        ("old.ics", WRITE, "There is such a file"),
    ],
)
def test_a_path_is_judged_before_anything_is_done(tmp_path, monkeypatch, typed, asked, wrong):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "sub").mkdir()
    for name in ("here.csv", "old.ics"):
        (tmp_path / name).write_text("x", encoding="utf-8")
    said = judged(typed, asked)[1]
    assert said.startswith(wrong) and bool(said) is bool(wrong)


def test_names_are_offered_by_how_they_begin(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in ("Bees.csv", "beetles.CSV", "birds.csv", ".hidden.csv", "bees.txt"):
        (tmp_path / name).write_text("x", encoding="utf-8")
    (tmp_path / "beds").mkdir()
    assert there("be", (".csv",)) == ["beds/", "Bees.csv", "beetles.CSV"]
    assert there(".h", (".csv",)) == [".hidden.csv"] and there("gone/", (".csv",)) == [] and there("birds.csv", (".csv",)) == []
    assert parted("~/a/b") == ("~/a/", "b") and parted("b") == ("", "b")


@pytest.mark.parametrize(
    ("width", "shown"),
    [
        (100, "importing seasons.csv: 45,000 of 210,000 rows read · what you ask waits · Esc stops it"),
        (70, "importing seasons.csv: 45,000 of 210,000 rows read · Esc stops it"),
        (50, "45,000 of 210,000 rows read · Esc stops it"),
        (38, "21 % · Esc stops it · importing seasons.csv"),
    ],
)
def test_the_row_says_what_matters_first_where_it_is_narrow(width, shown):
    assert said(Doing("importing seasons.csv", "rows read", 45_000, 210_000), width) == shown


def test_the_row_shows_hostile_names_as_plain_text():
    assert "\x1b" not in said(Doing("importing \x1b[31m[b]x.csv", "rows read", 1, 2), 200)
