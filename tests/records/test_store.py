"""The nursery file: who may open it, what may be written, and that nothing else ever changes it."""

from __future__ import annotations

import hashlib
import os
import sqlite3
import subprocess
import sys
import threading
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.sequences import lively

from nurserytui.records import schema
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.identity import with_ids
from nurserytui.records.order import withdrawn_ids
from nurserytui.records.readings import Reading
from nurserytui.records.store import Damaged, Locked, Newer, NotOurs, ReadOnly, Store, StoreError

LAID = Event("2031-06-01T10:00", "laid", "A", species="Pieris rapae", stage="egg", count=12, enclosure="jar")
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def path(tmp_path):
    folder = tmp_path / "nursery"
    folder.mkdir()
    with Store.open(folder / "n.db") as store:
        store.append([LAID])
    return folder / "n.db"


def digest(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


# Opening -------------------------------------------------------------------------------------------------------------


def test_a_nursery_without_readings_has_no_places_of_any():
    with Store.memory() as store:
        assert store.reading_places() == [] and store.first_reading() == ""


def test_a_new_file_is_made_with_its_folders_and_left_clean(tmp_path):
    path = tmp_path / "a" / "b" / "näm e?#.db"
    with Store.open(path) as store:
        assert store.events() == []
        store.append([LAID])
    assert [one.name for one in path.parent.iterdir()] == [path.name]  # no write-ahead files left behind


@pytest.mark.parametrize("how", [{"create": False}, {"read_only": True}])
def test_a_missing_file_is_told(tmp_path, how):
    with pytest.raises(StoreError, match="there is no nursery file"):
        Store.open(tmp_path / "none.db", **how)
    assert not list(tmp_path.iterdir())


def make_text(path):
    path.write_text("when,what\n2031-01-01,note\n" * 50)


def make_other_database(path):
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE events (id)")
    connection.commit()
    connection.close()


def make_newer(path):
    Store.open(path).close()
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA user_version = {schema.VERSION + 1}")
    connection.close()


def make_damaged_header(path):
    Store.open(path).close()
    raw = bytearray(path.read_bytes())
    raw[100:300] = b"\xff" * 200
    path.write_bytes(raw)


@pytest.mark.parametrize(
    ("make", "error", "words"),
    [
        (make_text, NotOurs, "is not a nursery file"),
        (make_other_database, NotOurs, "is not a nursery file"),
        (make_newer, Newer, "newer version"),
        (make_damaged_header, Damaged, "damaged"),
        (Path.mkdir, NotOurs, "folder"),
    ],
)
@pytest.mark.parametrize("read_only", [False, True])
def test_a_file_that_cannot_be_used_is_told_in_one_line_and_left_alone(tmp_path, make, error, words, read_only):
    path = tmp_path / "n.db"
    make(path)
    before = digest(path) if path.is_file() else None
    with pytest.raises(error, match=words) as raised, Store.open(path, read_only=read_only) as store:
        store.events()
    assert "\n" not in str(raised.value)
    assert before is None or digest(path) == before
    assert [one.name for one in tmp_path.iterdir()] == ["n.db"]


def test_a_broken_page_is_told_as_damage(path):
    with Store.open(path) as store:
        store.append([Event("2031-06-02", "note", note="x" * 500) for _ in range(200)])
    raw = bytearray(path.read_bytes())
    raw[8192:-4096] = b"\x55" * (len(raw) - 8192 - 4096)
    path.write_bytes(raw)
    with Store.open(path) as store, pytest.raises(Damaged):
        store.events()


@pytest.mark.parametrize("closed", ["file", "folder"])
def test_reading_works_where_nothing_may_be_written(path, closed):
    mode, what = (0o444, path) if closed == "file" else (0o555, path.parent)
    before = digest(path)
    what.chmod(mode)
    try:
        with Store.open(path) as store:
            assert store.events()[0].cohort == "A"
            with pytest.raises(ReadOnly, match="read-only"):
                store.append([LAID])
            assert [one.name for one in path.parent.iterdir()] == ["n.db"]
    finally:
        what.chmod(0o755)
    assert digest(path) == before and [one.name for one in path.parent.iterdir()] == ["n.db"]


def test_opened_for_reading_it_sees_what_an_open_window_has_written(path):
    with Store.open(path) as window:
        window.append([Event("2031-06-02", "hatched", "A", count=3)])
        with Store.open(path, read_only=True) as reader:
            assert len(reader.events()) == 2


def test_a_writer_that_does_not_finish_is_told(path, monkeypatch):
    monkeypatch.setattr("nurserytui.records.connections.PATIENCE", 0.05)
    other = sqlite3.connect(path)
    other.execute("BEGIN IMMEDIATE")
    try:
        with Store.open(path) as store:
            assert len(store.events()) == 1  # reading goes on
            with pytest.raises(Locked, match="another window"):
                store.append([LAID])
    finally:
        other.close()


def test_a_store_serves_several_threads(path):
    found = []
    with Store.open(path) as store:
        thread = threading.Thread(target=lambda: found.append(len(store.events())))
        thread.start()
        thread.join()
    assert found == [1]


def test_a_private_copy_never_touches_its_file(path):
    before = digest(path)
    with Store.memory(path) as store:
        assert not store.append([Event("2031-06-02", "hatched", "A", count=3)]).faults
        assert len(store.events()) == 2
    assert digest(path) == before


@pytest.mark.parametrize(
    "act", ["store.events()", "store.append([Event('2031-06-02', 'hatched', 'A', count=3)])"], ids=["a question", "a record"]
)
def test_opening_for_one_line_loads_nothing_heavy(path, act):
    script = (
        "import sys; from nurserytui.records.store import Store; from nurserytui.records.events import Event; "
        f"store = Store.open(sys.argv[1]); {act}; store.close(); print(*{{name.split('.')[0] for name in sys.modules}})"
    )
    done = subprocess.run([sys.executable, "-c", script, str(path)], cwd=ROOT, capture_output=True, text=True, check=True)
    assert not {"sqlite_utils", "click", "csv", "zoneinfo", "hashlib", "dataclasses"} & set(done.stdout.split())


# Writing -------------------------------------------------------------------------------------------------------------


def test_what_was_left_out_is_filled_in_and_read_back(path):
    with Store.open(path) as store:
        written = store.append(
            [
                Event("2031-06-02", "died", count=2, enclosure="jar"),
                Event("2031-06-02", "laid", species="Vanessa cardui", count=5),
            ]
        )
        died, laid = written.events
        assert (died.cohort, died.stage, died.enclosure) == ("A", "egg", "jar")
        assert (laid.cohort, laid.stage) == ("B", "egg")
        assert died.group == laid.group and died.id != laid.id
        assert [posting.count for posting in written.postings] == [2, 5]
        assert store.events()[1:] == [died, laid]


@pytest.mark.parametrize(
    ("events", "reason", "in_the_way"),
    [
        ([Event("2031-06-09", "died", "A", count=20)], "cohort A has 2 eggs and 10 larvae, not 20", None),
        ([Event("2031-06-03", "died", "A", count=5)], "cohort A has 7 eggs in jar, not 10", "hatched"),
        ([Event("2031-06-09", "withdrawn", withdraws="first")], "there is no cohort A", "hatched"),
        ([Event("2031-06-09", "withdrawn", withdraws="none")], "there is no event none to withdraw", None),
        ([Event("2031-06-09", "withdrawn")], "the event to withdraw is not said", None),
        ([Event("2031-06-09", "note", note="x", id="first")], "there is an event first already", None),
        ([Event("2031-06-31", "note", note="x")], "when: '2031-06-31' is no date: write 2026-07-12, or 2026-07-12T08:00", None),
        ([Event("2031-06-09", "temperature", detail="85 C")], "85 °C is no temperature of a nursery (the value of a sensor that failed)", None),
        ([Event("2031-06-09", "note", note="a\0b")], "note: there is a character that no file can hold", None),
        # one that cannot be keeps the others out too
        ([Event("2031-06-09", "note", note="fine"), Event("2031-06-09", "died", "Z", count=1)], "there is no cohort Z", None),
    ],
)  # fmt: skip
def test_an_impossible_event_is_refused_and_nothing_is_written(tmp_path, events, reason, in_the_way):
    with Store.open(tmp_path / "n.db") as store:
        store.append([LAID._replace(id="first"), Event("2031-06-05", "hatched", "A", count=10, enclosure="jar")])
        before = store.events(), store.heads()
        written = store.append(events)
        assert not written.events
        assert [fault.reason for fault in written.faults] == [reason]
        blocker = written.faults[0].standing_in_the_way
        assert (blocker and blocker.what) == in_the_way
        assert (store.events(), store.heads()) == before


def test_undo_of_a_group_and_a_correction_in_one_go(path):
    with Store.open(path) as store:
        first = store.append([Event("2031-06-05", "hatched", "A", count=4)]).events[0]
        store.append([Event("2031-06-06", "died", "A", stage="larva", count=1)])
        corrected = store.append([Event("2031-06-07", "withdrawn", withdraws=first.id), first._replace(count=3, id="", group="")])
        assert not corrected.faults
        assert {key.stage: count for key, count in store.heads().items()} == {"egg": 9, "larva": 2}
        assert store.append([Event("2031-06-07", "withdrawn", withdraws=first.id)]).faults[0].reason.endswith("withdrawn already")


def test_the_instant_is_kept_beside_the_wall_time(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append(
            [Event("2031-01-01", "setting", detail="timezone=America/New_York"), LAID, LAID._replace(when="2031-12-01T10:00")]
        )
        assert store._rows("SELECT \"when\", instant FROM events WHERE what = 'laid'") == [
            ("2031-06-01T10:00", "2031-06-01T14:00:00Z"),
            ("2031-12-01T10:00", "2031-12-01T15:00:00Z"),
        ]


# Guards --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE events SET count = 99",
        "DELETE FROM events",
        'INSERT OR REPLACE INTO events SELECT seq, "when", what, cohort, mark, species, stage, instar, 99, estimate, enclosure, "to", host, '
        'detail, note, id, withdraws, "by", place, latitude, longitude, parent, "group", instant, written FROM events',
        "UPDATE readings SET low = 0",
        "DELETE FROM readings",
        "UPDATE sums SET sum = 0",
        "DELETE FROM sums",
        "INSERT OR REPLACE INTO sums SELECT * FROM sums",
    ],
)
@pytest.mark.parametrize("recursive", [0, 1])
def test_no_client_of_the_file_can_change_what_is_recorded(path, sql, recursive):
    with Store.open(path) as store:
        store.add_readings([Reading(datetime(2031, 6, 1), "jar", 20, 20)])
        before = store.events()
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA recursive_triggers = {recursive}")
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(sql)
    connection.close()
    with Store.open(path) as store:
        assert store.events() == before and store.readings()[0].low == 20


@pytest.mark.parametrize("column", ["what", "stage"])
def test_the_table_takes_no_words_of_its_own(path, column):
    connection = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(
            f"INSERT INTO events SELECT 99, {', '.join(repr('wrong') if name == column else repr('x') if name == 'id' else chr(34) + name + chr(34) for name in _columns(connection) if name != 'seq')} FROM events"
        )
    connection.close()


def _columns(connection):
    return [row[1] for row in connection.execute("PRAGMA table_info(events)")]


def test_a_reading_that_another_client_replaced_is_named_by_the_check(path):
    """A connection that fires no delete triggers can replace a reading; it cannot do so unseen."""
    with Store.open(path) as store:
        store.add_readings([Reading(datetime(2031, 6, 1, 10), "jar", 20, 20)])
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA recursive_triggers = OFF")
    connection.execute('INSERT OR REPLACE INTO readings SELECT place, "when", fold, instant, 21, 21, sum FROM readings')
    connection.commit()
    connection.close()
    (line,) = check(path)
    assert line.startswith("1 reading of jar is not as written, the first of 2031-06-01 10:00:00. ")


# Each write by itself --------------------------------------------------------------------------------------------------

NOTES = [Event("2031-06-02", "note", note=f"{at}") for at in range(1200)]
HOURS = [Reading(datetime(2031, 6, 1 + at // 24, at % 24), "jar", 20, 20) for at in range(600)]
WRITES = {
    "append": lambda store, progress=None: store.append(NOTES, progress),
    "add_readings": lambda store, progress=None: store.add_readings(HOURS, progress),
}


def recorded(path) -> list:
    """What another program sees."""
    connection = sqlite3.connect(path)
    found = [connection.execute(f"SELECT * FROM {table}").fetchall() for table in ("events", "readings", "heads", "sums")]
    connection.close()
    return found


@pytest.mark.parametrize("write", WRITES)
def test_a_write_is_seen_by_others_as_soon_as_it_returns(path, write):
    before = recorded(path)
    with Store.open(path) as store:
        WRITES[write](store)
        assert not store._connection().in_transaction and recorded(path) != before


@pytest.mark.parametrize("write", WRITES)
def test_a_write_that_ends_anywhere_leaves_nothing_and_the_next_one_works(path, write):
    before, last = recorded(path), 0
    with Store.open(path) as store:
        while True:
            last, calls = last + 1, []

            def progress(*how_far, last=last, calls=calls):
                calls.append(how_far)
                if len(calls) == last:
                    raise KeyboardInterrupt

            try:
                WRITES[write](store, progress)
            except KeyboardInterrupt:
                assert recorded(path) == before and not store._connection().in_transaction
            else:
                break
    assert last > 2 and check(path) == []


def test_a_write_waits_for_another_program_that_is_writing(path):
    other = sqlite3.connect(path, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    done = threading.Timer(0.2, other.rollback)
    done.start()
    with Store.open(path) as store:
        assert store.append([NOTES[0]]).events
    done.join()
    other.close()


def test_a_file_whose_journal_somebody_changed_has_its_write_ahead_log_back_with_the_next_write(path):
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.close()
    with Store.open(path) as store:
        assert store.append([NOTES[0]]).events and store._rows("PRAGMA journal_mode") == [("wal",)]
        settings = {
            name: store._rows(f"PRAGMA {name}")[0][0] for name in ("synchronous", "foreign_keys", "trusted_schema", "query_only")
        }
    assert settings == {"synchronous": 2, "foreign_keys": 1, "trusted_schema": 0, "query_only": 1}


def test_a_file_that_cannot_have_a_write_ahead_log_is_written_without(path, monkeypatch):
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.close()
    monkeypatch.setattr("nurserytui.records.write_ahead.turn_on", lambda connection: None)
    with Store.open(path) as store:
        assert store.append([NOTES[0]]).events and store._rows("PRAGMA journal_mode") == [("delete",)]
        assert len(Store.open(path).events()) == 2
    assert check(path) == []


def test_only_a_sound_file_is_written_to(path):
    """A page that the write would not come by is broken."""
    with Store.open(path) as store:
        store.append(NOTES)
        store.add_readings(HOURS)
        root = store._rows("SELECT rootpage FROM sqlite_schema WHERE name = 'readings'")[0][0]
    raw = bytearray(path.read_bytes())
    raw[(root - 1) * 4096 : root * 4096] = b"\x55" * 4096
    path.write_bytes(raw)
    before = digest(path)
    with Store.open(path) as store, pytest.raises(Damaged, match="Restore a backup: nurserytui restore FILE"):
        store.append([NOTES[0]])
    assert digest(path) == before


# Several programs ----------------------------------------------------------------------------------------------------

WRITER = """
import sys
from nurserytui.records.store import Store
from nurserytui.records.events import Event
from nurserytui.records.identity import with_ids
with Store.open(sys.argv[1]) as store:
    for number in range(int(sys.argv[3])):
        written = store.append([Event("2031-06-02", "note", note=f"{sys.argv[2]} {number}"), Event("2031-06-02", "fed", enclosure="jar")])
        assert not written.faults, written.faults
"""


def run_writers(path, names, times):
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-c", WRITER, str(path)]
    running = [subprocess.Popen([*command, name, str(times)], env=env, stderr=subprocess.PIPE, text=True) for name in names]
    for one in running:
        _, complaint = one.communicate(timeout=120)
        assert one.returncode == 0, complaint


def test_two_programs_write_at_once_and_nothing_is_lost(path):
    run_writers(path, ("one", "two"), 40)
    with Store.open(path) as store:
        notes = [event.note for event in store.events() if event.note]
        assert sorted(notes) == sorted(f"{name} {number}" for name in ("one", "two") for number in range(40))
        for name in ("one", "two"):
            own = [note for note in notes if note.startswith(name)]
            assert own == [f"{name} {number}" for number in range(40)]


def test_three_programs_start_on_a_file_that_is_not_there_yet(tmp_path):
    run_writers(tmp_path / "n.db", ("a", "b", "c"), 2)
    with Store.open(tmp_path / "n.db") as store:
        assert len(store.events()) == 12


def test_a_program_that_is_killed_leaves_whole_groups_only(path):
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    for wait in (0.35, 0.5, 0.65):
        writer = subprocess.Popen([sys.executable, "-c", WRITER, str(path), "x", "100000"], env=env, stderr=subprocess.DEVNULL)
        try:
            writer.wait(wait)
        except subprocess.TimeoutExpired:
            writer.kill()
            writer.wait()
        with Store.open(path) as store:
            assert store._rows("PRAGMA integrity_check") == [("ok",)]
            events = store.events()[1:]
            assert [event.what for event in events] == ["note", "fed"] * (len(events) // 2)


def test_the_stamp_changes_when_this_or_another_store_writes(path):
    with Store.open(path) as one, Store.open(path) as other:
        first = one.stamp()
        assert one.stamp() == first
        other.append([LAID])
        second = one.stamp()
        assert second != first
        one.append([LAID])
        assert one.stamp() != second


# Readings ------------------------------------------------------------------------------------------------------------


def test_readings_are_kept_once_by_place_and_moment(path):
    hours = [Reading(datetime(2031, 6, 1, hour), place, 20 + hour, 20 + hour) for place in ("shed", "attic") for hour in range(5)]
    with Store.open(path) as store:
        assert store.add_readings(hours) == 10
        assert store.add_readings([*hours, Reading(datetime(2031, 6, 1, 9), "shed", 3, 4)]) == 1
        assert store.reading_places() == ["attic", "shed"]
        assert store.first_reading() == min(reading.when for reading in store.readings()).isoformat()
        assert store.readings("attic") == hours[5:]
        assert store.readings("shed", since=datetime(2031, 6, 1, 2), until=datetime(2031, 6, 1, 3)) == hours[2:4]
        assert len(store.readings()) == 11


def test_the_hour_that_comes_twice_is_kept_twice(path):
    times = [datetime(2031, 10, 26, 2, minute) for minute in (0, 20, 40)]
    readings = [Reading(when, "shed", 10 + at, 10 + at) for at, when in enumerate([*times, *times])]
    with Store.open(path) as store:
        store.append([Event("2031-01-01", "setting", detail="timezone=Europe/Paris")])
        assert store.add_readings(readings) == 6
        assert store.add_readings(readings) == 0
        assert (
            store._rows('SELECT instant FROM readings ORDER BY "when", fold')[1][0]
            - store._rows("SELECT min(instant) FROM readings")[0][0]
            == 3600
        )


@pytest.mark.parametrize("became", ["gone", "replaced"])
def test_nothing_is_written_to_a_file_that_was_taken_away_while_open(tmp_path, became):
    """What is written into a file that has no name any more is lost with it, so it is refused."""
    file = tmp_path / "n.db"
    with Store.open(file) as store:
        assert store.append([Event("2031-06-01", "note", note="before")]).events and store.moved() == ""
        os.replace(file, tmp_path / "aside.db")
        if became == "replaced":
            Store.open(tmp_path / "other.db").close()
            os.replace(tmp_path / "other.db", file)
        assert store.moved() == became
        for write in (
            lambda: store.append([Event("2031-06-01", "note", note="after")]),
            lambda: store.add_readings([Reading(datetime(2031, 6, 1), "jar", 20, 20)]),
        ):
            with pytest.raises(StoreError, match="not there any more" if became == "gone" else "was replaced"):
                write()
        if became == "gone":
            os.replace(tmp_path / "aside.db", file)
            assert store.moved() == "" and store.append([Event("2031-06-01", "note", note="after")]).events


def test_the_time_zone_is_the_one_that_stands_last(tmp_path):
    def zone(name: str, day: str, **given) -> Event:
        return Event(day, "setting", detail=f"timezone={name}", **given)

    with Store.open(tmp_path / "n.db") as store:
        assert store.timezone() == ""
        store.append([zone("Europe/Paris", "2031-06-02", id="paris")])
        store.append([zone("Asia/Tokyo", "2031-06-01")])
        assert store.timezone() == "Europe/Paris"
        store.append([zone("America/New_York", "2031-06-03", id="york")])
        assert store.timezone() == "America/New_York"
        store.append([Event("2031-06-04", "withdrawn", withdraws="york")])
        assert store.timezone() == "Europe/Paris"


@given(lively(20), st.data())
@settings(max_examples=25, deadline=None)
def test_what_was_taken_back_and_what_was_told_together_is_asked_of_the_file(groups, data):
    with Store.memory() as store:
        for number, group in enumerate(groups):
            store.append([event._replace(group=f"g{number // 3}") for event in group])
            if store.events() and data.draw(st.booleans()):
                gone = data.draw(st.sampled_from(store.events()))
                store.append([Event(gone.when, "withdrawn", withdraws=gone.id, group=f"g{number // 3}")])
        events = store.events()
        assert store.withdrawn() == withdrawn_ids(events)
        for which in {"", "nothing", *(event.group for event in events), *(event.id for event in events)}:
            assert store.told_as(which) == [event for event in events if which and which in (event.group, event.id)]


def test_a_count_that_no_table_could_hold_is_a_fault():
    with Store.memory() as store:
        for count in (10_000_000, 10**30):
            found = store.append([Event("2026-06-01", "laid", species="Danaus plexippus", count=count, enclosure="jar 1")])
            assert "more than any nursery has" in found.faults[0].reason and store.events() == []


def test_a_group_of_very_many_events_costs_a_little_for_each():
    class Asked(list):
        times = 0

        def __contains__(self, event_id):
            self.times += 1
            return super().__contains__(event_id)

    known = Asked(["g0123456789ab-1", "g0123456789ab-2"])
    found = with_ids([Event("2031-06-01", "note", group="g0123456789ab") for _ in range(2000)], known)
    assert [event.id for event in found] == [f"g0123456789ab-{number}" for number in range(3, 2003)]
    assert known.times == 2002
