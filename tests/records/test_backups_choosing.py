"""What `newest` means, and every message that names it: the newest copy that can be gone back to."""

from __future__ import annotations

import sqlite3
from datetime import datetime

import pytest

from nurserytui.records.backups import trust
from nurserytui.records.backups.by_itself import told_daily
from nurserytui.records.backups.choosing import chosen, way_back
from nurserytui.records.backups.kept import folder_of, keep, kept
from nurserytui.records.backups.listing import asked, listed, meant
from nurserytui.records.backups.preview import preview
from nurserytui.records.backups.restoring import restore
from nurserytui.records.backups.rule import Rule
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.store import Store, StoreError

LAID = Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=18, enclosure="jar")
DIED = Event("2031-06-02", "died", "A", count=2)
NOW = datetime(2026, 6, 17, 7, 30)


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "nursery.db") as store:
        store.append([LAID])
    return tmp_path / "nursery.db"


def add(path, *events) -> None:
    with Store.open(path) as store:
        store.append(events)


def change(path, statement: str) -> None:
    """As a flipped bit does: behind the guards and the sums."""
    connection = sqlite3.connect(path)
    guards = [sql for (sql,) in connection.execute("SELECT sql FROM sqlite_schema WHERE type = 'trigger'")]
    for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute(statement)
    for sql in guards:
        connection.execute(sql)
    connection.commit()
    connection.close()


FLIP = "UPDATE events SET count = 82 WHERE what = 'laid'"
MISCOUNT = "UPDATE heads SET count = 5"


def test_a_copy_of_a_changed_event_is_none_to_go_back_to(path):
    """The day's backup of a damaged file was once named as the way back, and the sound one before it was not."""
    good = keep(path, "daily", NOW)
    change(path, FLIP)
    add(path, Event("2031-06-03", "note", note="dry"))
    assert "event" in told_daily(path, Rule(), NOW.replace(day=18)) and len([*kept(path)]) == 2
    assert chosen(path).newest == good and meant("newest", path) == good.path
    assert way_back(path).startswith(
        "the newest sound backup is of Wed 17 June 2026, 07:30, with 1 event: nurserytui restore newest"
    )
    assert all("Wed 17 June" in line for line in check(path) if "restore newest" in line)
    first, second, how = listed(path)
    assert "not sound: event" in first and "not sound" not in second and "number 2, back: nurserytui restore newest" in how
    bad = next(kept(path)).path
    assert preview(bad, path)[1].startswith("It is not sound: event")
    assert "it is not sound, as the backup is not: event" in restore(bad, path, NOW)
    restore(meant("newest", path), path, NOW)
    assert check(path) == []


def test_a_copy_with_a_wrong_headcount_is_none_to_go_back_to(path):
    good = keep(path, "daily", NOW)
    change(path, MISCOUNT)
    made = keep(path, "asked", NOW.replace(day=18))
    assert made.doubt == trust.HEADCOUNT and chosen(path).newest == good


def test_a_backup_of_a_damaged_nursery_takes_no_older_one_away(path):
    for day in range(1, 16):
        keep(path, "daily", NOW.replace(day=day, month=1), rule=Rule(days=1, weeks=0, months=0, years=0))
    assert len([*kept(path)]) == 5
    change(path, FLIP)
    for day in range(1, 10):
        keep(path, "daily", NOW.replace(day=day), rule=Rule(days=1, weeks=0, months=0, years=0))
    assert len([*kept(path)]) == 14 and chosen(path).newest.moment.month == 1
    with Store.open(path) as store:
        assert "but event" in asked(store, NOW)[0]


def test_restoring_the_newest_twice_does_not_go_back_and_forth(path):
    keep(path, "daily", NOW)
    add(path, DIED)
    for hour in range(8, 11):
        restore(meant("newest", path, NOW), path, NOW.replace(hour=hour))
        with Store.open(path) as store:
            assert len(store.events()) == 1
    assert [one.why for one in kept(path)] == ["before-restore"] * 3 + ["daily"]


def test_advice_never_empties_a_nursery(path):
    """A new file in the place of a lost one was kept before the restore, and was then the newest backup, with 0 events."""
    good = keep(path, "daily", NOW)
    path.unlink()
    for tail in ("-wal", "-shm"):
        path.with_name(path.name + tail).unlink(missing_ok=True)
    with Store.open(path.with_name("new.db")):
        pass
    path.with_name("new.db").rename(path)
    for why in ("before-restore", "before-mending", "asked"):
        keep(path, why, NOW.replace(day=18))
    assert chosen(path, NOW).newest == good and "with 1 event" in way_back(path)
    path.write_bytes(b"SQLite format 3\0" + b"\7" * 5000)
    with pytest.raises(StoreError, match="with 1 event: nurserytui restore newest"):
        Store.open(path)
    good.path.unlink()
    assert chosen(path).newest.events == 0


def test_where_none_is_sound_that_is_said(path):
    change(path, FLIP)
    keep(path, "daily", NOW)
    keep(path, "before-restore", NOW)
    assert "none of them sure to be sound: nurserytui restore" in way_back(path)
    assert "None is sure to be sound. To put one back, by its number" in listed(path)[-1]
    with pytest.raises(StoreError, match="none of the backups that are kept is sure to be sound"):
        meant("newest", path)
    assert meant("1", path).exists()


@pytest.mark.parametrize("create", [True, False])
def test_no_empty_nursery_is_made_where_backups_of_a_lost_one_are(path, create):
    keep(path, "daily", NOW)
    path.unlink()
    with pytest.raises(
        StoreError, match=r"its backups are there: the newest .* with 1 event: nurserytui restore newest .*--db another"
    ):
        Store.open(path, create=create)
    assert not path.exists()
    path.write_bytes(b"")
    with pytest.raises(StoreError, match="the file is empty.* with 1 event: nurserytui restore newest"):
        Store.open(path, create=create)
    path.unlink()
    for one in kept(path):
        one.path.unlink()
    folder_of(path).rmdir()
    if create:
        Store.open(path).close()
        assert path.exists()
