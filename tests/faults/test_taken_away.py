"""The nursery's file removed, replaced, or put under another's write-ahead file: nothing is written where it would be lost."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from faults import harming, killing
from nurserytui.records import write_ahead
from nurserytui.records.backups.kept import keep
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.store import Damaged, Store, StoreError


def note(text: str) -> Event:
    return Event("2031-06-02", "note", note=text)


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append([note("before")])
    return tmp_path / "n.db"


DIES = """
import os, sys
from nurserytui.records.events import Event
from nurserytui.records.store import Store
store = Store.open(sys.argv[1])
for number in range(300):
    store.append([Event("2031-06-02", "note", note=f"{number} " + "x" * 200)])
os._exit(0)
"""


def left_open(path: Path) -> None:
    """Write by a program that ends without closing the file, so that its write-ahead file stays."""
    subprocess.run([sys.executable, "-c", DIES, path], check=True, env=killing.environment(), timeout=60)
    assert write_ahead.size(path)


def test_another_file_put_under_a_write_ahead_file_is_not_mixed_with_it(path, tmp_path, monkeypatch):
    monkeypatch.setattr(write_ahead, "LATER", 0.0)
    with Store.open(tmp_path / "other.db") as store:
        store.append([note(f"other {at} " + "y" * 900) for at in range(300)])
    left_open(path)
    shutil.copyfile(tmp_path / "other.db", tmp_path / "put")
    os.replace(tmp_path / "put", path)
    before = {one.name: one.read_bytes() for one in (path, tmp_path / "n.db-wal")}
    with pytest.raises(Damaged, match="n.db-wal away"):
        Store.open(path)
    assert {name: (tmp_path / name).read_bytes() for name in before} == before
    (tmp_path / "n.db-wal").rename(tmp_path / "aside")
    with Store.open(path) as store:
        assert len(store.events()) == 300
    assert check(path) == []


def test_looking_at_what_was_put_there_does_not_make_the_next_look_trust_it(path, tmp_path):
    """The first look was refused and the second laid the one file's records over the other's: by the first, the times of both were near."""
    left_open(path)
    os.utime(tmp_path / "n.db-wal", (1, 1))
    with Store.open(tmp_path / "other.db") as store:
        store.append([note(f"other {at} " + "y" * 900) for at in range(300)])
    shutil.copyfile(tmp_path / "other.db", tmp_path / "put")
    os.replace(tmp_path / "put", path)
    for _ in range(3):
        with pytest.raises(Damaged, match="n.db-wal away and keep it"):
            Store.open(path)


def test_its_own_write_ahead_file_is_taken_in_however_late(path, monkeypatch):
    monkeypatch.setattr(write_ahead, "LATER", -1e9)  # looked into whatever the times are
    left_open(path)
    with Store.open(path) as store:
        assert len(store.events()) == 301
    assert check(path) == []


def test_no_new_nursery_is_begun_over_what_was_recorded_last_of_another(path):
    """SQLite would delete the write-ahead file of a database that is gone, and with it what was recorded last."""
    left_open(path)
    path.rename(path.with_name("moved.db"))
    kept = path.with_name("n.db-wal").read_bytes()
    with pytest.raises(StoreError, match="n.db-wal beside it holds records of one"):
        Store.open(path)
    assert path.with_name("n.db-wal").read_bytes() == kept and not path.exists()
    path.with_name("moved.db").rename(path)
    with Store.open(path) as store:
        assert len(store.events()) == 301


def test_an_emptied_file_is_not_begun_anew_where_there_was_a_nursery(path):
    keep(path, "asked")
    path.write_bytes(b"")
    for command in (("ask", "note: x"), ("check",), ("export", "{}/out.csv"), ("backup", "{}/copy.db")):
        said = harming.said(command, path)
        assert said.code == 2 and said.wrong.count("\n") == 1 and "the file is empty" in said.wrong, said
        assert "nurserytui restore newest" in said.wrong and path.read_bytes() == b""


def test_a_file_without_a_byte_becomes_a_nursery_with_the_first_record_only(tmp_path):
    path = tmp_path / "n.db"
    path.touch()
    said = harming.said(("check",), path)
    assert said.code == 2 and "the file is empty" in said.wrong and path.read_bytes() == b""
    assert harming.said(("ask", "note: the door squeaks"), path).code == 0 and check(path) == []


def test_the_line_that_could_not_be_written_is_written_once_the_file_is_back(path, tmp_path):
    """A conversation goes on: what was typed is told as not written, not lost among what was."""
    with Store.open(path) as store:
        path.rename(tmp_path / "aside.db")
        with pytest.raises(StoreError, match="is not there any more"):
            store.append([note("while it was away")])
        (tmp_path / "aside.db").rename(path)
        assert not store.append([note("while it was away")]).faults
        assert [event.note for event in store.events()] == ["before", "while it was away"]
