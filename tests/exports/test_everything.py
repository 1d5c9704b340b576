"""The file of everything holds all of it, in plain lines."""

from __future__ import annotations

import json
import tracemalloc
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.nurseries import random_events
from tables import NURSERY

from nurserytui.exports.everything import VERSION, export_everything
from nurserytui.exports.export import OF_RECORDS, export_records
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


@pytest.mark.parametrize("form", OF_RECORDS)
def test_memory_does_not_grow_with_the_records(tmp_path, form):
    """Row by row from the file: what is held meanwhile is the same for 200 events and readings and for 20,000."""
    held = []
    for many in (200, 20_000):
        with Store.open(tmp_path / f"{many}.db") as store:
            store.append([Event("2031-06-01", "note", note="x" * 100) for _ in range(many)])
            store.add_readings(Reading(datetime(2031, 6, 1) + timedelta(minutes=at), "jar", 20, 20) for at in range(many))
        with Store.open(tmp_path / f"{many}.db", read_only=True) as store:
            export_records(store, tmp_path / "first", form)  # what is imported is no part of it
            tracemalloc.start()
            export_records(store, tmp_path / "out", form)
            held.append(tracemalloc.get_traced_memory()[1])
            tracemalloc.stop()
    assert held[1] < held[0] + 200_000, held


def read_back(store, folder) -> Store:
    """A nursery made from the file; what it makes of itself is the same file."""
    export_everything(store, folder / "all.jsonl")
    copy = Store.memory()
    report = import_file(folder / "all.jsonl", copy)
    assert not report.faults, report.faults
    export_everything(copy, folder / "again.jsonl")
    assert (folder / "all.jsonl").read_bytes() == (folder / "again.jsonl").read_bytes()
    return copy


def test_it_reads_back_to_an_identical_nursery(store, tmp_path):
    with read_back(store, tmp_path) as copy:
        assert copy.events() == store.events() and copy.readings() == store.readings() and copy.heads() == store.heads()
        assert import_file(tmp_path / "all.jsonl", copy).added == 0


@pytest.mark.parametrize("seed", range(4))
def test_whole_seasons_read_back_to_an_identical_nursery(tmp_path, seed):
    with Store.memory() as store:
        assert not store.append(random_events(seed, 2, 4)).faults
        with read_back(store, tmp_path) as copy:
            assert copy.events() == store.events() and copy.heads() == store.heads()


TEXTS = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=12)
TEMPERATURES = st.floats(-20, 45)


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.tuples(TEXTS, TEXTS, TEXTS), max_size=4),
    st.lists(st.tuples(TEXTS, st.integers(0, 200), TEMPERATURES, TEMPERATURES), max_size=6),
)
def test_any_text_and_any_reading_comes_back(tmp_path_factory, noted, measured):
    """Readings around the hour that comes twice: clocks in Central Europe go back at 3:00 on 26 October 2031."""
    from zoneinfo import ZoneInfo

    where, began = ZoneInfo("Europe/Paris"), datetime(2031, 10, 25, 23, tzinfo=ZoneInfo("UTC"))
    with Store.memory() as store:
        store.append([Event("2031-01-01", "setting", detail="timezone=Europe/Paris")])
        store.append([Event("2031-06-01", "fed", enclosure="jar", note=note, detail=detail, by=by) for note, detail, by in noted])
        store.add_readings(
            Reading((began + timedelta(minutes=at)).astimezone(where).replace(tzinfo=None), place.strip() or "jar", *sorted(ends))
            for place, at, *ends in measured
        )
        with read_back(store, tmp_path_factory.mktemp("trip")) as copy:
            assert copy.events() == store.events() and copy.readings() == store.readings()
