"""Several people on one nursery: conversations and open windows are processes of their own, and none of them loses a record to another."""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys
from collections import Counter
from datetime import datetime

import pytest

from faults import killing
from nurserytui.records import connections
from nurserytui.records.backups.kept import keep
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store
from nurserytui.tui.desk import Desk

NOW = "2031-06-10T08:00"


class Person:
    """One conversation with the nursery, in a process of its own."""

    def __init__(self, path) -> None:
        command = [sys.executable, "-m", "nurserytui", "ask", "-", "--json", "--db", path, "--now", NOW]
        self._talk = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=killing.environment()
        )

    def send(self, *lines: str) -> None:
        self._talk.stdin.write("".join(f"{line}\n" for line in lines))
        self._talk.stdin.flush()

    def answers(self, count: int) -> list[dict]:
        return [json.loads(self._talk.stdout.readline()) for _ in range(count)]

    def end(self) -> None:
        self._talk.stdin.close()
        assert self._talk.wait(timeout=60) == 0
        self._talk.stdout.close()


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append(
            [Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=90, enclosure="jar", id="laid")]
        )
    return tmp_path / "n.db"


ROUNDS = 12


def test_two_conversations_and_an_open_window_record_undo_and_ask_at_once(path):
    """Each takes back its own last record, whatever the others wrote meanwhile, and sees what they wrote."""
    people = {"ann": Person(path), "ben": Person(path)}
    lines = [
        line for at in range(ROUNDS) for line in (f"note: {{}} {at}", f"note: {{}} {at} wrong", "undo", "how many eggs do I have")
    ]
    for name, person in people.items():
        person.send(*(line.format(name) for line in lines), "one A died")

    async def window() -> list:
        desk = Desk(path, datetime.fromisoformat(NOW))
        await desk.open()
        said = [(await desk.reply(line.format("window")))[0] for line in (*lines, "one A died")]
        await desk.close()
        return said

    answers = {"window": [json.loads(one.json_line()) for one in asyncio.run(window())]}
    for name, person in people.items():
        answers[name] = person.answers(len(lines) + 1)
        person.end()
    for name, said in answers.items():
        assert Counter(one["status"] for one in said) == {"recorded": 3 * ROUNDS + 1, "answered": ROUNDS}, said
        for at in range(ROUNDS):
            assert f"{name} {at} wrong" in said[4 * at + 2]["text"], said[4 * at + 2]["text"]
    with Store.open(path) as store:
        events = store.events()
        gone = {event.withdraws for event in events if event.what == "withdrawn"}
        notes = Counter(event.note for event in events if event.note and event.id not in gone)
        assert notes == Counter(f"{name} {at}" for name in answers for at in range(ROUNDS))
        assert sum(store.heads().values()) == 87
    assert check(path) == []


def test_what_one_wrote_is_seen_by_the_others_at_once(path):
    ann, ben = Person(path), Person(path)
    ann.send("2 of A died")
    assert ann.answers(1)[0]["status"] == "recorded"
    ben.send("how many eggs do I have")
    assert ben.answers(1)[0]["values"]["count"]["value"] == 88
    ben.send("3 of A died")
    assert ben.answers(1)[0]["status"] == "recorded"
    ann.send("undo", "how many eggs do I have")
    answers = ann.answers(2)
    assert [one["status"] for one in answers] == ["recorded", "answered"]
    assert answers[1]["values"]["count"]["value"] == 87
    for person in (ann, ben):
        person.end()


def test_three_kinds_of_writing_at_once_lose_nothing(path):
    kinds = {"append": 25, "import of events": 4, "import of readings": 4, "ask": 15}
    running = {kind: killing.started(kind, path, kind[-3:].replace(" ", ""), most) for kind, most in kinds.items()}
    for kind, one in running.items():
        said, wrong = one.communicate(timeout=120)
        assert one.returncode == 0 and not wrong, wrong
        assert killing.acknowledged(kind, said) == kinds[kind]
    for kind, most in kinds.items():
        assert killing.found(kind, path, kind[-3:].replace(" ", ""), most) == []


def test_three_programs_start_at_once_on_a_file_that_is_not_there(tmp_path):
    path = tmp_path / "n.db"
    running = [killing.started("append", path, tag, 5) for tag in ("a", "b", "c")]
    for one in running:
        said, wrong = one.communicate(timeout=60)
        assert one.returncode == 0 and not wrong and killing.acknowledged("append", said) == 5, wrong
    for tag in ("a", "b", "c"):
        assert killing.found("append", path, tag, 5) == []


COUNTS = (
    "import sys; from nurserytui.records.store import Store\nwith Store.open(sys.argv[1]) as store: print(len(store.events()))"
)


def counted_elsewhere(path) -> int:
    """How many events another program finds, which then closes the file."""
    done = subprocess.run(
        [sys.executable, "-c", COUNTS, path], capture_output=True, text=True, check=True, env=killing.environment()
    )
    return int(done.stdout)


@pytest.mark.parametrize(
    "look",
    [
        lambda path: keep(path, "asked"),
        lambda path: import_file(path, Store.open(path)),
        check,
        lambda path: connections.open_existing(path, read_only=False)[0].close(),
    ],
)
def test_a_window_that_looked_at_its_file_again_keeps_what_it_writes_then(path, look):
    """A window made a backup and another program came and went: what the window wrote after that was lost when it closed."""
    with Store.open(path) as window:
        window.append([Event("2031-06-02", "note", note="one")])
        look(path)
        assert counted_elsewhere(path) == 2
        assert path.with_name("n.db-wal").exists()
        window.append([Event("2031-06-02", "note", note="two")])
        assert counted_elsewhere(path) == 3
    assert counted_elsewhere(path) == 3 and check(path) == []
