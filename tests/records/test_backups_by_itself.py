"""Backups that nobody has to think of: the first of a day, before an import, before a new version of the file."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from datetime import datetime, timedelta

import pytest

from nurserytui.records import connections, schema
from nurserytui.records.backups import by_itself
from nurserytui.records.backups.by_itself import before_import, daily, told_daily
from nurserytui.records.backups.kept import folder_of, kept
from nurserytui.records.backups.restoring import restore
from nurserytui.records.backups.rule import OFF, Rule
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.readings import Reading
from nurserytui.records.store import Newer, Store, StoreError

LAID = Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")
NOW = datetime(2026, 6, 17, 7, 30)
DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def state(tmp_path, monkeypatch):
    monkeypatch.setenv("NURSERYTUI_STATE", str(tmp_path / "state"))


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append([LAID])
    return tmp_path / "n.db"


def note(path, text="more"):
    with Store.open(path, create=False) as store:
        store.append([Event("2031-06-02", "note", note=text)])


def whys(path, now=NOW + 999 * DAY):
    return [one.why for one in kept(path, now)]


def test_one_a_day_and_only_of_what_is_new(path):
    assert daily(path, Rule(), NOW).events == 1
    note(path)
    assert daily(path, Rule(), NOW.replace(hour=23)) is None, "one a day"
    assert daily(path, Rule(), NOW + DAY).events == 2
    assert daily(path, Rule(), NOW + 2 * DAY) is None, "nothing was written since"
    with Store.open(path) as store:
        store.add_readings([Reading(NOW, "shed", 20.0, 20.0, False)])
    assert daily(path, Rule(), NOW + 3 * DAY), "readings count"
    assert whys(path) == ["daily"] * 3


def test_a_clock_put_back_or_ahead_still_gives_a_backup(path):
    ahead = NOW.replace(year=2036)
    daily(path, Rule(), ahead)
    note(path)
    assert daily(path, Rule(), NOW).events == 2 and len(list(kept(path, NOW))) == 2


def test_what_went_back_by_a_restore_is_backed_up_too(path):
    first = daily(path, Rule(), NOW)
    note(path, "one")
    daily(path, Rule(), NOW + DAY)
    restore(first.path, path, NOW + DAY)
    assert daily(path, Rule(), NOW + 2 * DAY).events == 1
    note(path, "another")
    assert daily(path, Rule(), NOW + 3 * DAY).events == 2


@pytest.mark.parametrize("rule", [OFF, Rule(daily=False)])
def test_none_is_made_where_the_rule_wants_none(path, rule):
    assert daily(path, rule, NOW) is None and not folder_of(path).exists()


def test_none_of_an_empty_nursery_nor_of_one_in_memory_nor_of_one_that_may_not_be_written(path, tmp_path):
    Store.open(tmp_path / "empty.db").close()
    assert told_daily(tmp_path / "empty.db", Rule(), NOW) == "" and not folder_of(tmp_path / "empty.db").exists()
    assert before_import(Store.memory()) == "" and before_import(Store.memory(path)) == ""
    path.chmod(0o444)
    assert told_daily(path, Rule(), NOW) == "" and not folder_of(path).exists()


def test_thinning_follows_a_new_one_by_the_rule(path):
    for day in range(30):
        note(path, f"day {day}")
        daily(path, Rule(days=3, weeks=0, months=0, years=0), NOW + day * DAY)
    assert [one.moment for one in kept(path, NOW + 30 * DAY)] == [NOW + day * DAY for day in (29, 28, 27, 26, 25)]


def test_nothing_is_taken_away_when_the_new_one_could_not_be_made_or_does_not_add_up(path):
    for day in range(8):
        note(path, f"day {day}")
        daily(path, Rule(), NOW + day * DAY)
    few = Rule(days=1, weeks=0, months=0, years=0)
    note(path, "off")
    with sqlite3.connect(path) as other:
        other.execute("UPDATE heads SET count = count + 1")
    other.close()
    before = len(whys(path))
    assert daily(path, few, NOW + 8 * DAY) and len(whys(path)) == before + 1
    path.write_bytes(path.read_bytes()[:8192] + b"\x09" * 30000)
    assert "is damaged" in told_daily(path, few, NOW + 9 * DAY)
    assert len(whys(path)) == before + 1


def test_a_folder_that_cannot_be_written_is_told_once_a_day_and_the_work_goes_on(path, tmp_path):
    folder_of(path).write_text("in the way")
    said = told_daily(path, Rule(), NOW)
    assert said.startswith("No backup was made today: the folder for backups cannot be written") and "\n" not in said
    assert told_daily(path, Rule(), NOW) == "" and told_daily(path, Rule(), NOW + DAY) == said
    (tmp_path / "more.csv").write_text("when,what,note\n2031-06-03,note,dear\n")
    with Store.open(path) as store:
        report = import_file(tmp_path / "more.csv", store)
    assert report.added == 1 and "no backup was made before the import" in report.warnings[-1]


def test_before_an_import_there_is_a_backup_of_what_was_there(path, tmp_path):
    (tmp_path / "more.csv").write_text("when,what,note\n2031-06-03,note,dear\n")
    with Store.open(path) as store:
        assert import_file(tmp_path / "more.csv", store).warnings == ()
        assert import_file(tmp_path / "more.csv", store).known == 1
        assert import_file(tmp_path / "more.csv", store).known == 1
    assert [(one.why, one.events) for one in kept(path)] == [("before-import", 2), ("before-import", 1)]
    with Store.open(path) as store:
        store.append([Event("2031-06-02", "setting", detail="backups=daily, not before imports")])
        import_file(tmp_path / "more.csv", store)
    assert len(whys(path)) == 2


def test_before_an_import_into_an_empty_nursery_there_is_none(tmp_path):
    (tmp_path / "more.csv").write_text("when,what,note\n2031-06-03,note,dear\n")
    with Store.open(tmp_path / "n.db") as store:
        import_file(tmp_path / "more.csv", store)
    assert not folder_of(tmp_path / "n.db").exists()


NEXT = ("CREATE TABLE addition (name TEXT) STRICT",)


@pytest.fixture
def next_version(monkeypatch):
    """The program as it will be with one more version of the file."""
    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, NEXT))
    monkeypatch.setattr(schema, "VERSION", schema.VERSION + 1)


def version(path) -> int:
    connection = sqlite3.connect(path)
    try:
        return connection.execute("PRAGMA user_version").fetchone()[0]
    finally:
        connection.close()


def test_an_old_file_is_copied_and_then_brought_up_to_date(path, request):
    before = version(path)
    request.getfixturevalue("next_version")
    with Store.open(path) as store:
        assert len(store.events()) == 1
    [one] = kept(path)
    assert one.why == "before-migration" and version(one.path) == before and version(path) == before + 1
    restore(one.path, path)
    assert version(path) == before + 1 and check(path) == []


def test_an_old_file_that_cannot_be_copied_stays_as_it_is(path, request):
    before = path.read_bytes()
    folder_of(path).write_text("in the way")
    request.getfixturevalue("next_version")
    with pytest.raises(StoreError, match="stays as it is"):
        Store.open(path)
    assert path.read_bytes() == before


def test_a_migration_that_fails_leaves_the_old_file(path, monkeypatch):
    before, broken = version(path), (*NEXT, "CREATE TABLE addition (again TEXT)")
    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS, broken))
    monkeypatch.setattr(schema, "VERSION", schema.VERSION + 1)
    with pytest.raises(StoreError):
        Store.open(path)
    monkeypatch.undo()
    assert version(path) == before and check(path) == [] and whys(path) == ["before-migration"]


def test_an_old_file_that_may_not_be_written_is_read_and_stays(path, request):
    before = path.read_bytes()
    path.chmod(0o444)
    request.getfixturevalue("next_version")
    with Store.open(path) as store:
        assert len(store.events()) == 1 and store.heads()
        with pytest.raises(StoreError, match="read-only"):
            store.append([LAID])
    assert path.read_bytes() == before and not folder_of(path).exists()


def test_an_empty_old_file_needs_no_copy(tmp_path, request):
    Store.open(tmp_path / "n.db").close()
    request.getfixturevalue("next_version")
    Store.open(tmp_path / "n.db").close()
    assert not folder_of(tmp_path / "n.db").exists()


def test_a_newer_file_is_refused_and_not_copied(path, next_version):
    Store.open(path).close()
    with sqlite3.connect(path) as other:
        other.execute(f"PRAGMA user_version = {schema.VERSION + 1}")
    other.close()
    with pytest.raises(Newer):
        Store.open(path)
    assert whys(path) == ["before-migration"]


OPENING = f"""
import sys
from pathlib import Path
from nurserytui.records import schema
schema.MIGRATIONS, schema.VERSION = (*schema.MIGRATIONS, {NEXT!r}), schema.VERSION + 1
from nurserytui.records.store import Store
sys.stdin.read(1)
with Store.open(Path(sys.argv[1])) as store:
    print(len(store.events()))
"""


def test_of_three_programs_that_start_at_once_on_an_old_file_one_brings_it_up_to_date(path):
    before = version(path)
    programs = [
        subprocess.Popen(
            [sys.executable, "-c", OPENING, path], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )
        for _ in range(3)
    ]
    for program in programs:
        program.stdin.write(b"x")
        program.stdin.flush()
    ended = [program.communicate(timeout=60) for program in programs]
    assert [said.strip() for said, _ in ended] == [b"1"] * 3, ended
    assert whys(path) == ["before-migration"] and version(path) == before + 1 and version(next(kept(path)).path) == before


def test_a_large_nursery_is_not_replayed_on_the_way(path, monkeypatch):
    monkeypatch.setattr(by_itself, "MANY", 0)
    from nurserytui.records.backups import copying

    monkeypatch.setattr(copying, "adds_up", lambda *_: pytest.fail("it was replayed"))
    assert daily(path, Rule(), NOW)


def test_what_is_off_in_a_copy_is_found_before_it_has_a_name(path, monkeypatch):
    """Every row of every table is counted, and the headcount compared, before the copy is called a backup."""
    from nurserytui.records.backups import copying

    held, calls = copying._held, []

    def spoilt(connection):
        calls.append(connection)
        if len(calls) == 2:
            connection.execute("DELETE FROM heads")
        return held(connection)

    monkeypatch.setattr(copying, "_held", spoilt)
    with pytest.raises(StoreError, match="does not hold what the nursery holds"):
        daily(path, Rule(), NOW)
    assert os.listdir(folder_of(path)) == []


def test_the_nursery_can_be_written_while_it_is_copied(path):
    def progress(done, total, what):
        note(path, f"{what} {done}")

    assert daily(path, Rule(), NOW, progress).events == 1
    with connections.open_existing(path, read_only=True)[0] as connection:
        assert connection.execute("SELECT count(*) FROM events").fetchone()[0] > 2
    connection.close()


def test_the_last_room_on_a_disk_is_left_to_the_nursery(path, monkeypatch):
    usage = shutil.disk_usage(path.parent)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage._replace(free=2 * path.stat().st_size))
    assert "the disk has only 0 MB left" in told_daily(path, Rule(), NOW) and not folder_of(path).exists()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the limit is that of a process")
def test_a_disk_that_fills_up_meanwhile_leaves_nothing_behind(path):
    import resource
    import signal

    with Store.open(path) as store:
        store.add_readings([Reading(NOW + timedelta(minutes=at), "shed", 20.0, 20.0, False) for at in range(5000)])
    before, child = path.read_bytes(), os.fork()
    if not child:
        said = ""
        try:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (len(before) // 2, len(before) // 2))
            daily(path, Rule(), NOW)
        except StoreError as error:
            said = str(error)
        finally:
            os._exit(0 if said else 1)
    assert os.waitpid(child, 0)[1] == 0
    assert os.listdir(folder_of(path)) == [] and path.read_bytes() == before
