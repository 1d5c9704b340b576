"""A restore that is killed, at any step, leaves the old nursery or the new one, and the old one is never lost."""

from __future__ import annotations

import os
import shutil
import signal
import sys
import time
from datetime import datetime, timedelta
from functools import partial

import pytest

from nurserytui.records.backups.restoring import restore
from nurserytui.records.backups.to_file import backup
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="killed in a process of its own")

LAID = Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")
DIED = Event("2031-06-02", "died", "A", count=2)
STEPS = frozenset("open os.rename os.remove os.link os.mkdir os.chmod os.listdir sqlite3.connect".split())
"""What a program does to files, as Python's audit events call it (library reference, audit events table)."""


def whole(path):
    pass


def damaged(path):
    path.write_bytes(path.read_bytes()[:4096] + b"\x09" * 20000)


def foreign(path):
    path.write_text("dear")


def gone(path):
    path.unlink()


def in_a_child(work) -> int:
    """How the process ended that did the work: 0 when it came through, else not; nothing of it is tidied up."""
    child = os.fork()
    if not child:
        try:
            work()
            os._exit(0)
        except BaseException:
            os._exit(1)
    return os.waitpid(child, 0)[1]


def killed_before(step: int, folder, work) -> None:
    """Do the work, with the process gone just before it touches files of that folder for so many-th time."""
    left = [step]

    def hook(event: str, arguments: tuple) -> None:
        if event in STEPS and any(
            str(folder) in os.fsdecode(one) for one in arguments if isinstance(one, (str, bytes, os.PathLike))
        ):
            left[0] -= 1
            if not left[0]:
                os._exit(9)

    sys.addaudithook(hook)
    work()


def killed_after(seconds: float, work) -> None:
    """Do the work, with the process gone after that time; 0 lets it come through."""
    signal.signal(signal.SIGALRM, signal.SIG_DFL)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    work()


def events(path) -> list[str]:
    with Store.open(path, create=False) as store:
        return [event.what for event in store.events()]


@pytest.fixture
def start(tmp_path):
    """A folder with a nursery of two events and a backup of it with one."""
    folder = tmp_path / "start"
    with Store.open(folder / "n.db") as store:
        store.append([LAID])
    backup(folder / "n.db", folder / "copy.db")
    with Store.open(folder / "n.db") as store:
        store.append([DIED])
    return folder


@pytest.mark.parametrize("spoil", [whole, damaged, foreign, gone], ids=lambda one: one.__name__)
def test_whichever_step_is_the_last_the_old_nursery_or_the_new_one_is_there(start, tmp_path, spoil):
    spoil(start / "n.db")
    before = (start / "n.db").read_bytes() if spoil is not gone else None
    for step in range(1, 400):
        folder = tmp_path / f"{step}"
        shutil.copytree(start, folder)
        path = folder / "n.db"
        ended = in_a_child(partial(killed_before, step, folder, partial(restore, folder / "copy.db", path)))
        if spoil is whole:
            assert events(path) in (["laid"], ["laid", "died"]) and check(path) == []
            if events(path) == ["laid"]:
                assert any(events(kept) == ["laid", "died"] for kept in folder.glob("n.backups/*.db"))
        elif not path.exists():
            assert spoil is gone
        elif path.read_bytes() != before:
            assert events(path) == ["laid"] and check(path) == []
        if before is not None and spoil is not whole:
            assert any(file.read_bytes() == before for file in folder.glob("n*.db")), "what was there is never lost"
        restore(folder / "copy.db", path)
        assert events(path) == ["laid"] and check(path) == [] and not list(folder.glob("*.restoring*"))
        shutil.rmtree(folder)
        if not ended:
            break
    assert not ended and step > 12


def test_killed_at_any_moment_of_the_writing_the_nursery_is_the_old_one_or_the_new_one(start, tmp_path):
    began = datetime(2031, 6, 1)
    with Store.open(start / "n.db") as store:
        store.add_readings(Reading(began + timedelta(minutes=at), "shed", 20.0, 20.0, False) for at in range(60_000))
    backup(start / "n.db", start / "large.db")
    restore(start / "copy.db", start / "n.db")
    rounds, seen, took = 10, set(), 0.0
    for number in range(rounds + 1):
        folder = tmp_path / f"{number}"
        shutil.copytree(start, folder)
        path = folder / "n.db"

        started = time.perf_counter()
        ended = in_a_child(partial(killed_after, took * number / (rounds + 1), partial(restore, folder / "large.db", path)))
        took = took or time.perf_counter() - started
        assert number or not ended
        assert check(path) == []
        seen.add(tuple(events(path)))
        shutil.rmtree(folder)
    assert seen == {("laid",), ("laid", "died")}
