"""The file of everything holds all of it, in plain lines."""

from __future__ import annotations

import json
from datetime import datetime

import pytest
from tables import NURSERY

from nurserytui.exports.everything import VERSION, export_everything
from nurserytui.records.event_rows import COLUMNS
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store


@pytest.fixture
def store(tmp_path):
    (tmp_path / "small.csv").write_text(NURSERY, encoding="utf-8")
    with Store.memory() as store:
        assert not import_file(tmp_path / "small.csv", store).faults
        kept = store.append([
            Event("2031-05-20", "found", "W", species="Aglais io", stage="egg", count=1, latitude=-33.9, longitude=0.1, place="=hedge", note='two\nlines "é 🦋"')
        ]).events[0]  # fmt: skip
        store.append([Event("2031-05-21", "withdrawn", withdraws=kept.id)])
        store.add_readings(
            [
                Reading(datetime(2031, 10, 26, 2, 30), "jar", 20, 20),
                Reading(datetime(2031, 10, 26, 2, 30, fold=1), "jar", 18.25, 21),
            ]
        )
        yield store


def lines(file) -> list[dict]:
    return [json.loads(line) for line in file.read_text(encoding="ascii").split("\n")[:-1]]


def test_every_event_and_every_reading_is_a_line(store, tmp_path):
    assert export_everything(store, tmp_path / "all.jsonl") == (15, 2)
    found = lines(tmp_path / "all.jsonl")
    assert found[0] == {"nursery": {"version": VERSION, "temperature": "C"}}
    events = [line["event"] for line in found if "event" in line]
    assert all(tuple(event) == COLUMNS for event in events)
    assert [event["id"] for event in events] == [event.id for event in store.events()]
    assert events[1]["count"] == "~30" and events[2]["count"] == 24 and events[0]["count"] is None
    assert (events[13]["latitude"], events[13]["place"], events[13]["note"]) == (-33.9, "=hedge", 'two\nlines "é 🦋"')
    assert events[14]["withdraws"] == events[13]["id"]
    assert [line["reading"] for line in found if "reading" in line] == [
        {"time": "2031-10-26T02:30:00", "place": "jar", "low": 20.0, "high": 20.0},
        {"time": "2031-10-26T02:30:00", "place": "jar", "low": 18.25, "high": 21.0, "fold": 1},
    ]


def test_the_same_records_make_the_same_bytes(store, tmp_path):
    for name in "ab":
        export_everything(store, tmp_path / name)
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()


def test_it_is_what_the_file_held_when_it_was_begun(tmp_path):
    """Another window writes while the export goes on."""
    with Store.open(tmp_path / "n.db") as store, Store.open(tmp_path / "n.db") as other:
        store.append([Event("2031-06-01", "note", note=f"{number}") for number in range(600)])
        wrote = []

        def progress(done: int, total: int, what: str) -> None:
            if done == 500:
                wrote.append(other.append([Event("2031-06-02", "note", note="later")]))
                other.add_readings([Reading(datetime(2031, 6, 2), "jar", 20, 20)])

        assert export_everything(store, tmp_path / "all.jsonl", progress) == (600, 0) and len(wrote) == 1
        assert export_everything(store, tmp_path / "all.jsonl") == (601, 1)
