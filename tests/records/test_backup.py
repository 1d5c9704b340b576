"""Backups are whole, also of a nursery in use; a restore shows what it would do and loses nothing."""

from __future__ import annotations

import sqlite3

import pytest

from nurserytui.records.backup import backup, preview, restore
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.store import Damaged, NotOurs, Store, StoreError

LAID = Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")
DIED = Event("2031-06-02", "died", "A", count=2)


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append([LAID])
    return tmp_path / "n.db"


def events(path):
    with Store.open(path, create=False) as store:
        return store.events()


def test_a_backup_of_a_nursery_in_use_holds_what_was_written(path, tmp_path):
    with Store.open(path) as window:
        window.append([DIED])
        assert "2 events" in backup(path, tmp_path / "copy.db")
        assert events(tmp_path / "copy.db") == window.events()
    assert check(tmp_path / "copy.db") == []
    assert sorted(one.name for one in tmp_path.iterdir()) == ["copy.db", "n.db"]


def test_an_older_backup_is_replaced_and_nothing_else_is(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    with Store.open(path) as store:
        store.append([DIED])
    backup(path, tmp_path / "copy.db")
    assert len(events(tmp_path / "copy.db")) == 2
    (tmp_path / "letter.txt").write_text("dear")
    for target, words in (
        ("letter.txt", "is not a backup"),
        ("n.db", "is the nursery itself"),
        ("no/where.db", "cannot be written"),
    ):
        with pytest.raises(StoreError, match=words):
            backup(path, tmp_path / target)
    assert (tmp_path / "letter.txt").read_text() == "dear"
    assert not list(tmp_path.glob("*.part"))


def test_a_preview_says_what_would_change_and_changes_nothing(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    with Store.open(path) as store:
        store.append([DIED])
    before = path.read_bytes()
    lines = preview(tmp_path / "copy.db", path)
    assert lines[2:] == ["1 event would be gone: died A on 2031-06-02.", "cohort A in jar: 7 eggs would become 9"]
    assert path.read_bytes() == before
    assert preview(tmp_path / "copy.db", tmp_path / "new.db")[1].startswith("There is no nursery")


def test_a_restore_keeps_what_it_replaces_and_an_open_window_sees_it(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    with Store.open(path) as window:
        window.append([DIED])
        stamp = window.stamp()
        said = restore(tmp_path / "copy.db", path)
        assert window.stamp() != stamp and len(window.events()) == 1
        assert not window.append([DIED._replace(count=3)]).faults
    assert "n.before-restore-1.db" in said
    assert len(events(tmp_path / "n.before-restore-1.db")) == 2
    assert check(path) == []
    restore(tmp_path / "copy.db", path)
    assert len(events(tmp_path / "n.before-restore-2.db")) == 2


def test_a_damaged_nursery_is_moved_aside_and_replaced(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    path.write_bytes(path.read_bytes()[:4096] + b"\x09" * 20000)
    broken = path.read_bytes()
    restore(tmp_path / "copy.db", path)
    assert len(events(path)) == 1 and check(path) == []
    assert (tmp_path / "n.before-restore-1.db").read_bytes() == broken


def test_a_restore_to_where_nothing_is(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    restore(tmp_path / "copy.db", tmp_path / "new" / "n.db")
    assert len(events(tmp_path / "new" / "n.db")) == 1


def test_nothing_is_restored_from_a_bad_backup_or_over_another_programs_file(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    (tmp_path / "letter.txt").write_text("dear")
    other = sqlite3.connect(tmp_path / "other.db")
    other.execute("CREATE TABLE x (y)")
    other.close()
    before = path.read_bytes()
    for source in ("letter.txt", "other.db", "none.db"):
        with pytest.raises(StoreError):
            restore(tmp_path / source, path)
    for target in ("letter.txt", "other.db"):
        with pytest.raises(NotOurs):
            restore(tmp_path / "copy.db", tmp_path / target)
    broken = tmp_path / "broken.db"
    broken.write_bytes((tmp_path / "copy.db").read_bytes()[:8192] + b"\x09" * 30000)
    with pytest.raises(Damaged):
        restore(broken, path)
    assert path.read_bytes() == before and (tmp_path / "letter.txt").read_text() == "dear"
