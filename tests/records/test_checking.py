"""A whole file passes; every way of tampering with one is found."""

from __future__ import annotations

import sqlite3

import pytest

from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store, StoreError


@pytest.fixture
def path(tmp_path):
    from datetime import datetime

    with Store.open(tmp_path / "n.db") as store:
        store.append([Event("2031-06-01", "laid", "A", species="Pieris rapae", count=9, enclosure="jar")])
        store.append([Event("2031-06-02", "hatched", "A", count=4), Event("2031-06-03", "note", note="fine")])
        store.add_readings([Reading(datetime(2031, 6, 1), "jar", 20, 20)])
    return tmp_path / "n.db"


def test_a_whole_file_passes(path):
    assert check(path) == []


UNGUARD = "DROP TRIGGER events_never_change; DROP TRIGGER events_never_go;"


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("UPDATE heads SET count = 6 WHERE stage = 'egg'", "cohort A has 6 eggs in jar in the file, but 5 by the events"),
        ("DELETE FROM heads WHERE stage = 'egg'", "cohort A has 0 eggs in jar in the file, but 5 by the events"),
        ("INSERT INTO heads VALUES ('A', '', 'pupa', 0, 'jar', 2)", "cohort A has 2 pupae in jar in the file, but 0 by the events"),
        (f"{UNGUARD} UPDATE events SET count = 3 WHERE seq = 1", "cannot have happened: cohort A has 3 eggs in jar, not 4"),
        (f"{UNGUARD} UPDATE events SET count = 8 WHERE seq = 1", "cohort A has 5 eggs in jar in the file, but 4 by the events"),
        (f"{UNGUARD} DELETE FROM events WHERE seq = 2", "1 event is gone: number 2 of those recorded"),
        (f"{UNGUARD} UPDATE events SET \"when\" = 'soon' WHERE seq = 3", "'soon' is no date"),
        ("DROP TRIGGER events_never_change", "the guard events_never_change is missing"),
        ("DROP TRIGGER events_never_go; CREATE TRIGGER events_never_go BEFORE DELETE ON events BEGIN SELECT 1; END",
         "the guard events_never_go was changed"),
        ("DROP TABLE readings", "the table readings is missing"),
        ("ALTER TABLE heads ADD COLUMN seen TEXT", "the table heads was changed"),
        ("PRAGMA foreign_keys = OFF; DROP TRIGGER events_never_change; UPDATE events SET withdraws = 'none' WHERE seq = 3",
         "points at an event that is not there"),
        ("DROP TRIGGER readings_never_change; UPDATE readings SET low = 30", "1 readings cannot be temperatures"),
        ("DROP TRIGGER readings_never_change; UPDATE readings SET low = 85, high = 85", "1 readings cannot be temperatures"),
    ],
)  # fmt: skip
def test_tampering_is_found(path, sql, words):
    connection = sqlite3.connect(path)
    connection.executescript(sql)
    connection.close()
    assert any(words in reason for reason in check(path)), check(path)


def test_damage_is_found(path):
    with Store.open(path) as store:
        store.append([Event("2031-06-04", "note", note="x" * 900) for _ in range(100)])
    raw = bytearray(path.read_bytes())
    raw[-4096 * 4 :] = b"\x07" * (4096 * 4)
    path.write_bytes(raw)
    assert any("damaged" in reason for reason in check(path))


def test_what_is_not_a_nursery_is_raised(tmp_path):
    (tmp_path / "x.db").write_text("no")
    for name in ("x.db", "none.db"):
        with pytest.raises(StoreError):
            check(tmp_path / name)
