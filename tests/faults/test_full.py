"""A full disk and places that may not be written: one plain line, nothing half written, and everything that was there is there."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from datetime import datetime, timedelta

import pytest

from faults import killing
from nurserytui.records.backups.kept import folder_of
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store, StoreError

resource = pytest.importorskip("resource")

NOTES = [Event("2031-06-02", "note", note="of the keeper " * 20, id=f"n{at}") for at in range(400)]
READINGS = [Reading(datetime(2031, 6, 1) + timedelta(minutes=at), "jar", 20, 20) for at in range(20_000)]


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append(
            [Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=12, enclosure="jar", id="laid")]
        )
    return tmp_path / "n.db"


WRITES = {
    "events": lambda store: store.append(NOTES),
    "readings": lambda store: store.add_readings(READINGS),
}


@pytest.mark.parametrize("what", WRITES)
def test_what_does_not_fit_is_told_and_not_half_written(path, what):
    with Store.open(path) as store:
        pages = store._rows("PRAGMA page_count")[0][0]
        store._connection().execute(f"PRAGMA max_page_count = {pages + 3}")
        before = store.events(), store.readings(), store.heads()
        with pytest.raises(StoreError, match="the disk is full; nothing was recorded"):
            WRITES[what](store)
        assert (store.events(), store.readings(), store.heads()) == before
        store._connection().execute("PRAGMA max_page_count = 100000")
        WRITES[what](store)
    assert check(path) == []


COMMANDS = {
    "a record": ["ask", "note: " + "the door squeaks " * 100],
    "events": ["import", "{}/events.csv"],
    "readings": ["import", "{}/readings.csv"],
    "backup": ["backup", "{}/copy.db"],
    "export": ["export", "{}/out.csv"],
    "a new nursery": ["ask", "how many eggs", "--db", "{}/new.db"],
}


@pytest.mark.skipif(os.name != "posix", reason="limits of POSIX")
@pytest.mark.parametrize("what", COMMANDS)
def test_a_disk_that_takes_no_more_is_one_line_and_nothing_is_lost(path, what):
    """The system refuses bytes beyond a limit for each file, as a full disk refuses them."""
    folder = path.parent
    with Store.open(path) as store:
        assert not store.append(NOTES).faults
    (folder / "events.csv").write_text("when,what,note\n" + "".join(f"2031-06-03,note,{at} {'x' * 90}\n" for at in range(900)))
    (folder / "readings.csv").write_text(
        "time,place,temperature_C\n" + "".join(f"{READINGS[at].when},jar,20.5\n" for at in range(9000))
    )
    with Store.open(path) as store:
        # Nothing of a copy made before an import is wanted here: it would be what does not fit.
        store.append([Event("2031-06-02", "setting", detail="backups=off", id="off")])
        before = store.events()
    limit = 8192 if what in ("a record", "export", "a new nursery") else path.stat().st_size // 2
    done = subprocess.run(
        [sys.executable, "-m", "nurserytui", "--db", path, *(one.format(folder) for one in COMMANDS[what])],
        capture_output=True, text=True, timeout=60, env=killing.environment(),
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit)),
    )  # fmt: skip
    assert done.returncode == 2 and "Traceback" not in done.stderr and len(done.stderr.splitlines()) == 1, done
    assert "full" in done.stderr or "too large" in done.stderr or "cannot be" in done.stderr, done.stderr
    with Store.open(path) as store:
        assert store.events() == before and store.readings() == []
    assert check(path) == []
    left = {one.name for one in folder.iterdir()} - {"n.db", "events.csv", "readings.csv", "new.db", folder_of(path).name}
    assert not left, left


@pytest.mark.skipif(os.name != "posix", reason="limits of POSIX")
@pytest.mark.parametrize("line", [["ask", "note: the door squeaks"], ["import", "{}/events.csv"]])
def test_a_backup_that_could_not_be_written_does_not_say_that_nothing_was_recorded(path, line):
    (path.parent / "events.csv").write_text("when,what,note\n2031-06-03,note,the door squeaks\n")
    with Store.open(path) as store:
        assert not store.append([Event("2031-06-02", "note", note="x" * 400_000, id="long")]).faults
    limit = path.stat().st_size - 4096
    done = subprocess.run(
        [sys.executable, "-m", "nurserytui", "--db", path, *(one.format(path.parent) for one in line)],
        capture_output=True, text=True, timeout=60, env=killing.environment(),
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit)),
    )  # fmt: skip
    assert done.returncode == 0 and "no copy was made" in done.stderr and "nothing was recorded" not in done.stderr, done
    with Store.open(path) as store:
        assert store.events()[-1].note == "the door squeaks"


@pytest.mark.skipif(os.name != "posix", reason="pipes of POSIX")
@pytest.mark.parametrize(
    "command",
    [
        "--db {pipe} ask x", "--db {pipe} check", "--db {pipe} show board", "--db {pipe} import {table}", "--db {pipe} export o.csv",
        "--db {pipe} backup", "--db {pipe} restore {nursery}", "--db {pipe} restore {nursery} --yes", "--db {nursery} import {pipe}",
        "--db {nursery} restore {pipe}", "--db {nursery} backup {pipe}", "--db {nursery} export {pipe} --as csv", "--db /dev/null ask x",
        "--db {nursery} import /dev/zero", "--db {nursery} export /dev/null --as csv", "--db {nursery} backup /dev/null",
    ],
)  # fmt: skip
def test_a_pipe_or_device_is_told_at_once(path, tmp_path, command):
    pipe, table = tmp_path / "pipe", tmp_path / "t.csv"
    os.mkfifo(pipe)
    table.write_text("when,what,note\n2031-06-03,note,x\n")
    words = command.format(pipe=pipe, table=table, nursery=path).split()
    done = subprocess.run(
        [sys.executable, "-m", "nurserytui", *words],
        capture_output=True,
        text=True,
        timeout=20,
        cwd=tmp_path,
        env=killing.environment(),
    )
    assert done.returncode == 2 and "is no ordinary file" in done.stderr and len(done.stderr.splitlines()) == 1, done
    assert pipe.is_fifo()


@pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")
@pytest.mark.parametrize("closed", ["file", "folder", "both"])
def test_where_nothing_may_be_written_is_one_line_for_a_record_and_questions_are_answered(path, closed):
    """Also for an administrator, whom the system would let through: the mode says what the keeper wants."""
    before, names = path.read_bytes(), sorted(one.name for one in path.parent.iterdir())
    for one, mode in ((path, 0o444), (path.parent, 0o555)):
        if closed in ("both", "file" if one == path else "folder"):
            one.chmod(mode)
    try:
        codes = {}
        for line in ("note: the door squeaks", "how many eggs do I have"):
            done = subprocess.run(
                [sys.executable, "-m", "nurserytui", "ask", line, "--db", path, "--now", "2031-06-05"],
                capture_output=True, text=True, timeout=60, env=killing.environment(),
            )  # fmt: skip
            codes[line] = done
        told, answered = codes.values()
        assert told.returncode == 2 and told.stderr.count("\n") == 1 and "read-only" in told.stderr and not told.stdout
        assert answered.returncode == 0 and "12" in answered.stdout and not answered.stderr
    finally:
        path.parent.chmod(0o755)
    assert path.read_bytes() == before and sorted(one.name for one in path.parent.iterdir()) == names


def test_a_write_that_cannot_wait_longer_is_one_line_and_says_that_nothing_was_recorded(path, monkeypatch, capsys):
    from nurserytui.cli import main

    monkeypatch.setattr("nurserytui.records.connections.PATIENCE", 0.05)
    where = ["--db", str(path), "--now", "2031-06-05"]
    other = sqlite3.connect(path)
    other.execute("BEGIN IMMEDIATE")
    try:
        assert main(["ask", "note: the door squeaks", *where]) == 2
        said = capsys.readouterr()
        assert said.out == "" and said.err.count("\n") == 1 and "nothing was recorded, try again" in said.err
        assert main(["ask", "how many eggs do I have", *where]) == 0  # a question goes on meanwhile
    finally:
        other.close()
    assert main(["ask", "note: the door squeaks", *where]) == 0
    with Store.open(path) as store:
        assert [event.note for event in store.events()][1:] == ["the door squeaks"]


FULL = """
import sys
from pathlib import Path
from nurserytui.records.events import Event
from nurserytui.records.store import Store, StoreError
folder = Path(sys.argv[1])
with Store.open(folder / "n.db") as store:
    written = 0
    try:
        while True:
            assert not store.append([Event("2031-06-02", "note", note=f"{written} " + "x" * 3000)]).faults
            written += 1
    except StoreError as error:
        print(error)
    assert len(store.events()) == written > 5, (len(store.events()), written)
    (folder / "filler").unlink()
    assert not store.append([Event("2031-06-02", "note", note="room again")]).faults
with Store.open(folder / "n.db") as store:
    assert len(store.events()) == written + 1
from nurserytui.records.checking import check
assert check(folder / "n.db") == []
"""


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0 or not shutil.which("unshare"), reason="may not mount a small disk")
def test_a_real_small_disk_that_fills_loses_nothing_and_goes_on_once_there_is_room(tmp_path):
    """In a mount namespace of its own, so that nothing of it is seen or left outside."""
    mount = f"mount -t tmpfs -o size=400k tmpfs {tmp_path} && head -c 200000 /dev/zero > {tmp_path}/filler && "
    done = subprocess.run(
        ["unshare", "-m", "sh", "-c", f'{mount} exec "$0" -c "$1" "$2"', sys.executable, FULL, str(tmp_path)],
        capture_output=True, text=True, timeout=60, env=killing.environment(),
    )  # fmt: skip
    if "mount:" in done.stderr or "unshare:" in done.stderr:
        pytest.skip("may not mount a small disk")
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("\n") == 1 and "the disk is full" in done.stdout
