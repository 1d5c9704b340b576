"""Backups by the command line: made after the answer stands, listed, ruled by a typed line, put back by one command."""

from __future__ import annotations

import json
import os
import sqlite3
from datetime import date

import pytest

from nurserytui import cli
from nurserytui.commands import keeping
from nurserytui.records.backups.kept import folder_of, kept
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.store import Store
from tests.test_cli import run

LAID = Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")
NOW = "2031-06-10T08:00"


@pytest.fixture(autouse=True)
def state(tmp_path, monkeypatch):
    monkeypatch.setenv("NURSERYTUI_STATE", str(tmp_path / "state"))


@pytest.fixture
def db(tmp_path, monkeypatch):
    with Store.open(tmp_path / "nursery.db") as store:
        store.append([LAID])
    monkeypatch.setenv("NURSERYTUI_DB", str(tmp_path / "nursery.db"))
    return tmp_path / "nursery.db"


def whys(path) -> list[str]:
    return [one.why for one in kept(path)]


@pytest.mark.parametrize(
    "call", [("ask", "how many eggs", "--now", NOW), ("show", "board", "--now", "1999-01-01"), ("ask", "-", "--json")]
)
def test_the_first_call_of_a_day_leaves_a_backup_by_the_clock_of_the_computer(db, call):
    for _ in range(2):
        done = run(*call, stdin=b"how many eggs\n\nhow many eggs\n")
        assert done.returncode == 0 and done.stdout and not done.stderr
    [one] = kept(db)
    assert one.why == "daily" and one.events == 1 and abs((one.moment.date() - date.today()).days) <= 1
    assert check(one.path) == []


def test_the_demo_and_a_nursery_that_may_not_be_written_leave_none(db, tmp_path):
    assert run("ask", "how many larvae", "--demo").returncode == 0
    db.chmod(0o444)
    done = run("ask", "how many eggs", "--now", NOW)
    assert done.returncode == 0 and b"9" in done.stdout and not done.stderr
    assert not folder_of(db).exists()


def test_a_folder_that_cannot_be_written_is_told_once_beside_the_answer(db):
    folder_of(db).write_text("in the way")
    first, second = (run("ask", "how many eggs", "--now", NOW, "--json") for _ in range(2))
    assert first.returncode == second.returncode == 0
    assert json.loads(first.stdout) == json.loads(second.stdout)
    assert len(first.stderr.splitlines()) == 1 and b"No backup was made today" in first.stderr and not second.stderr


def test_backup_alone_makes_one_and_tells_the_rule_and_the_way_back(db):
    done = run("backup")
    lines = done.stdout.decode().splitlines()
    assert done.returncode == 0 and whys(db) == ["asked"]
    assert lines[0].endswith("with 1 event, read back") and lines[1].startswith("1  ") and lines[1].endswith("asked for")
    assert "nurserytui restore newest" in lines[2] and lines[3].startswith("A backup is made after the first answer of a day")
    assert "backups daily, keep 10 days" in lines[4]


def test_the_rule_is_changed_by_a_line_and_taken_back_by_undo(db):
    said = json.loads(run("ask", "backups off", "--now", NOW, "--json").stdout)
    assert (said["status"], said["items"][0]["detail"]) == ("recorded", "backups=off")
    assert whys(db) == [] and b"Backups are off" in run("backup").stdout
    assert run("ask", "undo", "--now", NOW).returncode == 0
    assert b"A backup is made after the first answer of a day" in run("backup").stdout


@pytest.mark.parametrize("left", [b"\x00" * 5000, b"dear", b"", None], ids=["damaged", "a letter", "zero bytes", "gone"])
def test_a_nursery_that_is_damaged_or_gone_comes_back_by_one_command(db, left):
    run("ask", "how many eggs", "--now", NOW)
    db.unlink() if left is None else db.write_bytes(left)
    listed = run("restore")
    assert listed.returncode == 0 and b"1 event" in listed.stdout and b"nurserytui restore newest" in listed.stdout
    shown = run("restore", "newest")
    assert shown.returncode == 0 and b"--yes" in shown.stdout and (db.read_bytes() if db.exists() else None) == left
    done = run("restore", "newest", "--yes")
    assert done.returncode == 0 and b"with 1 event, read back" in done.stdout and check(db) == []
    kept_aside = [*db.parent.glob("nursery.set-aside-*.db")]
    assert [aside.read_bytes() for aside in kept_aside] == ([left] if left else [])
    assert all(str(aside).encode() in done.stdout for aside in kept_aside)


def test_which_backup_is_meant(db):
    run("backup")
    with sqlite3.connect(db) as other:
        other.execute("PRAGMA user_version = 1000")
    other.close()
    [one] = kept(db)
    for which in (
        "newest",
        "1",
        f"{one.moment:%Y-%m-%d}",
        f"{one.moment:%Y-%m-%dT%H:%M}",
        f"{one.moment:%Y-%m-%d %H:%M:%S}",
        one.path.name,
        one.path,
    ):
        assert str(one.path).encode() in run("restore", which).stdout, which
    for which in ("2", "0", "1999-01-01", "no-such-file.db"):
        done = run("restore", which)
        assert done.returncode == 2 and len(done.stderr.splitlines()) == 1


def test_a_lost_nursery_is_told_with_its_backups_and_no_empty_one_takes_its_place(db):
    """A question once made a new, empty file where the nursery had been, and said that nothing had been recorded."""
    run("ask", "how many eggs", "--now", NOW)
    db.unlink()
    for call in (
        ("ask", "how many eggs"),
        ("ask", "found 3 eggs"),
        ("ask", "-"),
        ("show", "board"),
        ("check",),
        ("export", "a.csv"),
        ("backup",),
    ):
        done = run(*call, stdin=b"how many eggs\n")
        assert done.returncode == 2 and len(done.stderr.splitlines()) == 1 and not done.stdout, call
        assert b"there is no nursery file" in done.stderr and b"with 1 event: nurserytui restore newest" in done.stderr, call
        assert not db.exists()
    assert run("restore", "newest", "--yes").returncode == 0 and check(db) == []
    assert run("backup", "--db", db.with_name("new.db")).returncode == 2
    assert run("ask", "cleaned jar 1", "--db", db.with_name("new.db"), "--now", NOW).returncode == 0


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes of POSIX")
def test_a_pipe_is_no_nursery_and_nobody_waits_for_it(db, tmp_path):
    """Opening one to look at its first bytes once waited for ever, and a restore or a backup took its place."""
    pipe = tmp_path / "pipe.db"
    os.mkfifo(pipe)
    for call in (("ask", "how many eggs"), ("show", "board"), ("check",), ("backup",), ("restore", db, "--yes")):
        done = run(*call, "--db", pipe)
        assert done.returncode == 2 and b"is no ordinary file" in done.stderr, call
    for call in (("backup", pipe), ("restore", pipe)):
        done = run(*call)
        assert done.returncode == 2 and b"is no ordinary file" in done.stderr, call
    assert pipe.is_fifo()


def test_a_restore_that_takes_long_says_what_goes_on(db, capsys, monkeypatch):
    run("backup")
    monkeypatch.setattr(keeping, "LONG", 0.0)
    assert cli.main(["restore", "newest", "--yes"]) == 0
    told = capsys.readouterr()
    assert "looking through the backup" in told.err and "putting the backup in place" in told.err and "read back" in told.out
    monkeypatch.setattr(keeping, "LONG", 600.0)
    assert cli.main(["restore", "newest"]) == 0 and not capsys.readouterr().err
