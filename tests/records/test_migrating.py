"""A file of every earlier version opens, is copied before it is brought up to date, and says what it said."""

from __future__ import annotations

import hashlib
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from nurserytui.records import schema
from nurserytui.records.backups.kept import folder_of, kept
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.store import Store, StoreError

KEPT = Path(__file__).parent / "kept"
VERSIONS = range(1, schema.VERSION)


def made(version: int, path: Path) -> Path:
    """The file of that version, from what it was written as then."""
    connection = sqlite3.connect(path)
    connection.executescript((KEPT / f"version-{version}.sql").read_text(encoding="utf-8"))
    connection.execute("PRAGMA journal_mode = WAL")
    connection.close()
    return path


def said(path: Path) -> tuple:
    """Every cell that the first version had."""
    connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    events = connection.execute("SELECT * FROM events ORDER BY seq").fetchall()
    readings = connection.execute(
        'SELECT place, "when", fold, instant, low, high FROM readings ORDER BY place, "when"'
    ).fetchall()
    heads = connection.execute("SELECT * FROM heads ORDER BY cohort, stage").fetchall()
    connection.close()
    return events, readings, heads


@pytest.mark.parametrize("version", VERSIONS)
def test_an_older_file_is_brought_up_to_date_after_a_copy(tmp_path, version):
    path = made(version, tmp_path / "n.db")
    before = said(path)
    with Store.open(path) as store:
        assert len(store.events()) == len(before[0]) and store.timezone() == "Europe/Paris"
        assert not store.append([Event("2031-06-07", "died", "A", stage="larva", count=10)]).faults
    events, readings, _ = said(path)
    assert events[:-1] == before[0] and readings == before[1]
    assert check(path) == []
    (copy,) = kept(path)
    assert copy.why == "before-migration" and said(copy.path) == before
    connection = sqlite3.connect(copy.path)
    assert connection.execute("PRAGMA user_version").fetchone() == (version,)
    connection.close()


@pytest.mark.parametrize("version", VERSIONS)
def test_an_older_file_is_made_as_a_new_one_is(tmp_path, version):
    Store.open(made(version, tmp_path / "old.db")).close()
    Store.open(tmp_path / "new.db").close()
    shapes = []
    for name in ("old.db", "new.db"):
        connection = sqlite3.connect(tmp_path / name)
        shapes.append(sorted(connection.execute("SELECT type, name, sql FROM sqlite_schema").fetchall(), key=str))
        shapes.append(
            [connection.execute(f"PRAGMA {one}").fetchone() for one in ("user_version", "application_id", "journal_mode")]
        )
        connection.close()
    assert shapes[:2] == shapes[2:]


@pytest.mark.parametrize("version", VERSIONS)
def test_an_older_file_that_may_not_be_written_is_read_as_it_is(tmp_path, version):
    path = made(version, tmp_path / "n.db")
    before = hashlib.sha256(path.read_bytes()).digest()
    path.chmod(0o444)
    with Store.open(path) as store:
        assert len(store.events()) == 7 and len(store.readings("jar")) == 6
    assert check(path) == []
    with Store.memory(path) as store:
        assert not store.append([Event("2031-06-07", "note", note="in memory only")]).faults
    assert hashlib.sha256(path.read_bytes()).digest() == before and not folder_of(path).exists()


@pytest.mark.parametrize("version", VERSIONS)
def test_without_a_copy_nothing_is_changed(tmp_path, version, monkeypatch):
    path = made(version, tmp_path / "n.db")
    before = said(path)
    folder_of(path).write_text("in the way of the folder for backups")
    with pytest.raises(StoreError, match="is of an older version of the program and stays as it is"):
        Store.open(path)
    assert said(path) == before


def test_three_programs_that_open_an_older_file_at_once_bring_it_up_to_date_once(tmp_path):
    path = made(1, tmp_path / "n.db")
    script = "import sys; from nurserytui.records.store import Store; print(len(Store.open(sys.argv[1]).events()))"
    running = [
        subprocess.Popen([sys.executable, "-c", script, path], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for _ in range(3)
    ]
    for one in running:
        out, wrong = one.communicate(timeout=60)
        assert (out, wrong) == ("7\n", "")
    assert check(path) == [] and len(list(kept(path))) == 1
