"""Copies that are kept beside a nursery: private, proved, named by when and why, and only ours are counted."""

from __future__ import annotations

import os
import sqlite3
import stat
from datetime import datetime

import pytest

from nurserytui.records.backups import copying
from nurserytui.records.backups.choosing import chosen, way_back
from nurserytui.records.backups.kept import folder_of, keep, kept, told_by
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.store import Damaged, Store, StoreError

LAID = Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")
DIED = Event("2031-06-02", "died", "A", count=2)
NOW = datetime(2026, 6, 17, 7, 30)


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "nursery.db") as store:
        store.append([LAID])
    return tmp_path / "nursery.db"


def test_a_copy_is_private_whole_and_named_by_when_and_why(path):
    made = keep(path, "daily", NOW)
    assert made.path == path.parent / "nursery.backups" / "2026-06-17T073000-daily.db"
    assert (made.moment, made.why, made.events, made.size) == (NOW, "daily", 1, made.path.stat().st_size)
    assert check(made.path) == []
    assert os.listdir(made.path.parent) == [made.path.name]
    if os.name == "posix":
        assert stat.S_IMODE(made.path.stat().st_mode) == 0o600 and stat.S_IMODE(made.path.parent.stat().st_mode) == 0o700


def test_what_others_write_while_a_copy_is_made_is_not_in_it(path, monkeypatch):
    monkeypatch.setattr(copying, "PAGES", 1)
    written = []

    def progress(done, total, what):
        if len(written) < 5:
            with Store.open(path) as other:
                written.extend(other.append([DIED._replace(count=1)]).events)

    made = keep(path, "daily", NOW, progress)
    assert made.events == 1 and len(written) == 5 and check(made.path) == []
    with Store.open(path) as store:
        assert len(store.events()) == 6


def test_two_of_one_second_are_two_files(path):
    assert len({keep(path, "asked", NOW).path for _ in range(3)}) == 3


def test_the_newest_is_told_with_the_way_back(path, monkeypatch):
    assert chosen(path).newest is None and way_back(path) == ""
    keep(path, "before-import", NOW)
    with Store.open(path) as store:
        store.append([DIED])
    keep(path, "daily", NOW.replace(day=18))
    told = "the newest backup is of Thu 18 June 2026, 07:30, with 2 events: nurserytui restore newest"
    assert way_back(path) == f"{told} --db {path}"
    monkeypatch.setenv("NURSERYTUI_DB", str(path))
    assert way_back(path) == told
    assert [one.why for one in kept(path)] == ["daily", "before-import"]


def test_a_copy_from_the_future_is_not_the_newest(path):
    keep(path, "daily", NOW.replace(year=2036))
    keep(path, "daily", NOW)
    assert chosen(path, NOW).newest.moment == NOW
    assert [one.moment.year for one in kept(path, NOW)] == [2026, 2036]


def test_what_is_not_ours_is_passed_over(path):
    made = keep(path, "daily", NOW)
    folder = folder_of(path)
    (folder / "2026-06-18T073000-daily.db").write_bytes(b"")
    (folder / "2026-06-19T073000-daily.db").write_text("dear")
    (folder / "2026-06-20T073000-daily.db").write_bytes(made.path.read_bytes()[:200])
    (folder / "2026-13-20T073000-daily.db").write_bytes(made.path.read_bytes())
    (folder / "mine.db").write_bytes(made.path.read_bytes())
    (folder / "2026-06-21T073000-daily.db").mkdir()
    with sqlite3.connect(folder / "2026-06-22T073000-daily.db") as other:
        other.execute("CREATE TABLE events (seq)")
    other.close()
    assert list(kept(path)) == [made]
    assert told_by("2026-06-20T073000-weekly.db") == (None, "")


def test_a_damaged_nursery_is_not_copied_and_nothing_stays(path):
    path.write_bytes(path.read_bytes()[:8192] + b"\x09" * 30000)
    with pytest.raises(Damaged):
        keep(path, "daily", NOW)
    assert not os.listdir(folder_of(path))


def test_a_folder_that_cannot_be_is_one_line(path):
    folder_of(path).write_text("in the way")
    with pytest.raises(StoreError, match="the folder for backups cannot be written"):
        keep(path, "daily", NOW)


def test_what_a_copy_that_was_broken_off_left_is_taken_away_a_day_later(path):
    folder_of(path).mkdir()
    old, fresh, theirs = (
        folder_of(path) / name for name in ("2026-06-15T073000-daily.db.part", "2026-06-17T073000-asked.db.part", "film.db.part")
    )
    for file in (old, fresh, theirs):
        file.write_bytes(b"x")
    for file in (old, theirs):
        os.utime(file, (1, 1))
    keep(path, "daily", NOW)
    assert not old.exists() and fresh.exists() and theirs.exists()
