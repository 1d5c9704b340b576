"""A whole file passes; every way of tampering with one is found."""

from __future__ import annotations

import sqlite3

import pytest

from nurserytui.records.backups.kept import kept
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.mending import mend
from nurserytui.records.readings import Reading
from nurserytui.records.store import Damaged, Store, StoreError


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
        ("UPDATE heads SET count = 6 WHERE stage = 'egg'", "cohort A has 5 eggs in jar by the events, but 6 in the file. Run nurserytui check --mend"),
        ("DELETE FROM heads WHERE stage = 'egg'", "cohort A has 5 eggs in jar by the events, but 0 in the file. Run"),
        ("INSERT INTO heads VALUES ('A', '', 'pupa', 0, 'jar', 2)", "cohort A has 0 pupae in jar by the events, but 2 in the file. Run"),
        (f"{UNGUARD} UPDATE events SET count = 3 WHERE seq = 1", "cannot have happened: cohort A has 3 eggs in jar, not 4"),
        (f"{UNGUARD} UPDATE events SET count = 8 WHERE seq = 1", "cohort A has 4 eggs in jar by the events, but 5 in the file. Restore a backup"),
        (f"{UNGUARD} DELETE FROM events WHERE seq = 2", "1 event is gone: number 2 of those recorded"),
        (f"{UNGUARD} UPDATE events SET \"when\" = 'soon' WHERE seq = 3", "'soon' is no date"),
        ("DROP TRIGGER events_never_change", "the guard events_never_change is missing"),
        ("DROP TRIGGER events_never_go; CREATE TRIGGER events_never_go BEFORE DELETE ON events BEGIN SELECT 1; END",
         "the guard events_never_go was changed"),
        ("CREATE TRIGGER mine AFTER INSERT ON events BEGIN DELETE FROM heads; END", "there is a trigger mine that is not of this program"),
        (f"{UNGUARD} UPDATE events SET note = 'Fine' WHERE seq = 3", "is not as it was written; it now says: note on 2031-06-03. Restore"),
        ("PRAGMA foreign_keys = OFF; DROP TRIGGER events_never_go; DELETE FROM events WHERE seq = 3", "1 event is gone: number 3"),
        ("INSERT INTO events SELECT 4, \"when\", what, cohort, mark, species, stage, instar, count, estimate, enclosure, \"to\", host, detail, note, "
         "'other', withdraws, \"by\", place, latitude, longitude, parent, \"group\", instant, written FROM events WHERE seq = 3",
         "event other was not written by this program"),
        ("DROP TRIGGER readings_never_change; UPDATE readings SET low = 20.0000001, high = 20.0000001",
         "1 reading of jar is not as written, the first of 2031-06-01 00:00:00"),
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


def test_every_line_says_what_is_wrong_and_what_to_do(path):
    connection = sqlite3.connect(path)
    connection.executescript(
        f"{UNGUARD} UPDATE events SET \"when\" = 'soon', note = 'x' WHERE seq = 3; UPDATE heads SET count = 8"
    )
    connection.close()
    lines = check(path)
    assert len(lines) > 4
    for line in lines:
        assert (
            line.count(". ") >= 1
            and line.endswith(".")
            and ("Restore a backup: nurserytui restore" in line or "--mend" in line or "The next record" in line)
        ), line


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


def test_a_headcount_and_guards_are_put_right_after_a_copy(path):
    connection = sqlite3.connect(path)
    connection.executescript(
        "UPDATE heads SET count = 6 WHERE stage = 'egg'; DROP TRIGGER events_never_go; "
        "CREATE TRIGGER mine AFTER INSERT ON events BEGIN DELETE FROM heads; END"
    )
    connection.close()
    before = rows(path)
    said = mend(path)
    assert [line for line in said[:-1]] == [
        "The trigger mine was taken away.",
        "The guard events_never_go was put back.",
        "The headcount was put right: cohort A has 5 eggs in jar by the events, but 6 in the file before.",
    ]
    assert check(path) == [] and rows(path) == before
    copy = next(kept(path))
    assert copy.why == "before-mending" and str(copy.path) in said[-1] and len(check(copy.path)) == 3
    assert mend(path) == []


def test_nothing_is_worked_out_anew_from_an_event_that_was_changed(path):
    connection = sqlite3.connect(path)
    connection.executescript(f"{UNGUARD} UPDATE events SET count = 8 WHERE seq = 1")
    connection.close()
    before = path.read_bytes()
    with pytest.raises(Damaged, match="nothing was mended"):
        mend(path)
    assert path.read_bytes() == before and not [*kept(path)]


def rows(path):
    connection = sqlite3.connect(path)
    found = [connection.execute(f"SELECT * FROM {table}").fetchall() for table in ("events", "readings", "sums")]
    connection.close()
    return found


def test_a_guard_that_is_missing_is_back_with_the_next_record(path):
    connection = sqlite3.connect(path)
    connection.execute("DROP TRIGGER events_never_change")
    connection.close()
    with Store.open(path) as store:
        store.append([Event("2031-06-04", "note", note="fine")])
    assert check(path) == []
