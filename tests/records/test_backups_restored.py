"""Backups are whole, also of a nursery in use; a restore shows what it would do and loses nothing."""

from __future__ import annotations

import sqlite3
from datetime import datetime

import pytest

from nurserytui.records.backups.kept import kept
from nurserytui.records.backups.preview import preview
from nurserytui.records.backups.restoring import restore
from nurserytui.records.backups.to_file import backup
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Damaged, NotOurs, ReadOnly, Store, StoreError

LAID = Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")
DIED = Event("2031-06-02", "died", "A", count=2)
NOW = datetime(2026, 6, 18, 7, 30)


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


def test_a_backup_goes_over_no_other_nursery(path, tmp_path):
    """Another keeper's nursery of that name, or another nursery's backup, once became a copy of this one."""
    with Store.open(tmp_path / "other.db") as other:
        other.append([LAID._replace(cohort="B", count=11)])
    with Store.open(path) as store, Store.open(tmp_path / "ahead.db") as ahead, Store.open(tmp_path / "logged.db") as logged:
        for one in (ahead, logged):
            one.append(store.events())
        ahead.append([DIED])
        logged.append([], readings=[Reading(datetime(2031, 6, 1, 10), "jar", 20, 20)])
    backup(path, tmp_path / "changed.db")
    with sqlite3.connect(tmp_path / "changed.db") as other:
        other.execute("DROP TRIGGER events_never_change")
        other.execute("UPDATE events SET count = 8")
    other.close()
    (tmp_path / "damaged.db").write_bytes(path.read_bytes()[:5000])
    for name, words in (
        ("other.db", "holds another nursery than .*: choose another name"),
        ("ahead.db", "holds 1 event that .* does not hold"),
        ("logged.db", "holds 1 reading that .* does not hold"),
        ("changed.db", "holds another nursery|as it is there"),
        ("damaged.db", "may be another nursery, and cannot be read"),
    ):
        before = (tmp_path / name).read_bytes()
        with pytest.raises(StoreError, match=words):
            backup(path, tmp_path / name)
        assert (tmp_path / name).read_bytes() == before, name


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
    [one] = kept(path)
    assert str(one.path) in said and one.why == "before-restore" and one.events == 2
    assert check(path) == [] and check(one.path) == []
    restore(tmp_path / "copy.db", path)
    assert [one.events for one in kept(path)] == [2, 2]


def test_where_the_folder_cannot_be_written_the_nursery_is_kept_beside_itself(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    (tmp_path / "n.backups").write_text("in the way")
    said = restore(tmp_path / "copy.db", path, NOW)
    assert said.endswith("n.set-aside-2026-06-18T073000.db") and len(events(tmp_path / "n.set-aside-2026-06-18T073000.db")) == 1


def _zero(path):
    path.write_bytes(b"")


def _damaged(path):
    path.write_bytes(path.read_bytes()[:4096] + b"\x09" * 20000)


def _cut(path):
    path.write_bytes(path.read_bytes()[:5000])


def _letter(path):
    path.write_text("dear")


def _foreign(path):
    path.unlink()
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE recipes (name)")
    other.close()


def _newer(path):
    with sqlite3.connect(path) as ours:
        ours.execute("PRAGMA user_version = 1000")
    ours.close()


UNUSABLE = {"damaged": _damaged, "cut off": _cut, "a letter": _letter, "another program's": _foreign, "newer": _newer}


@pytest.mark.parametrize("what", UNUSABLE)
def test_what_cannot_be_opened_is_set_aside_whole_and_replaced(path, tmp_path, what):
    backup(path, tmp_path / "copy.db")
    UNUSABLE[what](path)
    before = path.read_bytes()
    assert "would be kept beside" in preview(tmp_path / "copy.db", path)[1] and path.read_bytes() == before
    said = restore(tmp_path / "copy.db", path, NOW)
    aside = tmp_path / "n.set-aside-2026-06-18T073000.db"
    assert aside.read_bytes() == before and str(aside) in said
    assert len(events(path)) == 1 and check(path) == []
    assert not list(tmp_path.glob("*.restoring*"))


@pytest.mark.parametrize("spoil", [_zero, lambda path: path.unlink()], ids=["zero bytes", "gone"])
def test_a_log_that_outlived_its_nursery_is_not_taken_for_that_of_the_new_one(path, tmp_path, spoil):
    backup(path, tmp_path / "copy.db")
    window = Store.open(path)
    window.append([DIED])
    log = (tmp_path / "n.db-wal").read_bytes()
    window.close()
    spoil(path)
    (tmp_path / "n.db-wal").write_bytes(log)
    assert preview(tmp_path / "copy.db", path)[1].startswith("There is no nursery")
    restore(tmp_path / "copy.db", path, NOW)
    assert len(events(path)) == 1 and check(path) == []
    assert (tmp_path / "n.set-aside-2026-06-18T073000.db-wal").read_bytes() == log


def test_a_restore_to_where_nothing_is(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    restore(tmp_path / "copy.db", tmp_path / "new" / "n.db")
    assert len(events(tmp_path / "new" / "n.db")) == 1
    with sqlite3.connect(tmp_path / "new" / "n.db") as made:
        assert made.execute("PRAGMA journal_mode").fetchone() == ("wal",), "two windows can use it at once"
    made.close()


def test_a_nursery_reached_by_a_link_stays_behind_it(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    link = tmp_path / "link.db"
    link.symlink_to(path)
    _damaged(path)
    restore(tmp_path / "copy.db", link)
    assert link.is_symlink() and len(events(path)) == 1


def test_nothing_is_restored_from_a_bad_backup_nor_from_itself(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    (tmp_path / "letter.txt").write_text("dear")
    _foreign(tmp_path / "copy.db")
    before = path.read_bytes()
    (tmp_path / "broken.db").write_bytes(before[:8192] + b"\x09" * 30000)
    for source, wrong in (
        ("letter.txt", NotOurs),
        ("copy.db", NotOurs),
        ("none.db", StoreError),
        ("broken.db", Damaged),
        ("n.db", StoreError),
    ):
        with pytest.raises(wrong):
            restore(tmp_path / source, path)
    assert path.read_bytes() == before
    assert not list(tmp_path.glob("*.restoring*")) and not list(tmp_path.glob("*set-aside*"))


def test_a_nursery_that_may_not_be_written_stays(path, tmp_path):
    backup(path, tmp_path / "copy.db")
    path.chmod(0o444)
    with pytest.raises(ReadOnly):
        restore(tmp_path / "copy.db", path)
    path.chmod(0o644)
    assert len(events(path)) == 1
