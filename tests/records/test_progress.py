"""Long work on the records tells how far it is, and leaves nothing behind when it is stopped, wherever it is."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.demo import MOMENT, private_copy
from nurserytui.exports import drawn
from nurserytui.exports.everything import export_everything
from nurserytui.exports.export import export
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.backups.to_file import backup
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.progress import Stopped, told
from nurserytui.records.store import Store

ROWS = 1700


class Watching:
    """Writes down what it is told, and stops at the call of that number."""

    def __init__(self, stop_at: int | None = None) -> None:
        self.calls: list[tuple[int, int, str]] = []
        self.stop_at = stop_at

    def __call__(self, done: int, total: int, what: str = "") -> None:
        if len(self.calls) == self.stop_at:
            raise Stopped
        self.calls.append((done, total, what))


def events_file(folder):
    rows = ["2031-06-01,setting,,,,,,timezone=Europe/Paris", f"2031-06-01,laid,B,Danaus plexippus,egg,{ROWS},jar,"]
    rows += [f"2031-06-02,died,B,,egg,1,jar,cause {number}" for number in range(ROWS - 2)]
    file = folder / "events.csv"
    file.write_text("\n".join(["when,what,cohort,species,stage,count,enclosure,detail", *rows]) + "\n", encoding="utf-8")
    return file


def readings_file(folder):
    began = datetime(2031, 6, 1)
    rows = [f"{began + timedelta(minutes=at)},shed,{20 + at % 7}" for at in range(ROWS)]
    file = folder / "readings.csv"
    file.write_text("\n".join(["time,place,temperature_C", *rows]) + "\n", encoding="utf-8")
    return file


def nursery_file(folder):
    with Store.open(folder / "other.db") as other:
        import_file(events_file(folder), other)
        import_file(readings_file(folder), other)
    return folder / "other.db"


def lines_file(folder):
    with Store.open(nursery_file(folder)) as other:
        export_everything(other, folder / "other.jsonl")
    return folder / "other.jsonl"


FILES = {"events": events_file, "readings": readings_file, "nursery": nursery_file, "lines": lines_file}


def held(store) -> tuple[int, int, int]:
    return len(store.events()), len(store.readings()), sum(store.heads().values())


@pytest.mark.parametrize(
    ("kind", "said"), [("events", ["rows read", "events checked", "events written"]), ("readings", ["rows read"])]
)
def test_an_import_tells_how_many_of_how_many_and_imports_the_same(tmp_path, kind, said):
    file, watching = FILES[kind](tmp_path), Watching()
    with Store.open(tmp_path / "plain.db") as plain, Store.open(tmp_path / "told.db") as telling:
        assert import_file(file, plain)[:7] == import_file(file, telling, watching)[:7]
        assert held(plain) == held(telling)
    assert list(dict.fromkeys(what for _, total, what in watching.calls if total)) == said
    for words in said:
        counts = [done for done, _, what in watching.calls if what == words]
        assert counts == sorted(counts) and counts[-1] == ROWS and len(counts) >= 4
        assert {total for _, total, what in watching.calls if what == words} <= {0, ROWS}


@pytest.mark.parametrize("kind", FILES)
def test_an_import_that_is_stopped_anywhere_writes_nothing(tmp_path, kind):
    file, whole = FILES[kind](tmp_path), Watching()
    with Store.open(tmp_path / "whole.db") as store:
        import_file(file, store, whole)
    with Store.open(tmp_path / "stopped.db") as store:
        for number in range(0, len(whole.calls), 1 + len(whole.calls) // 30):
            with pytest.raises(Stopped):
                import_file(file, store, Watching(number))
            assert held(store) == (0, 0, 0), whole.calls[number]
        assert import_file(file, store).added == ROWS
    assert check(tmp_path / "stopped.db") == []


def test_an_import_with_faults_can_be_stopped_while_they_are_looked_for(tmp_path):
    file = tmp_path / "bad.csv"
    file.write_text(events_file(tmp_path).read_text(encoding="utf-8") + "2031-06-03,died,B,,egg,999,jar,\n", encoding="utf-8")
    whole = Watching()
    with Store.open(tmp_path / "n.db") as store:
        report = import_file(file, store, whole)
        assert [fault.line for fault in report.faults] == [ROWS + 2]
        with pytest.raises(Stopped):
            import_file(file, store, Watching(len(whole.calls) - 1))
        assert held(store) == (0, 0, 0)


@pytest.mark.parametrize("form", ["csv", "zip", "ics", "html", "jsonl", "readings"])
def test_an_export_that_is_stopped_leaves_the_older_file_as_it_was(tmp_path, form, monkeypatch):
    monkeypatch.setattr("nurserytui.exports.calendar_entries.STEP", 0)  # told after every forecast, however fast they are made
    monkeypatch.setattr(drawn, "PATIENCE", 60)  # how often it is told while pictures are drawn hangs on the time that takes
    with Store.open(private_copy(tmp_path)) as store:
        file, watching = tmp_path / f"out.{form}", Watching()
        nursery = Nursery(store, load(), MOMENT)
        export(nursery, file, form, watching)
        before = file.read_bytes()
        assert watching.calls and watching.calls[-1][0] == watching.calls[-1][1]
        calls = len(watching.calls)
        for number in {*range(0, calls, 1 + calls // 10), calls - 1}:  # from one end to the other; every one would take minutes
            with pytest.raises(Stopped):
                export(Nursery(store, nursery.knowledge, MOMENT), file, form, Watching(number))
            assert file.read_bytes() == before and not list(tmp_path.glob("*.part"))
        export(nursery, tmp_path / f"plain.{form}", form)
        assert (tmp_path / f"plain.{form}").read_bytes() == before


def test_a_backup_that_is_stopped_leaves_nothing(tmp_path):
    file, target, watching = private_copy(tmp_path), tmp_path / "copy.db", Watching()
    backup(file, target, watching)
    target.unlink()
    assert "pages copied" in {what for *_, what in watching.calls}
    for number in range(len(watching.calls)):
        with pytest.raises(Stopped):
            backup(file, target, Watching(number))
        assert not target.exists() and not list(tmp_path.glob("*.part*"))


def test_a_check_tells_and_can_be_stopped(tmp_path):
    file, watching = private_copy(tmp_path), Watching()
    assert check(file, watching) == []
    assert {"events read", "events checked"} <= {what for *_, what in watching.calls}
    for number in range(len(watching.calls)):
        with pytest.raises(Stopped):
            check(file, Watching(number))


def test_things_are_told_in_steps_and_all_of_them_are_given():
    watching = Watching()
    assert list(told(watching, iter(range(5)), 5, "things", every=2)) == list(range(5))
    assert watching.calls == [(0, 5, "things"), (2, 5, "things"), (4, 5, "things"), (5, 5, "things")]


def test_a_stop_of_one_import_does_not_stop_what_is_done_after_it(tmp_path):
    """What an import leaves for the next write is not bound to the import's own progress."""
    stops = []

    def progress(*_):
        if stops:
            raise Stopped

    with Store.open(tmp_path / "n.db") as store:
        assert not import_file(events_file(tmp_path), store, progress).faults
        stops.append(True)
        last = store.events()[-1]
        assert not store.append([Event("2031-06-30T08:00", "withdrawn", withdraws=last.id)]).faults
        assert last.id in store.withdrawn()
