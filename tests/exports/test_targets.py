"""An export is whole or not there, and never written over what is no export."""

from __future__ import annotations

import errno
import os
import sqlite3
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from nurserytui import private
from nurserytui.exports.export import OF_RECORDS, export, export_records
from nurserytui.exports.forms import FORMS
from nurserytui.exports.targets import whole_file
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.errors import StoreError
from nurserytui.records.events import Event
from nurserytui.records.store import Store


@pytest.fixture
def store(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append([Event("2031-06-01", "note", note="dry")])
        yield store


def database(path: Path) -> None:
    with sqlite3.connect(path) as other:
        other.execute("create table recipes (name text)")
    other.close()


REFUSED = {
    "the nursery itself": ("n.db", None),
    "a part of the nursery": ("n.db-wal", None),
    "a folder": ("folder", lambda path: path.mkdir()),
    "a database": ("other.csv", database),
    "no older export": ("letter.txt", lambda path: path.write_text("dear", encoding="utf-8")),
    "no older export ": ("picture.csv", lambda path: path.write_bytes(b"\x89PNG\r\n\x1a\n\0\0\0")),
    "no ordinary file": ("pipe", os.mkfifo if hasattr(os, "mkfifo") else None),
    "no older export  ": ("own.csv", lambda path: path.write_text("a,b\n1,2\n", encoding="utf-8")),
    "no older export   ": ("own table.csv", lambda path: path.write_bytes(b"when,what,cohort\r\n2031-06-01,note,A\r\n")),
    "no such folder": ("nowhere/out.csv", None),
    "the name is too long": ("x" * 300, None),
}


@pytest.mark.parametrize("why", REFUSED)
def test_what_may_not_be_written_over_is_one_plain_line_and_stays(store, tmp_path, why):
    name, make = REFUSED[why]
    path = tmp_path / name
    if make:
        make(path)
    before = {file: file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()}
    with pytest.raises(StoreError) as refused:
        export_records(store, path, "csv")
    assert why.strip() in str(refused.value) and "\n" not in str(refused.value) and len(str(refused.value)) < 500
    assert {file: file.read_bytes() for file in tmp_path.rglob("*") if file.is_file()} == before


def test_the_nursery_is_known_by_any_name(store, tmp_path):
    (tmp_path / "link.csv").symlink_to(tmp_path / "n.db")
    os.link(tmp_path / "n.db", tmp_path / "hard.csv")
    for name in ("link.csv", "hard.csv", "./n.db", f"../{tmp_path.name}/n.db"):
        with pytest.raises(StoreError, match="the nursery itself"):
            export_records(store, tmp_path / name, "csv")


@pytest.mark.parametrize("form", ["csv", "jsonl", "readings"])
def test_an_older_export_is_replaced_and_keeps_its_mode(store, tmp_path, form):
    file = tmp_path / "out.txt"
    export_records(store, file, form)
    assert file.stat().st_mode & 0o777 == 0o600 or os.name != "posix"
    file.chmod(0o640)
    store.append([Event("2031-06-02", "note", note="wet")])
    export_records(store, file, form)
    assert file.stat().st_mode & 0o777 == 0o640 and not list(tmp_path.glob("*.part"))


OF_OTHERS = {
    "csv": [b"my precious\n", b"Datum;Art;Anzahl\r\n" * 5000, b"when,what,count\r\n", b"time,place,temperature_C\r\n"],
    "readings": [b"time,temperature_C\r\n", b"time,place,temperature_C,humidity\r\n"],
    "ics": [b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//other//calendar//EN\r\n", b"dear"],
    "html": [b"<html>my page", b'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>mine</title>'],
    "jsonl": [b'{"name": "mine"}\n', b'{"nursery": "north"}\n'],
    "zip": [b"PK\x03\x04\x14\0\0\0\x08\0" + b"\0" * 40 + b"photos/1.jpg", b"PK\x05\x06" + b"\0" * 18, b"dear"],
}


@pytest.mark.parametrize("form", FORMS)
def test_only_an_older_export_is_written_over_not_what_is_named_like_one(tmp_path, form):
    """By its ending alone the keeper's own table, page, calendar or archive once went without a word."""
    file = tmp_path / f"mine{FORMS[form].ending}"
    with Store.open(tmp_path / "n.db") as store:
        store.append([Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")])
        nursery = Nursery(store, load(), datetime(2031, 6, 2, 8))
        for content in OF_OTHERS[form]:
            file.write_bytes(content)
            with pytest.raises(StoreError, match="is no older export of this form: choose another name"):
                export(nursery, file, form)
            assert file.read_bytes() == content
        file.write_bytes(b"")
        for _ in range(2):
            export(nursery, file, form)
            assert FORMS[form].begins.match(file.read_bytes())
        other = next(name for name in FORMS if name not in (form, *OF_RECORDS[:1]))
        with pytest.raises(StoreError, match="is no older export of this form"):
            export(nursery, file, other)


def test_what_another_program_has_not_finished_is_left_alone(tmp_path):
    """A nursery, or a download, whose name is that of the export with an ending once went with the export."""
    (tmp_path / "out.jsonl.part").write_text("half", encoding="utf-8")
    with Store.open(tmp_path / "out.csv.part") as store:
        store.append([Event("2031-06-01", "note", note="dry")])
        for form in ("csv", "jsonl"):
            export_records(store, tmp_path / f"out.{form}", form)
        assert len(store.events()) == 1
    assert (tmp_path / "out.jsonl.part").read_text(encoding="utf-8") == "half"
    with Store.open(tmp_path / "out.csv.part", create=False) as store:
        assert len(store.events()) == 1


def test_a_link_goes_on_leading_to_what_is_replaced(store, tmp_path):
    (tmp_path / "deep").mkdir()
    (tmp_path / "out.csv").symlink_to(tmp_path / "deep" / "real.csv")
    export_records(store, tmp_path / "out.csv", "csv")
    assert (tmp_path / "out.csv").is_symlink() and "dry" in (tmp_path / "deep" / "real.csv").read_text(encoding="utf-8")


@pytest.mark.parametrize(("number", "said"), [(errno.ENOSPC, "the disk is full"), (errno.EACCES, "its folder cannot be written")])
def test_what_cannot_be_written_replaces_nothing(tmp_path, monkeypatch, number, said):
    file = tmp_path / "out.csv"
    with Store.memory() as empty:
        export_records(empty, file, "csv")
    before = file.read_bytes()

    def fails(finished, path):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(private, "put", fails)
    with pytest.raises(StoreError, match=said), whole_file(file, FORMS["csv"], None) as unfinished:
        unfinished.write_text("new", encoding="utf-8")
    assert file.read_bytes() == before and not list(tmp_path.glob("*.part"))


@pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")
def test_what_is_read_only_is_said_and_stays(store, tmp_path):
    (tmp_path / "locked").mkdir()
    export_records(store, tmp_path / "out.csv", "csv")
    (tmp_path / "out.csv").chmod(0o400)
    (tmp_path / "locked").chmod(0o500)
    with pytest.raises(StoreError, match="its folder is read-only"):
        export_records(store, tmp_path / "locked" / "out.csv", "csv")
    with pytest.raises(StoreError, match="out.csv is read-only"):
        export_records(store, tmp_path / "out.csv", "csv")
    assert (tmp_path / "out.csv").stat().st_mode & 0o777 == 0o400


LIMITED = """
import resource, signal, sys
from pathlib import Path
from nurserytui.exports.export import export_records
from nurserytui.records.errors import StoreError
from nurserytui.records.store import Store

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
with Store.open(sys.argv[1], read_only=True) as store:
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[4]), resource.RLIM_INFINITY))
    try:
        export_records(store, Path(sys.argv[2]), sys.argv[3])
    except StoreError as error:
        print("SAID", error)
"""


@pytest.mark.skipif(os.name != "posix", reason="limits of POSIX")
@pytest.mark.parametrize("form", ["csv", "jsonl"])
def test_a_disk_that_takes_no_more_leaves_the_older_file(store, tmp_path, form):
    """A real write fails on its way, as on a full disk: the limit of a process on the size of files stands in for it."""
    store.append([Event("2031-06-02", "note", note="x" * 1000) for _ in range(300)])
    file = tmp_path / f"out.{form}"
    export_records(store, file, form)
    before = file.read_bytes()
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, str(tmp_path / "n.db"), str(file), form, "100000"],
        capture_output=True, text=True, timeout=60, env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])},
    )  # fmt: skip
    assert done.stdout.startswith("SAID") and "no file of that size; nothing was written" in done.stdout, done.stderr
    assert file.read_bytes() == before and not list(tmp_path.glob("*.part"))


KILLED = """
import os, signal, sys
from pathlib import Path
from nurserytui.exports.export import export_records
from nurserytui.records.store import Store

def progress(done, total, what):
    if done:
        os.kill(os.getpid(), signal.SIGKILL)

with Store.open(sys.argv[1], read_only=True) as store:
    export_records(store, Path(sys.argv[2]), "csv", progress)
"""


@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
def test_a_run_that_is_killed_leaves_the_older_file_and_the_next_one_writes(store, tmp_path):
    file = tmp_path / "out.csv"
    export_records(store, file, "csv")
    before = file.read_bytes()
    store.append([Event("2031-06-02", "note", note="wet") for _ in range(600)])
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(tmp_path / "n.db"), str(file)],
        capture_output=True, timeout=60, env={**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])},
    )  # fmt: skip
    assert done.returncode == -9 and file.read_bytes() == before and list(tmp_path.glob("*.part"))
    export_records(store, file, "csv")
    assert file.read_bytes().count(b"wet") == 600 and not list(tmp_path.glob("*.part"))
