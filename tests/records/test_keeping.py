"""What is kept of a long history is used where it surely belongs, and is never needed."""

from __future__ import annotations

import marshal
import os
import shutil
import sqlite3
import stat
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from oracle.nurseries import random_events
from oracle.pictures import ledger_of
from oracle.shelf import Shelf

from nurserytui import nursery as nurseries
from nurserytui.nursery import Nursery
from nurserytui.records import keeping, past
from nurserytui.records import store as stores
from nurserytui.records.backups.restoring import restore
from nurserytui.records.backups.to_file import backup
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.store import Store

EVENTS = [event for event in random_events(3, 1, 3, looks_per_day=0.5) if event.what != "renamed"]
NOW = datetime.fromisoformat(EVENTS[-1].day) + timedelta(hours=31)
LATE = Event(NOW.isoformat(timespec="minutes"), "note", note="one more")


@pytest.fixture(autouse=True)
def soon(monkeypatch, tmp_path):
    """A ledger is kept of few events, in a folder of its own."""
    for name, value in (("LEAST", 20), ("BACK", 10), ("GROWN", 15)):
        monkeypatch.setattr(keeping, name, value)
    monkeypatch.setenv("NURSERYTUI_CACHE", str(tmp_path / "cache"))
    yield
    close()


@pytest.fixture
def path(tmp_path):
    """A nursery of which a ledger is kept."""
    path = tmp_path / "n.db"
    with Store.open(path) as store:
        assert not store.append(EVENTS).faults
    opened(path).keep()
    return path


STORES: list[Store] = []


def opened(path: Path, now: datetime = NOW) -> Nursery:
    STORES.append(Store.open(path, from_kept=True))
    return Nursery(STORES[-1], None, now)


def close() -> None:
    while STORES:
        STORES.pop().close()


def file_of(path: Path) -> Path:
    (file,) = path.parent.joinpath("cache").glob("ledger-*.bin")
    return file


def assert_right(nursery: Nursery) -> None:
    """It is what the events in the file make of it."""
    with Store.open(nursery.store.path) as store:
        anew = Nursery(Shelf(store.events()), None, nursery.now)
        assert nursery.store.timezone() == store.timezone()
    one, other = ledger_of(nursery), ledger_of(anew)
    for name in other:
        assert one[name] == other[name], name
    assert nursery._everything == anew._everything and nursery._later == anew._later


def goes_on(nursery: Nursery) -> bool:
    assert_right(nursery)
    return nursery._resting


@pytest.fixture
def replays(monkeypatch):
    """Everything that is replayed."""
    done = []
    for module in (nurseries, stores, past):
        monkeypatch.setattr(module, "replay", lambda *a, true=module.replay, **k: done.append(a) or true(*a, **k))
    return done


def test_the_next_opening_goes_on_from_what_was_kept(path, replays):
    one, other = opened(path), opened(path, NOW + timedelta(days=3))
    assert not replays
    assert_right(one)
    assert_right(other)


def test_a_line_its_undo_and_one_told_late_are_written_without_a_replay(path, replays):
    nursery = opened(path)
    (written,) = nursery.write([LATE]).events
    assert not nursery.write([Event(LATE.when, "withdrawn", withdraws=written.id)]).faults
    key = next(key for key, count in nursery.ledger.heads.items() if count > 1)
    (died,) = nursery.write([Event(LATE.when, "died", key.cohort, stage=key.stage, enclosure=key.enclosure, count=1)]).events
    assert not nursery.write([Event(LATE.when, "withdrawn", withdraws=died.id)]).faults
    late = Event((NOW - timedelta(days=1)).date().isoformat(), "note", note="told a day late")
    assert not nursery.write([late]).faults
    again = opened(path)
    assert not replays
    assert_right(nursery)
    assert_right(again)


def test_what_cannot_have_happened_is_refused_as_by_a_replay(path, replays):
    nursery = opened(path)
    key, count = next(iter(nursery.ledger.heads.items()))
    wrong = [Event(LATE.when, "died", key.cohort, stage=key.stage, count=count + 900, id="wrong")]
    refused = nursery.write(wrong)
    assert refused.faults and not replays
    with Store.open(path) as store:
        assert store.append(wrong) == refused
    assert_right(nursery)


def test_it_is_kept_as_it_was_some_events_ago_and_anew_after_some_more(path):
    nursery = opened(path)
    assert nursery.store.kept.count == len(EVENTS) - keeping.BACK
    before = file_of(path).read_bytes()
    nursery.write([LATE])
    nursery.keep()
    assert file_of(path).read_bytes() == before
    later = opened(path, NOW + timedelta(hours=1))
    later.write([LATE._replace(id=f"n{number}") for number in range(2 * keeping.GROWN)])
    later.keep()
    again = opened(path, NOW + timedelta(hours=1))
    assert goes_on(again) and again.store.kept.count == len(EVENTS) + 1 + 2 * keeping.GROWN - keeping.BACK
    assert goes_on(later)


def test_what_cannot_be_gone_on_with_is_kept_anew_with_the_newest(path):
    nursery = opened(path)
    label = next(iter(nursery.ledger.cohorts))
    nursery.write([Event(LATE.when, "renamed", label, to="kale")])
    assert not goes_on(nursery)
    assert not goes_on(opened(path))
    nursery.keep()
    assert goes_on(opened(path)) and opened(path).store.kept.count == len(EVENTS) + 1


def test_an_earlier_moment_is_replayed_and_leaves_what_is_kept(path):
    before = file_of(path).read_bytes()
    nursery = opened(path, NOW - timedelta(days=40))
    assert not goes_on(nursery)
    nursery.keep()
    assert file_of(path).read_bytes() == before
    nursery.at(NOW)
    assert_right(nursery)


def test_what_is_dated_ahead_comes_due(path):
    with Store.open(path) as store:
        soon = (NOW + timedelta(days=2)).isoformat(timespec="minutes")
        store.append([Event(soon, "note", note="ahead"), *(LATE._replace(id=f"n{number}") for number in range(30))])
    opened(path).keep()
    assert opened(path).store.kept.ahead
    for days in (0, 1, 2, 3):
        assert_right(opened(path, NOW + timedelta(days=days)))
    nursery = opened(path)
    for _ in range(4):
        nursery.at(nursery.now + timedelta(days=1))
        assert_right(nursery)


def damages(content: bytes):
    """(what was done, the file after it): each kind of byte turned over, and the file cut short or grown."""
    body = len(keeping._MAGIC) + keeping._DIGEST
    for name, at in (("mark", 3), ("digest", body - 5), ("first byte", body), ("key", body + 9), ("last", len(content) - 1)):
        yield f"{name} changed", content[:at] + bytes([content[at] ^ 0x20]) + content[at + 1 :]
    for share in range(1, 20):
        at = body + share * (len(content) - body) // 20
        yield f"byte {at} changed", content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]
    for length in (0, 5, len(keeping._MAGIC), body, body + 1, len(content) // 2, len(content) - 1):
        yield f"cut to {length}", content[:length]
    yield "grown", content + b"\0"
    yield "nothing but zeros", bytes(len(content))
    yield "swapped halves", content[:body] + content[len(content) // 2 :] + content[body : len(content) // 2]


def test_a_damaged_file_is_noticed_and_replaced(path):
    whole = file_of(path).read_bytes()
    for what, content in damages(whole):
        file_of(path).write_bytes(content)
        nursery = opened(path)
        assert not nursery._resting, what
    assert_right(nursery)
    nursery.keep()
    assert goes_on(opened(path))


def test_a_file_that_says_what_cannot_be_loaded_is_passed_over(path):
    for body in (b"", b"\xff", b"{", marshal.dumps({})[:-1]):
        digest = keeping.blake2b(keeping._stamp() + body, digest_size=keeping._DIGEST).digest()
        file_of(path).write_bytes(keeping._MAGIC + digest + body)
        assert not goes_on(opened(path))


def test_what_a_program_with_other_rules_kept_is_not_used(path, monkeypatch):
    monkeypatch.setattr(keeping, "_stamp", lambda: b"other rules")
    assert not goes_on(opened(path))
    opened(path).keep()
    assert goes_on(opened(path))


def test_without_the_rules_to_tell_them_by_nothing_is_kept(path, monkeypatch):
    monkeypatch.setattr(keeping, "__file__", str(path.parent / "nowhere" / "keeping.pyc"))
    nursery = opened(path)
    assert not goes_on(nursery)
    nursery.keep()
    assert not goes_on(opened(path))


def grown(path: Path, note: str, count: int = 40) -> None:
    with Store.open(path) as store:
        store.append([LATE._replace(note=note, id=f"{note}{number}") for number in range(count)])


def test_a_backup_put_in_place_is_replayed_and_what_grows_from_it_too(path, tmp_path):
    old = tmp_path / "old.db"
    backup(path, old)
    grown(path, "first")
    opened(path).keep()
    restore(old, path)
    assert not goes_on(opened(path))
    grown(path, "second", 50)
    nursery = opened(path)
    assert not goes_on(nursery)
    nursery.keep()
    assert goes_on(opened(path))


@pytest.mark.parametrize("count", [0, 39, 40, 41, 90])
def test_another_nursery_written_over_the_same_file_is_replayed(path, tmp_path, count):
    """The file system knows it by the same number: only the events tell."""
    other = tmp_path / "other.db"
    backup(path, other)
    grown(path, "first")
    opened(path).keep()
    close()
    number = path.stat().st_ino
    if count:
        grown(other, "second", count)
    shutil.copyfile(other, path)
    for extra in ("-wal", "-shm"):
        Path(f"{path}{extra}").unlink(missing_ok=True)
    assert path.stat().st_ino == number
    assert not goes_on(opened(path))


@pytest.mark.parametrize(
    "statement",
    [
        pytest.param("DELETE FROM events WHERE seq = 30", id="an event is gone"),
        pytest.param("UPDATE events SET note = 'x' WHERE seq = 1", id="the first event is another one"),
        pytest.param("UPDATE events SET written = 'x' WHERE seq = (SELECT max(seq) FROM events) / 2", id="it was written at another time"),
        pytest.param("UPDATE heads SET count = count + 1", id="the headcount beside the events is another one"),
        pytest.param("DELETE FROM heads", id="there is no headcount beside the events"),
    ],
)  # fmt: skip
def test_a_file_that_was_changed_by_hand_is_replayed(path, statement):
    opened(path).keep()
    kept = opened(path).store.kept.count
    connection = sqlite3.connect(path)
    for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute("PRAGMA foreign_keys = OFF")
    connection.execute(statement.replace("(SELECT max(seq) FROM events) / 2", str(kept >> 1)))
    connection.commit()
    connection.close()
    nursery = opened(path)
    assert not nursery._resting
    assert nursery.ledger.heads == Nursery(Shelf(Store.open(path).events()), None, NOW).ledger.heads


def test_two_programs_write_and_keep(path):
    one, other = opened(path), opened(path)
    for number in range(60):
        writer = (one, other)[number % 7 < 3]
        writer.at(writer.now)
        writer.write([LATE._replace(id=f"n{number}")])
        if number % 10 == 9:
            (one, other)[number % 20 < 10].keep()
    for nursery in (one, other, opened(path)):
        nursery.at(nursery.now)
        assert_right(nursery)


def test_a_cache_that_cannot_be_written_or_is_taken_away_costs_nothing_but_time(path, tmp_path, monkeypatch):
    nursery = opened(path)
    shutil.rmtree(tmp_path / "cache")
    nursery.write([LATE])
    assert_right(nursery)
    nursery.keep()
    monkeypatch.setenv("NURSERYTUI_CACHE", str(path))  # a file stands where the folder should be
    other = opened(path)
    assert not goes_on(other)
    other.keep()
    monkeypatch.setattr(keeping.os, "replace", lambda *_: (_ for _ in ()).throw(OSError(28, "no space left")))
    monkeypatch.setenv("NURSERYTUI_CACHE", str(tmp_path / "full"))
    full = opened(path)
    full.keep()
    assert not goes_on(full) and not list((tmp_path / "full").iterdir())


@pytest.mark.skipif(os.name != "posix", reason="modes of files")
def test_it_is_for_the_keeper_alone(path):
    assert stat.S_IMODE(file_of(path).stat().st_mode) == 0o600
    assert stat.S_IMODE(file_of(path).parent.stat().st_mode) == 0o700
    file_of(path).chmod(0o620)
    assert not goes_on(opened(path))


def test_few_nurseries_are_kept_and_nothing_unfinished(path, monkeypatch):
    monkeypatch.setattr(keeping, "MOST", 2)
    left = file_of(path).with_name("ledger-0.bin.1.new")
    left.write_bytes(b"")
    os.utime(left, (1, 1))
    for number in range(4):
        other = path.with_name(f"other{number}.db")
        shutil.copyfile(path, other)
        opened(other).keep()
    there = sorted(file.name for file in left.parent.glob("ledger-*"))
    assert len(there) == 2 and left.name not in there
    assert goes_on(opened(other))


def test_whoever_proves_a_file_reads_it_all(path, monkeypatch):
    monkeypatch.setattr(keeping, "found", None)
    monkeypatch.setattr(keeping, "go_on_from", None)
    assert check(path) == []


def test_work_that_is_stopped_leaves_nothing(path):
    from nurserytui.records.progress import Stopped

    file_of(path).unlink()
    nursery, told = opened(path), []

    def stop_after(count):
        def progress(*how_far):
            told.append(how_far)
            if len(told) > count:
                raise Stopped

        return progress

    for count in range(3):
        told.clear()
        with pytest.raises(Stopped):
            nursery.keep(stop_after(count))
        assert not list((path.parent / "cache").glob("ledger-*"))
    nursery.keep(lambda *_: None)
    assert goes_on(opened(path))


def test_a_kept_ledger_that_contradicts_itself_is_replayed(path, monkeypatch):
    nursery = opened(path)
    plain = nursery.store.kept._plain
    for part in ("heads", "infos", "groups"):
        with monkeypatch.context() as patch:
            patch.setitem(plain, part, [])
            nursery._replay()
            assert not goes_on(nursery), part
    nursery._replay()
    assert goes_on(nursery)


@pytest.mark.parametrize("few", [0, 3, 1_000])
def test_an_id_on_record_is_refused_however_it_is_looked_up(path, monkeypatch, few):
    monkeypatch.setattr(stores._OnRecord, "FEW", few)
    nursery = opened(path)
    some = [LATE._replace(id=f"n{number}") for number in range(4)]
    assert not nursery.write(some).faults
    for known in (some[0], EVENTS[0], EVENTS[-1]):
        (fault,) = nursery.write([LATE._replace(id=known.id)]).faults
        assert fault.reason == f"there is an event {known.id} already"
    assert not nursery.write([LATE]).faults
    assert_right(nursery)
